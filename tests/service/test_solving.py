"""Solving over HTTP: the model's own answer, in the schema's shape, off the event loop and within its time."""

import asyncio
import json
import os
import signal
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st
from service.alone import alone
from tries import tries

from bothends.model.fields import field
from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from bothends.service.app import create_app
from bothends.service.http.problems import Refusal
from bothends.service.site import places
from bothends.service.site.demo import TITLES, jobs
from bothends.service.solver.pool import Pool
from bothends.service.wire.answer import SolveAnswer, plan

DEMOS = {job["name"]: job["request"] for job in jobs()}


def body(name: str = "gannet") -> bytes:
    """A demo request as bytes."""
    return (places.DEMO / f"{name}.json").read_bytes()


@pytest.mark.parametrize("name", TITLES)
def test_a_demo_is_answered_with_the_models_own_plan(client, name):
    reply = client.post("/api/solve", json=DEMOS[name])
    assert reply.status_code == 200
    assert reply.headers["content-type"] == "application/json"
    assert reply.headers["cache-control"] == "no-store"
    mine = json.loads(json.dumps(solve(DEMOS[name])))
    theirs = reply.json()
    for part in ("now", "learned", "options", "measure_next", "posterior", "step_deg", "fit", "cautions"):
        assert theirs[part] == mine[part]


@pytest.mark.parametrize("name", TITLES)
def test_nothing_the_model_says_is_missing_from_the_schema(name):
    def names(part, path="$"):
        if isinstance(part, dict):
            return {f"{path}.{k}" for k in part} | {
                n for k, v in part.items() for n in names(v, f"{path}.{k}")
            }
        return {n for item in part for n in names(item, f"{path}[]")} if isinstance(part, list) else set()

    said = solve(DEMOS[name])
    assert names(json.loads(json.dumps(said))) <= names(msgspec.to_builtins(plan(DEMOS[name])))


def test_a_demo_plan_has_fair_odds_and_no_doubts():
    for request in DEMOS.values():
        answer = plan(request)
        assert answer.options[0].recommended
        assert answer.options[0].odds > 0.5
        assert not answer.doubts


def test_what_was_learned_is_taken_at_the_next_visit(client, gannet):
    gannet["car"]["known"] = client.post("/api/solve", json=gannet).json()["posterior"]
    assert client.post("/api/solve", json=gannet).status_code == 200


def test_demo_jobs_are_listed_and_solve_as_they_are(client):
    listed = client.get("/api/demo").json()
    assert [job["name"] for job in listed] == list(TITLES)
    assert all(client.post("/api/solve", json=job["request"]).status_code == 200 for job in listed)


def test_without_demo_the_list_is_empty(running):
    with running(create_app()) as client:
        assert client.get("/api/demo").json() == []


def numbers(part, path=""):
    """(container, key, its row of the table) of every number in a request but those of moves."""
    for key, value in part.items():
        at = f"{path}{key}"
        if isinstance(value, dict):
            yield from numbers(value, f"{at}.")
        elif isinstance(value, list):
            for entry in value:
                yield from numbers(entry, "log.") if entry["kind"] == "reading" else ()
        elif isinstance(value, int | float) and key != "teardown":
            yield part, key, field(f"{at}.{part['what']}" if key in ("value", "sd") else at)


@st.composite
def odd_cars(draw):
    """A demo request with a few numbers anywhere within their bounds: sense is not promised."""
    request = json.loads(json.dumps(DEMOS[draw(st.sampled_from(sorted(DEMOS)))]))
    if draw(st.booleans()):
        teeth = st.integers(-9, 9)
        ends = st.fixed_dictionaries({"inner": teeth, "outer": teeth})
        request["log"].append({"kind": "move", "teardown": 1, "left": draw(ends), "right": draw(ends)})
    for part, key, row in draw(st.lists(st.sampled_from(list(numbers(request))), max_size=5)):
        part[key] = draw((st.integers if row.whole else st.floats)(*row.limits))
    return request


@pytest.mark.slow(seconds=2)
@settings(max_examples=tries(60))
@given(odd_cars())
def test_any_request_within_bounds_is_answered_or_refused_with_a_reason(job):
    note(json.dumps(job))
    try:
        outcome = "answered" if plan(job).options else "an answer without an option"
    except ModelProblem as problem:
        outcome = problem.code
    assert outcome in ("answered", "no-equilibrium", "not-converged", "out-of-range", "bad-log")


def solvers_of_this_process() -> set[int]:
    """Process ids of the solvers that servers in this process have started, other tests' servers included."""
    children = {
        int(child)
        for task in Path("/proc/self/task").iterdir()
        for child in (task / "children").read_text().split()
    }
    name = b"bothends.service.solver.worker"
    return {child for child in children if name in Path(f"/proc/{child}/cmdline").read_bytes()}


def test_a_server_gone_takes_its_solvers_along(running, gannet):
    before = solvers_of_this_process()
    with running(create_app()) as client:
        client.post("/api/solve", json=gannet)
        (solver,) = solvers_of_this_process() - before
    assert not Path(f"/proc/{solver}").exists()


@pytest.mark.slow
def test_a_solver_that_dies_costs_one_answer_only(running, gannet):
    before = solvers_of_this_process()
    with running(create_app()) as client:
        assert client.post("/api/solve", json=gannet).status_code == 200
        (solver,) = solvers_of_this_process() - before
        os.kill(solver, signal.SIGKILL)
        assert client.post("/api/solve", json=gannet).status_code == 500
        assert client.post("/api/solve", json=gannet).status_code == 200


