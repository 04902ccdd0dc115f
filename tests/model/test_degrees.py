"""Plans in degrees, while the teeth are not counted: the odds are those of sampled phases."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model import beliefs, degrees
from bothends.model.degrees import Degrees
from bothends.model.lattice import FURTHEST, Lattice
from bothends.model.solve import Plan, search_of, solve
from bothends.model.statics import ALPHA_LEFT
from model.cars import BAR, DEG, SIDES, Sheet, Truth, drawn, steady
from model.cases import rise, wished

UNCOUNTED = {name: value for name, value in BAR.items() if "teeth" not in name}


def uncounted(seed: int, up: tuple, boards: bool = False, **car) -> dict:
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(2)
    if boards:
        sheet.boards()
    return wished(sheet, rise(*up), bar=UNCOUNTED, **car)


def test_the_search_is_over_degrees_until_both_ends_are_counted():
    request = uncounted(1, (30.0, 30.0))
    for teeth, kind in (
        ({}, Degrees),
        ({"inner_teeth": 40}, Degrees),
        ({"outer_teeth": 44}, Degrees),
        ({"inner_teeth": 40, "outer_teeth": 44}, Lattice),
    ):
        request["car"]["bar"] = {**UNCOUNTED, **teeth}
        assert type(search_of(Plan(request).estimate)) is kind


@pytest.mark.parametrize(
    ("held", "steps"),
    [
        ({}, (beliefs.FINE_STEP_DEG, beliefs.FINE_STEP_DEG)),
        ({"left": ["inner"]}, (beliefs.TOOTH_DEG, beliefs.FINE_STEP_DEG)),
        ({"left": ["outer"], "right": ["inner"]}, (9.0, beliefs.TOOTH_DEG)),
    ],
)
def test_the_odds_are_those_of_sampled_phases(held, steps):
    # Each side comes to rest on the step nearest to its plan, and those fall anywhere: uniform, unlike, both sides.
    rng = np.random.default_rng(7)
    for seed in (1, 2):
        request = uncounted(seed, (60.0, 52.0), boards=True, held=held)
        request["car"]["bar"]["inner_teeth"] = 40
        found = search_of(Plan(request).estimate)
        assert [s / DEG for s in found.step] == pytest.approx(steps)
        point = found.both_ends()
        assert point.moved == (True, True)
        _, variance, _ = found.aim.expect(point.rest, point.turn, point.moved)
        half = 0.5 * np.array(steps) * DEG
        phases = rng.uniform(-half, half, (400_000, 2))
        slopes = np.array([point.rest.d_height[s][ALPHA_LEFT : ALPHA_LEFT + 2] for s in (0, 1)])
        vl, vr, vlr = variance
        noise = rng.multivariate_normal([0.0, 0.0], [[vl, vlr], [vlr, vr]], len(phases))
        off = (np.array(point.off) + phases @ slopes.T + noise) * 1e3
        landed = (np.abs(off) <= 5.0).all(axis=1) & (np.abs(off[:, 0] - off[:, 1]) <= 5.0)
        assert point.odds == pytest.approx(landed.mean(), abs=0.003)
        # What is said of the heights has the phase in it too.
        option = next(o for o in solve(request)["options"] if o["label"] == "both sides")
        for s, side in enumerate(SIDES):
            assert option[side]["body_height_mm"]["sd"] == pytest.approx(off[:, s].std(), rel=0.01)
        assert option["lean_mm"]["sd"] == pytest.approx((off[:, 0] - off[:, 1]).std(), rel=0.01)


def test_odds_of_hanging_angles_in_degrees_are_those_of_sampled_phases():
    request = uncounted(3, (0.0, 0.0))
    request["target"] = {"as": "hanging-angle", "left_deg": 18.0, "right_deg": 17.0}
    found = search_of(Plan(request).estimate)
    point = found.both_ends()
    _, variance, _ = found.aim.expect(point.rest, point.turn, point.moved)
    rng = np.random.default_rng(3)
    half = 0.5 * beliefs.FINE_STEP_DEG
    noise = rng.multivariate_normal(
        [0.0, 0.0], [[variance[0], variance[2]], [variance[2], variance[1]]], 400_000
    )
    off = noise / DEG + rng.uniform(-half, half, noise.shape)
    assert point.odds == pytest.approx((np.abs(off) <= 0.8).all(axis=1).mean(), abs=0.003)


@pytest.mark.slow
def test_counting_the_teeth_keeps_on_average_what_the_degrees_promised():
    # The steps of this car fall somewhere; over many cars they fall anywhere.
    promised, kept = [], []
    for seed in range(60):
        request = uncounted(seed, (30.0 + 0.1 * seed, 33.0))
        promised.append(solve(request)["options"][0]["odds"])
        request["car"]["bar"] = BAR
        kept.append(Lattice(Plan(request).estimate).both_ends().odds)
    # Sixty cars; the teeth are chosen by odds, and not side by side to the nearest: a little better, and less work.
    assert np.mean(kept) == pytest.approx(np.mean(promised), abs=0.06)


@given(st.integers(0, 200), st.tuples(st.floats(-60.0, 90.0), st.floats(-60.0, 90.0)))
@steady(40)
def test_both_sides_are_turned_to_where_the_target_is(seed, up):
    answer = solve(uncounted(seed, up))
    both = [o for o in answer["options"] if o["label"] == "both sides"]
    for option in both:
        assert option["ends_disturbed"] == 4
        for side in SIDES:
            wanted = answer["target"][side + "_mm"]
            assert option[side]["body_height_mm"]["value"] == pytest.approx(wanted, abs=0.01)
    # A side that would turn by less than half a step is left, which may be where only the other is far off.
    one = [o for o in answer["options"] if o["label"].endswith("side only")]
    assert both or one or max(abs(u) for u in up) < 20.0


def test_a_side_that_would_turn_by_less_than_half_a_step_is_left():
    truth = Truth(hanging_deg=(10.0, 10.0))
    before, after = truth.settled(), truth.settled(turn_deg=(5.0, 0.3))
    up = [(after.height[s] - before.height[s]) * 1e3 for s in (0, 1)]
    answer = solve(wished(Sheet(truth).plain(3), rise(*up), bar=UNCOUNTED))
    first = answer["options"][0]
    assert first["label"] == "left side only"
    assert (first["right"]["turn_deg"], first["ends_disturbed"]) == (0.0, 2)


def test_labels_speak_of_sides_as_nobody_knows_of_ends():
    said = {o["label"] for seed in range(12) for o in solve(uncounted(seed, (25.0, -20.0)))["options"]}
    assert said <= {"both sides", "left side only", "right side only", "leave it"}


def test_no_arm_is_planned_beyond_what_is_planned_for_at_all():
    request = uncounted(1, (400.0, 400.0))
    found = search_of(Plan(request).estimate)
    point = found.both_ends()
    for s in (0, 1):
        assert found.estimate.theta[s] + point.turn[s] <= FURTHEST + 1e-12


def test_a_finer_belief_of_the_step_promises_more(monkeypatch):
    request = uncounted(1, (30.0, 30.0), boards=True)
    promised = []
    for step in (0.1, 0.8, 2.0):
        monkeypatch.setattr(degrees, "FINE_STEP_DEG", step)
        promised.append(solve(request)["options"][0]["odds"])
    assert promised == sorted(promised, reverse=True)
    assert promised[0] > promised[2] + 0.1
    assert math.isfinite(promised[2])
