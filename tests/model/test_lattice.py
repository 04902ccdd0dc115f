"""The search over whole teeth against trying everything."""

import json
import math
from pathlib import Path

import numpy as np
import pytest

import bothends
from bothends.model.cost import END_COST, TOOTH_COST
from bothends.model.lattice import Lattice
from bothends.model.odds import COARSE, landing
from bothends.model.predict import heights
from bothends.model.problem import ModelProblem
from bothends.model.solve import Plan, solve
from bothends.model.teeth import cheapest, turn_deg
from model.cars import DEG, Sheet, Truth, drawn

TEETH = [
    (40, 44),
    (44, 40),
    (24, 25),
    (30, 31),
    (30, 32),
    (40, 40),
    (47, 48),
    (22, 44),
    (3, 3),
    (3, 4),
    (12, 13),
]


def lattice(seed: int, teeth: tuple) -> Lattice:
    """The lattice of a car drawn by seed, wanted somewhere between 60 mm lower and 80 mm higher."""
    rng = np.random.default_rng(seed)
    truth = drawn(seed)
    sheet = Sheet(truth, rng, teeth).plain(int(rng.integers(1, 3)))
    if rng.random() < 0.5:
        sheet.boards()
    height = (truth.mark_m[0] + truth.settled().height[0]) * 1e3 + float(rng.uniform(-60.0, 80.0))
    target = (height + float(rng.normal(0.0, 3.0)), height + float(rng.normal(0.0, 3.0)))
    tolerance, lean = [float(rng.choice([3.0, 5.0, 8.0, 15.0])) for _ in range(2)]
    return Lattice(Plan(sheet.request(target, tolerance, lean)).estimate)


def everything(found: Lattice, reach: int) -> list:
    """Every point within ``reach`` fine steps of the centre, and those that turn one side only."""
    spans = []
    for s in (0, 1):
        middle = round(found.centre[s] / found.fine)
        spans.append(sorted({0, *range(middle - reach, middle + reach + 1)}))
    points = [found.point(left, right) for left in spans[0] for right in spans[1]]
    return [point for point in points if point.rest is not None]


def offered(found: Lattice) -> list:
    points = [found.both_ends(), found.outer_ends(), found.one_side(0), found.one_side(1), found.now]
    return [point for point in points if point is not None and point.rest is not None]


@pytest.mark.slow(seconds=2)
def test_the_search_finds_the_best_of_a_wide_lattice():
    short = []
    for seed in range(66):
        found = lattice(seed, TEETH[seed % len(TEETH)])
        chosen = max(offered(found), key=lambda point: point.score)
        best = max(everything(found, 6), key=lambda point: point.score)
        short.append(best.score - chosen.score)
        # Where a simpler turn slips through the quick ranking, it is worth less than the rule it is judged by.
        assert short[-1] < 0.02, seed
    # Nearly always it is the very best.
    assert sum(gap > 1e-9 for gap in short) <= 6


@pytest.mark.parametrize("seed", [119, 108])
def test_an_easier_turn_with_odds_as_good_is_not_overlooked(seed):
    found = lattice(seed, (40, 44))
    chosen = max(offered(found), key=lambda point: point.score)
    best = max(everything(found, 8), key=lambda point: point.score)
    assert chosen.score == pytest.approx(best.score, abs=1e-9)


@pytest.mark.slow
def test_both_ends_has_the_best_odds_within_a_few_parts_in_a_thousand():
    for seed in range(30):
        found = lattice(seed, (40, 44))
        best = max(point.odds for point in everything(found, 6))
        both = found.both_ends()
        # It is chosen by score, which gives up a few points of odds for less work.
        assert both.odds > best - 0.03, seed


@pytest.mark.parametrize("teeth", [(40, 40), (3, 3), (3, 4), (12, 13)])
def test_coarse_teeth_are_all_worked_out(teeth):
    for seed in range(6):
        found = lattice(seed, teeth)
        lefts, rights = [found.around(found.centre[s], 1, 3) for s in (0, 1)]
        grid = [found.point(left, right) for left in lefts for right in rights]
        grid = [point for point in grid if point.rest is not None]
        best = found.best(lefts, rights)
        if found.fine > 0.05:
            assert found.rank(best) == max(found.rank(point) for point in grid)


def test_the_centre_would_hit_both_targets_if_teeth_had_no_size():
    for seed in range(20):
        found = lattice(seed, (40, 44))
        rest = found.estimate.rest_at(tuple(found.start[s] + found.centre[s] for s in (0, 1)))
        for s in (0, 1):
            height = found.estimate.theta[10 + s] + rest.height[s]
            assert height == pytest.approx(found.aim.wanted[s], abs=2e-5)


