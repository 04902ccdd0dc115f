"""Each test not yet made against making it: the spread it promises is the spread that is left.

A test is made by reading exactly what is expected: the maximum stays, and only the covariance moves.
"""

import copy
import math

import pytest

from bothends.model import advice
from bothends.model.estimate import Estimate
from bothends.model.lattice import Lattice
from bothends.model.request import read
from bothends.model.solve import Plan
from bothends.model.trial import trials
from model.cars import Sheet, Truth

DATUM = {"datum": 1.0, "sd": 0.28}


def made(sheet: Sheet, what: str, side: str) -> Sheet:
    """The sheet with the test made on it."""
    sheet = copy.deepcopy(sheet)
    if what == "board-test":
        for board in {"left": [(50.0, 0.0)], "right": [(0.0, 50.0)], "both": [(50.0, 0.0), (0.0, 50.0)]}[
            side
        ]:
            sheet.both("body-height", board_mm=board).both("riding-angle", board_mm=board, **DATUM)
    elif what == "hang-test":
        sheet.both("hub-to-body")
        for s in (0, 1):
            hung = sheet.truth.hanging_deg[s] + sheet.turn[s]
            sheet.read("riding-angle", s, hung_deg=hung, **DATUM).read("hub-to-body", s, hung_deg=hung)
    elif what == "scales":
        sheet.both("wheel-load")
    elif what == "centre-jack":
        sheet.both("body-height", centred=True).both("riding-angle", centred=True, **DATUM)
    elif what == "ballast-test":
        for kind, more in (("body-height", {}), ("riding-angle", DATUM)):
            sheet.both(kind, ballast_kg=(25.0, 25.0), **more)
    elif what == "body-height":
        sheet.both("body-height", "body-height")
    elif what == "settling":
        sheet.both("body-height", resettled=1).both("riding-angle", resettled=1, **DATUM)
    else:
        sheet.both(what, **DATUM)
    return sheet


def spreads(variance) -> list:
    """Left, right and lean, [mm]."""
    left, right, shared = variance
    return [math.sqrt(v) * 1e3 for v in (left, right, left + right - 2 * shared)]


def promised_and_kept(sheet: Sheet, only: str | None = None, **car):
    """For each test: what, side, the spreads of the best option's heights as promised and as kept.

    ``only`` one of them, where said.
    """
    lattice = Lattice(Plan(sheet.request(**car)).estimate)
    point = lattice.both_ends()
    for trial in trials(lattice.estimate):
        if only and trial.what != only:
            continue
        promised = advice._after(lattice.estimate, trial, point.rows, point.variance)
        # To first order a test changes the constants' spreads; what it shows of friction's band is not counted.
        case = read(made(sheet, trial.what, trial.side).request(**car))
        again = Lattice(Estimate(case, friction=lattice.estimate.friction))
        kept = again.point(*point.steps).variance
        yield trial.what, trial.side, spreads(promised), spreads(kept), spreads(point.variance)


LOGS = {
    "plain": Sheet(Truth()).plain(1, **DATUM),
    "two rounds": Sheet(Truth()).plain(2, **DATUM),
    "after a teardown": Sheet(Truth()).plain(1, **DATUM).move(left=(0, 1), right=(1, 0)).plain(1, **DATUM),
    "weighed": Sheet(Truth()).plain(1, **DATUM).both("wheel-load"),
}


@pytest.mark.parametrize("sheet", LOGS.values(), ids=LOGS.keys())
def test_the_spread_promised_is_the_spread_left(sheet):
    seen = []
    for what, side, promised, kept, before in promised_and_kept(sheet):
        seen.append((what, side))
        assert promised == pytest.approx(kept, rel=0.012), (what, side)
        assert all(p <= b * (1 + 1e-9) for p, b in zip(promised, before, strict=True))
    assert len(seen) == len(set(seen)) == 11


def test_a_car_without_riding_angles_is_told_what_they_would_bring():
    sheet = Sheet(Truth()).both("hanging-angle", **DATUM).both("body-height")
    for what, side, promised, kept, _ in promised_and_kept(sheet):
        if what != "hang-test":  # Made here with hubs read riding, which share the height's friction.
            assert promised == pytest.approx(kept, rel=0.012), (what, side)


def test_a_side_that_was_never_read_in_this_state_has_nothing_to_be_read_again():
    sheet = Sheet(Truth()).plain(1, **DATUM).move(left=(0, 1), right=(0, 0))
    offered = {trial.what for trial in trials(Plan(sheet.request()).estimate)}
    assert "body-height" not in offered
    assert "hanging-angle" not in offered
    assert {"board-test", "riding-angle", "scales", "ballast-test", "hang-test"} <= offered


def test_reading_the_datum_at_last_is_worth_what_it_brings():
    sheet = Sheet(Truth()).plain(1, reference="gravity", pitch=1.0)
    for what, _, promised, kept, _ in promised_and_kept(sheet):
        if what in ("riding-angle", "hanging-angle"):
            # The new reading is of the settling that the old one was of, which told the sides apart; the trial
            # takes it as another.
            assert promised == pytest.approx(kept, rel=0.02), what


def test_the_same_board_test_again_is_worth_what_it_brings():
    sheet = Sheet(Truth()).plain(2, **DATUM).boards()
    for what, side, promised, kept, _ in promised_and_kept(sheet):
        if what == "board-test":
            assert promised == pytest.approx(kept, rel=0.005), side


def test_a_hang_test_on_stiff_bushes_is_worth_what_it_brings():
    bush = {"ratio": 0.1, "rest_sd_deg": 6.0}
    sheet = Sheet(Truth(bush=0.1)).plain(1, **DATUM)
    for what, _, promised, kept, _ in promised_and_kept(sheet, bush=bush):
        if what == "hang-test":
            assert promised == pytest.approx(kept, rel=0.02)