def test_solves_beyond_the_room_are_refused_and_the_rest_answered():
    async def crowd():
        pool = Pool(size=1, waiting=1, seconds=20)
        try:
            return await asyncio.gather(*(pool.solve(body()) for _ in range(4)), return_exceptions=True)
        finally:
            await pool.close()

    first, second, *others = alone(crowd)
    assert msgspec.json.decode(first, type=SolveAnswer) == msgspec.json.decode(second, type=SolveAnswer)
    assert [o.problem.code for o in others if isinstance(o, Refusal)] == ["busy", "busy"]


def test_a_caller_who_leaves_takes_no_solver_along():
    async def leave():
        pool = Pool(size=1, waiting=0, seconds=20)
        try:
            task = asyncio.create_task(pool.solve(body()))
            await asyncio.sleep(0)
            task.cancel()
            await asyncio.gather(task, return_exceptions=True)
            return await pool.solve(body())
        finally:
            await pool.close()

    assert msgspec.json.decode(alone(leave), type=SolveAnswer).options


def test_facts_readings_and_moves_of_the_other_axle_are_taken_and_answered(client, gannet):
    alone = client.post("/api/solve", json=gannet).json()
    assert alone["other"] is None
    gannet["car"]["other"] = {"bar": {"outer_teeth": 44}, "track_mm": 1300.0}
    for side, value in (("left", 620.0), ("right", 612.0)):
        entry = {"kind": "reading", "what": "body-height", "axle": "front", "side": side, "value": value}
        gannet["log"].append({**entry, "teardown": 0})
    answer = client.post("/api/solve", json=gannet).json()
    assert answer["other"]["axle"] == "front"
    assert answer["other"]["lean_mm"]["value"] == pytest.approx(8.0, abs=1.0)
    assert len(answer["other"]["words"]) == 3
    gannet["log"].append({"kind": "move", "teardown": 1, "axle": "front", "left": {"outer": -1}})
    assert client.post("/api/solve", json=gannet).json()["other"]["shifted_mm"]["value"] < -10.0
    gannet["car"]["other"]["sprung"] = "front"
    refused = client.post("/api/solve", json=gannet)
    assert (refused.status_code, refused.json()["path"]) == (400, "$.car.other.sprung")


def of_both(request):
    """A demo with heights of the front, and a target for it too."""
    request["car"]["other"] = {"bar": {"inner_teeth": 40, "outer_teeth": 44}, "track_mm": 1300.0}
    for side, value in (("left", 620.0), ("right", 622.0)):
        entry = {"kind": "reading", "what": "body-height", "axle": "front", "side": side, "value": value}
        request["log"].append({**entry, "teardown": 0})
    request["target"]["other"] = {"as": "rise", "left_rise_mm": -15.0, "right_rise_mm": -15.0}
    return request


def test_a_target_of_both_axles_is_answered_with_a_plan_of_both_in_the_schemas_shape(client, gannet):
    assert client.post("/api/solve", json=gannet).json()["both"] is None
    request = of_both(gannet)
    answer = client.post("/api/solve", json=request).json()
    both = answer["both"]
    assert both["axle"] == "front"
    assert both["target"]["left_mm"] == pytest.approx(605.0, abs=0.5)
    odds = answer["options"][0]["odds"] * both["options"][0]["odds"]
    assert both["odds"] == pytest.approx(odds)
    assert set(both["meanwhile"]) == {"rear", "front"}
    assert both["cross_wanted"] is None
    # Nothing of it is lost on the way through the structs, and nothing is said that the schema lacks.
    assert json.loads(json.dumps(solve(request)["both"])) == both


@pytest.mark.parametrize(
    ("target", "code", "path"),
    [
        ({"as": "hanging-angle"}, "not-a-choice", "$.target.other.as"),
        ({"as": "level", "left_deg": 3.0}, "unknown-field", "$.target.other.left_deg"),
        ({"as": "level", "rise_mm": 501.0}, "out-of-range", "$.target.other.rise_mm"),
        ({"as": "rise", "left_rise_mm": 3.0}, "out-of-range", "$.target.other.right_rise_mm"),
        ({"left_mm": 600.0, "right_mm": 600.0, "at": "mean"}, "out-of-range", "$.target.other.at"),
        ({"as": "level", "cross_percent": 50.0}, "missing-reading", "$.log"),
    ],
)
def test_what_a_target_of_the_other_axle_cannot_be_is_refused_by_name(client, gannet, target, code, path):
    request = of_both(gannet)
    request["target"]["other"] = target
    refused = client.post("/api/solve", json=request)
    assert refused.status_code == 400
    assert (refused.json()["code"], refused.json()["path"]) == (code, path)


def test_a_target_of_the_other_axle_goes_with_heights_a_rise_or_a_level(client, gannet):
    request = of_both(gannet)
    wanted = request["target"]["other"]
    request["target"] = {"as": "hanging-angle", "left_deg": 5.0, "right_deg": 5.0, "other": wanted}
    refused = client.post("/api/solve", json=request)
    assert (refused.status_code, refused.json()["path"]) == (400, "$.target.other")


def test_a_height_with_the_other_axle_on_a_block_is_taken_and_a_pose_of_no_known_word_is_refused(client):
    request = json.loads(body())
    entry = {
        "kind": "reading",
        "what": "body-height",
        "side": "left",
        "value": 208,
        "pose": {"centred": True},
    }
    request["log"] += [entry, {**entry, "side": "right", "value": 226}]
    reply = client.post("/api/solve", json=request)
    assert reply.status_code == 200
    assert "centre-jack" not in {test["what"] for test in reply.json()["measure_next"]}
    request["log"][-1]["pose"] = {"centred": "yes"}
    refused = client.post("/api/solve", json=request)
    assert (refused.status_code, refused.json()["path"]) == (
        400,
        f"$.log[{len(request['log']) - 1}].pose.centred",
    )