def test_a_point_is_its_teeth_its_turn_and_its_odds():
    found = lattice(1, (40, 44))
    for left in (-7, 0, 4):
        for right in (-3, 0, 10):
            point = found.point(left, right)
            assert point.steps == (left, right)
            for s, steps in enumerate((left, right)):
                assert point.teeth[s] == cheapest(steps=steps, inner_teeth=40, outer_teeth=44)
                inner, outer = point.teeth[s]
                turned = turn_deg(inner=inner, outer=outer, inner_teeth=40, outer_teeth=44) * DEG
                assert point.turn[s] - found.start[s] == pytest.approx(turned, abs=1e-12)
            # By the coarse rule, which is enough to choose by.
            exact = landing(
                mean=point.off,
                variance=point.variance,
                tolerance=found.case.wish.tolerance,
                lean=found.case.wish.lean,
                rule=COARSE,
            )
            assert point.odds == pytest.approx(exact, abs=1e-4)
            teeth = sum(abs(n) for side in point.teeth for n in side)
            ends = sum(n != 0 for side in point.teeth for n in side)
            assert point.ends() == ends
            assert point.score == pytest.approx(point.odds - END_COST * ends - TOOTH_COST * teeth)


def test_a_point_is_worked_out_once():
    found = lattice(1, (40, 44))
    assert found.point(3, 4) is found.point(3, 4)


def test_outer_ends_leave_the_inner_ends_alone_and_one_side_the_other():
    for seed in range(22):
        found = lattice(seed, TEETH[seed % len(TEETH)])
        outer = found.outer_ends()
        if outer is not None:
            assert all(inner == 0 for inner, _ in outer.teeth)
            assert outer.ends() > 0
        for side in (0, 1):
            one = found.one_side(side)
            if one is not None:
                assert one.steps[1 - side] == 0
                assert one.steps[side] != 0


def test_outer_ends_are_the_best_of_whole_outer_teeth():
    for seed in range(20):
        found = lattice(seed, (40, 44))
        middle = [round(found.centre[s] / (10 * found.fine)) for s in (0, 1)]
        grid = [
            found.point(10 * (middle[0] + i), 10 * (middle[1] + j))
            for i in range(-3, 4)
            for j in range(-3, 4)
            if middle[0] + i or middle[1] + j
        ]
        best = max((point for point in grid if point.rest is not None), key=found.rank)
        assert found.rank(found.outer_ends())[0] == pytest.approx(found.rank(best)[0], abs=0.005)


def test_a_side_that_is_turned_is_clamped_anew_and_the_other_is_not():
    found = lattice(3, (40, 44))
    rest = found.now.rest
    assert found.now.variance == heights(found.estimate, rest, (False, False))[1]
    left = found.point(2, 0)
    assert left.variance == heights(found.estimate, left.rest, (True, False))[1]


def test_a_car_that_stands_right_is_best_left():
    truth = Truth(hanging_deg=(10.0, 10.0))
    target = [(truth.mark_m[s] + truth.settled().height[s]) * 1e3 for s in (0, 1)]
    found = Lattice(Plan(Sheet(truth).plain(3).request(target, 6.0, 6.0)).estimate)
    assert found.both_ends().ends() > 0
    assert max(offered(found), key=lambda point: point.score) is found.now
    assert found.now.ends() == 0


def test_a_mirrored_car_has_a_mirrored_lattice():
    truth = drawn(7)
    one, two = [
        Lattice(Plan(Sheet(t).plain().request(target)).estimate)
        for t, target in ((truth, (215.0, 220.0)), (truth.mirrored(), (220.0, 215.0)))
    ]
    for left, right in ((3, -2), (0, 5), (10, 10)):
        a, b = one.point(left, right), two.point(right, left)
        assert a.odds == pytest.approx(b.odds, abs=1e-8)
        assert a.teeth == b.teeth[::-1]
    assert one.both_ends().steps == two.both_ends().steps[::-1]


def test_steps_follow_moves_already_made():
    truth = Truth()
    sheet = Sheet(truth).plain().move(left=(-3, 4), right=(0, 1)).plain()
    found = Lattice(Plan(sheet.request()).estimate)
    assert found.start == pytest.approx([t * DEG for t in sheet.turn])
    height = found.estimate.theta[10] + found.now.rest.height[0]
    assert found.point(0, 0).off[0] == pytest.approx(height - found.aim.wanted[0], abs=1e-9)


def test_heights_that_no_turn_moves_ask_for_no_turn():
    # An arm straight up or down has no lever: its height does not change with its angle.
    assert Lattice.solve(((0.0, 0.0), (0.0, 0.4)), (0.01, 0.01)) == (0.0, 0.0)
    assert Lattice.solve(((0.5, 0.0), (0.0, 0.4)), (0.01, 0.02)) == pytest.approx((0.02, 0.05))


def test_a_gauge_at_the_end_of_its_scale_is_answered_or_refused():
    request = json.loads(
        (Path(bothends.__file__).parent / "demo" / "gannet.json").read_text(encoding="utf-8")
    )
    request = request.get("request", request)
    request["car"]["arm_mm"] = 100.0
    next(r for r in request["log"] if r["what"] == "riding-angle" and r["side"] == "right")["value"] = 89.0
    request["log"].append(
        {"kind": "move", "teardown": 1, "left": {"inner": 2, "outer": -9}, "right": {"inner": -5}}
    )
    request["log"] += [
        {"kind": "reading", "what": "body-height", "side": side, "value": value, "teardown": 1}
        for side, value in (("left", 296.7), ("right", 272.7))
    ]
    try:
        odds = [option["odds"] for option in solve(request)["options"]]
    except ModelProblem as problem:
        odds = [] if problem.path.startswith("$.log") else [math.nan]
    assert all(math.isfinite(value) for value in odds)
