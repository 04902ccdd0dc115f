"""The phone's model against the server's: the same files under MicroPython in a real worker and under CPython.

What is compared, recursively, for every case in cases/:

- the shape: same keys, same lengths, same words, same whole numbers, same truth values;
- every number x of the answer: |phone - server| <= 1e-12 * max(|x|, 1), the 1 being one unit of the field (1 mm,
  1 degree, 1 kg, 1 N, odds of 1), so that differences of large numbers such as a lean near 0 are judged on the
  scale of what they came from;
- the posterior, which is in SI and spans ten decades: means within 1e-12 * max(|mean|, standard deviation),
  covariances within 1e-12 of the product of their standard deviations;
- sentences: equal once their numbers are taken out, and each number within one unit of its last printed place;
- options: in the same order, except that options of exactly equal odds may change places: MicroPython's sort is not
  stable, CPython's is. They are still compared in full, matched by their labels;
- `fit.iterations` may differ by one: a last step that changes nothing may or may not be taken.

The two differ at all because their libraries' sine, exponential and error function differ in the last bit.
"""

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from browser.hand import Hand

from bothends.model.problem import ModelProblem
from bothends.model.solve import Plan, solve

pytestmark = pytest.mark.same_page

CASES = {
    path.stem: json.loads(path.read_text())
    for path in sorted((Path(__file__).parent / "cases").glob("*.json"))
}
FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
NEAR = 1e-12
PHONE_SOLVE = """
async request => {
  const solver = await import('/model/solver.js');
  try { return { answer: await solver.solve(request) }; }
  catch (problem) { return { problem: { code: problem.code, path: problem.path, detail: problem.detail } }; }
}
"""
PHONE_REPLAN = """
async ([request, target]) => {
  const solver = await import('/model/solver.js');
  await solver.solve(request);
  return solver.replan(target);
}
"""


def differences(server: Any, phone: Any, at: str = "$") -> list[str]:
    """Every place where the two answers differ by more than the module's docstring allows."""
    if isinstance(server, dict) and isinstance(phone, dict):
        if set(server) != set(phone):
            return [f"{at}: keys {sorted(set(server) ^ set(phone))}"]
        if at == "$.posterior":
            return _posterior(server, phone, at)
        return [line for key in server for line in differences(server[key], phone[key], f"{at}.{key}")]
    if isinstance(server, list) and isinstance(phone, list):
        if len(server) != len(phone):
            return [f"{at}: {len(server)} and {len(phone)} long"]
        if at == "$.options":
            phone = _in_order_of(server, phone)
        return [
            line
            for i, (a, b) in enumerate(zip(server, phone, strict=True))
            for line in differences(a, b, f"{at}[{i}]")
        ]
    if isinstance(server, str) and isinstance(phone, str):
        return [] if _same_words(server, phone) else [f"{at}: {server!r} and {phone!r}"]
    if isinstance(server, bool) or server is None or isinstance(phone, bool) or phone is None:
        return [] if server is phone else [f"{at}: {server} and {phone}"]
    allowed = (
        1.0 if at == "$.fit.iterations" else 0.0 if isinstance(server, int) else NEAR * max(abs(server), 1.0)
    )
    return [] if abs(server - phone) <= allowed else [f"{at}: {server!r} and {phone!r}"]


def _posterior(server: dict[str, Any], phone: dict[str, Any], at: str) -> list[str]:
    found = [] if server["names"] == phone["names"] else [f"{at}.names"]
    sd = [math.sqrt(server["covariance"][i][i]) for i in range(len(server["names"]))]
    for i, (a, b) in enumerate(zip(server["mean"], phone["mean"], strict=True)):
        if abs(a - b) > NEAR * max(abs(a), sd[i]):
            found.append(f"{at}.mean[{i}]: {a!r} and {b!r}")
    for i, rows in enumerate(zip(server["covariance"], phone["covariance"], strict=True)):
        for j, (a, b) in enumerate(zip(*rows, strict=True)):
            if abs(a - b) > NEAR * sd[i] * sd[j]:
                found.append(f"{at}.covariance[{i}][{j}]: {a!r} and {b!r}")
    return found


