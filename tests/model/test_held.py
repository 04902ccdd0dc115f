"""Ends that cannot or must not be turned: every plan keeps to them, in teeth and in degrees."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.lattice import Lattice
from bothends.model.sentences import CAUTIONS
from bothends.model.solve import Plan, solve
from model.cars import BAR, SIDES, Sheet, drawn, steady
from model.cases import rise, stood, wished

ENDS = ("inner", "outer")
BOTH = list(ENDS)
HELD = st.fixed_dictionaries({side: st.sets(st.sampled_from(ENDS)).map(sorted) for side in SIDES})
UP = st.tuples(st.floats(-60.0, 80.0), st.floats(-60.0, 80.0))


def asked(held: dict, up: tuple, seed: int, counted: bool) -> dict:
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(2)
    request = wished(sheet, rise(*up), held=held)
    if not counted:
        request["car"]["bar"] = {"diameter_mm": 22.0, "length_mm": 600.0}
    return request


@given(HELD, UP, st.integers(0, 200))
@steady(80)
def test_no_option_turns_a_tooth_at_an_end_that_is_held(held, up, seed):
    for option in solve(asked(held, up, seed, counted=True))["options"]:
        for side, end in itertools.product(SIDES, ENDS):
            assert end not in held[side] or option[side][end] == 0
        for side in SIDES:
            teeth = 9.0 * option[side]["inner"] + 360.0 / 44 * option[side]["outer"]
            assert option[side]["turn_deg"] == pytest.approx(teeth, abs=1e-9)
            assert option[side]["steps"] == round(option[side]["turn_deg"] / (360.0 / 440))


@given(HELD, UP, st.integers(0, 200))
@steady(60)
def test_no_plan_in_degrees_turns_a_side_whose_ends_are_both_held(held, up, seed):
    for option in solve(asked(held, up, seed, counted=False))["options"]:
        for side in SIDES:
            assert len(held[side]) < 2 or option[side]["turn_deg"] == 0.0


@given(st.sampled_from(ENDS), UP, st.integers(0, 100))
@steady(20)
def test_with_one_end_held_the_best_whole_teeth_of_the_other_are_found(end, up, seed):
    found = Lattice(Plan(asked({side: [end] for side in SIDES}, up, seed, counted=True)).estimate)
    unit = 10 if end == "inner" else 11
    assert found.unit == (unit, unit)
    middle = [round(found.centre[s] / (found.fine * unit)) for s in (0, 1)]
    grid = [
        found.point(unit * (middle[0] + i), unit * (middle[1] + j))
        for i in range(-3, 4)
        for j in range(-3, 4)
        if middle[0] + i or middle[1] + j
    ]
    best = max((point for point in grid if point.rest is not None), key=found.rank)
    chosen = found.both_ends()
    assert found.rank(chosen)[0] == pytest.approx(found.rank(best)[0], abs=0.005)
    # Where none can land, one that comes about as near.
    assert found.miss(chosen) < 1.5 * found.miss(best) + 0.005


@pytest.mark.parametrize("counted", [True, False])
def test_with_every_end_held_there_is_nothing_but_to_leave_it(counted):
    answer = solve(asked(dict.fromkeys(SIDES, BOTH), (30.0, 30.0), 1, counted))
    assert [o["label"] for o in answer["options"]] == ["leave it"]
    assert (answer["headline"]["code"], answer["measure_next"]) == ("out-of-reach", [])
    assert "every end of both bars is held" in answer["headline"]["words"]
    assert CAUTIONS["held"] in answer["cautions"]


@pytest.mark.parametrize("counted", [True, False])
def test_a_car_that_is_right_may_have_every_end_held(counted):
    answer = solve(asked(dict.fromkeys(SIDES, BOTH), (0.0, 0.0), 1, counted))
    assert answer["headline"]["code"] == "as-wished"


@pytest.mark.parametrize("counted", [True, False])
def test_a_side_that_is_held_moves_only_with_the_other(counted):
    request = asked({"right": BOTH}, (25.0, 0.0), 3, counted)
    for option in solve(request)["options"]:
        assert option["right"]["turn_deg"] == 0.0
        if option["ends_disturbed"]:
            assert option["left"]["turn_deg"] > 0.0
            # The body leans over its own stiffness: the other side goes along, less.
            assert 0.0 < option["right"]["rise_mm"]["value"] < option["left"]["rise_mm"]["value"]


@pytest.mark.slow
@pytest.mark.parametrize("counted", [True, False])
def test_holding_an_end_never_raises_the_odds(counted):
    for seed in range(8):
        best = {}
        for name, held in (
            ("free", {}),
            ("one", {"left": ["inner"]}),
            ("two", {"left": ["inner"], "right": ["inner"]}),
            ("side", {"left": BOTH, "right": ["inner"]}),
        ):
            answer = solve(asked(held, (40.0, 35.0), seed, counted))
            best[name] = max(option["odds"] for option in answer["options"])
        assert best["free"] >= best["one"] - 0.03
        assert best["one"] >= best["two"] - 1e-9
        assert best["two"] >= best["side"] - 1e-9


def test_nothing_held_is_the_same_as_holding_nothing():
    one = wished(stood(), rise(30.0))
    two = wished(stood(), rise(30.0), held={"left": [], "right": None})
    assert solve(one) == solve(two)


def test_no_test_is_advised_for_what_held_ends_leave_out_of_reach():
    # However well the car is known: one side cannot be turned at all.
    for counted in (True, False):
        answer = solve(asked({"right": BOTH}, (40.0, 40.0), 2, counted))
        assert answer["options"][0]["odds"] < 0.01
        assert answer["measure_next"] == []
        for row in answer["assumed"]:
            assert row["odds_after"] is None or row["odds_after"] < 0.02


def test_a_side_held_in_degrees_lets_the_other_be_planned_alone():
    # One side is already done and tightened: the plan is for the other.
    bar = {name: value for name, value in BAR.items() if "teeth" not in name}
    request = wished(stood(), rise(20.0, 6.0), held={"right": BOTH}, bar=bar)
    first = solve(request)["options"][0]
    assert first["label"] == "left side only"
    assert first["ends_disturbed"] == 2
    assert first["left"]["turn_deg"] > 0.0
