"""What a test that the plan advises adds to the file: one entry as it stands there, its figure left open."""

import json
from typing import Any

from bothends.model.option import UNLIKELY
from bothends.model.trial import BALLAST, BOARD
from bothends.model.units import GRAVITY, MM

from ..wire.answer import Advice
from .measure import chance

__all__ = ["FACTS", "OPEN", "example", "first_test", "measure_first"]

OPEN = "…"
"""Where the figure that was read goes."""

READ = {
    "board-test": "body-height",
    "centre-jack": "body-height",
    "hang-test": "hub-to-body",
    "scales": "wheel-load",
    "ballast-test": "body-height",
    "settling": "body-height",
}
"""What is read first in a test of that name; a test that is named after a kind of reading reads that."""


FACTS = {
    "arm-length": f'"car": {{"arm_mm": {OPEN}}}',
    "adjuster-lever": f'"car": {{"adjuster": {{"lever_mm": {OPEN}}}}}',
    "notch-angle": f'"car": {{"adjuster": {{"step_deg": {OPEN}}}}}',
    "turns-left": f'"car": {{"adjuster": {{"raise_turns": {{"left": {OPEN}, "right": {OPEN}}}}}}}',
}
"""Tests that no reading is added for, but a fact of the car."""


def example(advice: Advice, log: list[dict[str, Any]], axle: str | None = None) -> str:
    """How the first reading of a test stands in the file, as JSON with ``OPEN`` for the figure.

    Parameters
    ----------
    advice : the test
    log : entries of the file as they are
    axle : the job's other axle, where the test is of that one

    >>> scales = Advice(what="scales", side="both", odds_after=0.6, minutes=15.0, text="Weigh both rear wheels.")
    >>> example(scales, [])
    '{"kind": "reading", "what": "wheel-load", "side": "left", "value": …}'
    """
    if advice.what in FACTS:
        name, fact = FACTS[advice.what].split(": ", 1)
        return f'{name}: {{"other": {fact}}}' if axle else f"{name}: {fact}"
    what = READ.get(advice.what, advice.what)
    side = "left" if advice.side == "both" else advice.side
    entry: dict[str, Any] = {"kind": "reading", "what": what, "side": side, "value": OPEN}
    if axle:
        entry["axle"] = axle
    moves = sum(one["kind"] == "move" for one in log)
    if moves:
        entry["teardown"] = moves
    if advice.what == "board-test":
        entry["pose"] = {f"board_{side}_mm": BOARD / MM}
    elif advice.what == "ballast-test":
        half = BALLAST / GRAVITY / 2.0
        entry["pose"] = {"ballast_left_kg": half, "ballast_right_kg": half}
    elif advice.what == "centre-jack":
        entry["pose"] = {"centred": True}
    elif advice.what == "hang-test":
        entry["pose"] = {"hanging": True}
    elif advice.what == "settling":
        entry["resettled"] = 1 + max((one.get("resettled") or 0 for one in log), default=0)
    return json.dumps(entry, ensure_ascii=False).replace(f'"{OPEN}"', OPEN)


def first_test(
    tests: list[Advice], odds: float, log: list[dict[str, Any]], *, at: str = "", axle: str | None = None
) -> list[str]:
    """The test that goes first, as a step of what to do now; none where none is advised.

    Parameters
    ----------
    tests : as the answer advises them, the best gain first
    odds : the chance as it is without any
    log : entries of the file as they are
    at : which axle, in words, where both are planned
    axle : the job's other axle, where the test is of that one
    """
    return [
        f"For a better chance{at}, {chance(test.odds_after)} instead of {chance(odds)} after {test.minutes:g} min:"
        f" {test.text} Add {'it' if test.what in FACTS else 'each reading'} to the file, as"
        f" {example(test, log, axle)} and run this again."
        for test in tests[:1]
    ]


def measure_first(tests: list[Advice], odds: float, *, at: str = "") -> list[str]:
    """What is read before the way is, where the first teardown is likelier to miss: that a test goes first.

    Parameters
    ----------
    tests, odds, at : as in ``first_test``
    """
    return [
        f"Measure before you turn{at} (step 1): the chance is {chance(odds)} as it is, {chance(test.odds_after)}"
        f" after {test.minutes:g} min."
        for test in tests[:1]
        if odds < UNLIKELY
    ]