def _in_order_of(server: list[Any], phone: list[Any]) -> list[Any]:
    """The phone's options with those of exactly equal odds put into the server's order, others left alone."""
    phone = list(phone)
    for i, option in enumerate(server):
        for j in range(i + 1, len(phone)):
            if (
                phone[i]["label"] != option["label"] == phone[j]["label"]
                and phone[i]["odds"] == phone[j]["odds"]
            ):
                phone[i], phone[j] = phone[j], phone[i]
    return phone


def _same_words(server: str, phone: str) -> bool:
    if FIGURE.sub("#", server) != FIGURE.sub("#", phone):
        return False
    for a, b in zip(FIGURE.findall(server), FIGURE.findall(phone), strict=True):
        places = len(a.partition(".")[2])
        if abs(float(a) - float(b)) > 1.0001 * 10.0**-places:
            return False
    return True


def _served(request: dict[str, Any]) -> dict[str, Any]:
    try:
        return {"answer": solve(request)}
    except ModelProblem as problem:
        return {"problem": {"code": problem.code, "path": problem.path, "detail": problem.detail}}


ALWAYS = (
    "plain",
    "sign-flipped",
    "nothing-known",
    "after-a-move",
    "both-axles",
    "inch",
    "held-ends",
    "hub-target",
)
"""A plan, one withheld, one in degrees, one after a teardown, and those of other roads through the model."""


@pytest.mark.parametrize(
    "name",
    [
        name if name in ALWAYS else pytest.param(name, marks=pytest.mark.long(f"{', '.join(ALWAYS)}"))
        for name in CASES
    ],
)
def test_phone_and_server_work_out_the_same_answer(phone: Hand, name: str) -> None:
    phone.open()
    server = _served(CASES[name])
    told = phone.page.evaluate(PHONE_SOLVE, CASES[name])
    assert set(told) == set(server), told
    kind = next(iter(server))
    assert differences(server[kind], told[kind]) == []


REFUSED: list[tuple[Callable[[Any], Any], str]] = [
    (lambda r: r["car"]["bar"].update(bore_mm=30.0), "out-of-range"),
    (lambda r: r["log"].pop(4), "missing-reading"),
    (lambda r: r["log"][0].update(teardown=2), "bad-log"),
    (lambda r: r["car"].update(arm_mm="long"), "out-of-range"),
]


def test_phone_and_server_refuse_with_the_same_problem(phone: Hand) -> None:
    phone.open()
    for change, code in REFUSED:
        request = json.loads(json.dumps(CASES["plain"]))
        change(request)
        server = _served(request)
        assert server["problem"]["code"] == code
        assert phone.page.evaluate(PHONE_SOLVE, request) == server


def test_planning_again_for_another_target_uses_the_fit_and_agrees(phone: Hand) -> None:
    phone.open()
    target = {"left_mm": 243.0, "right_mm": 240.0, "tolerance_mm": 4.0, "lean_mm": 6.0}
    told = phone.page.evaluate(PHONE_REPLAN, [CASES["boards"], target])
    assert differences(Plan(CASES["boards"]).answer(target), told) == []


def test_a_dead_worker_fails_its_question_and_is_replaced(phone: Hand) -> None:
    phone.open()
    told = phone.page.evaluate(
        """
        async request => {
          const solver = await import('/model/solver.js');
          await solver.warm();
          const lost = solver.solve(request).catch(problem => problem.code);
          solver.stop();
          return [await lost, (await solver.solve(request)).options.length > 0];
        }
        """,
        CASES["plain"],
    )
    assert told == ["worker-crashed", True]


def test_answers_reach_those_who_asked_even_when_asked_at_once(phone: Hand) -> None:
    phone.open()
    odds = phone.page.evaluate(
        """
        async requests => {
          const solver = await import('/model/solver.js');
          const all = await Promise.all(requests.map(request => solver.solve(request)));
          return all.map(answer => answer.options[0].odds);
        }
        """,
        [CASES["plain"], CASES["boards"], CASES["fewest"]],
    )
    wanted = [solve(CASES[name])["options"][0]["odds"] for name in ("plain", "boards", "fewest")]
    assert odds == pytest.approx(wanted, abs=NEAR)
