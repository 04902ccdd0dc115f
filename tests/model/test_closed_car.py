"""A car of which nothing, or only a part, is known: there is always a plan, and it is as sure as it says."""

import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model import beliefs, fields
from bothends.model.bands import BANDS, BELIEVED
from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from model.cars import BAR, DEG, SIDES, Sheet, Truth, drawn, steady
from model.test_solve import sensible

RISE = {"as": "rise", "left_rise_mm": 30.0, "right_rise_mm": 30.0}
ANGLES = {"as": "hanging-angle", "left_deg": 17.0, "right_deg": 17.0}
LEVEL = {"as": "level", "rise_mm": 20.0}
HEIGHTS = {"left_mm": 230.0, "right_mm": 230.0}


def put(car: dict, path: str, value) -> dict:
    *parents, last = path.split(".")
    for part in parents:
        car = car.setdefault(part, {})
    car[last] = value
    return car


# -- nothing at all --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("log", [None, []])
@pytest.mark.parametrize("target", [RISE, ANGLES], ids=["rise", "hanging-angle"])
def test_a_rise_or_hanging_angles_need_neither_car_nor_log(target, log):
    answer = solve({"car": {}, "target": target, "log": log})
    sensible(answer)
    assert answer["headline"]["code"] == "turn-degrees"
    assert answer["step_deg"] == {"fine": None, "inner": None, "outer": None, "turn": None}
    assert (answer["target"]["left_mm"], answer["target"]["right_mm"]) == (None, None)
    for option in answer["options"]:
        assert option["stopped_by"] == []
        for side in SIDES:
            assert option[side]["body_height_mm"] is option[side]["hub_to_body_mm"] is None
            assert option[side]["inner"] is option[side]["outer"] is option[side]["steps"] is None
            assert option[side]["stress_at_bump_mpa"] is None


@pytest.mark.parametrize("car", [None, {}, {"bar": {}}, {"bar": None, "load_kg": {}, "limits": None}])
def test_a_car_left_out_is_a_car_that_nobody_knows(car):
    assert solve({"car": car, "target": RISE}) == solve({"target": RISE, "log": []})


@pytest.mark.parametrize("target", [HEIGHTS, LEVEL], ids=["heights", "level"])
@pytest.mark.parametrize("read", [(), (0,), (1,)])
def test_heights_and_a_level_miss_the_height_that_was_not_read(target, read):
    sheet = Sheet(Truth()).both("hanging-angle", "riding-angle", "hub-to-body", "wheel-load")
    for side in read:
        sheet.read("body-height", side)
    with pytest.raises(ModelProblem) as caught:
        solve({"car": {}, "target": target, "log": sheet.log})
    assert (caught.value.code, caught.value.path) == ("missing-reading", "$.log")
    assert ("on the right" if 0 in read else "on the left") in caught.value.detail


@pytest.mark.parametrize("target", [HEIGHTS, LEVEL], ids=["heights", "level"])
def test_heights_and_a_level_need_nothing_but_one_height_a_side(target):
    answer = solve({"car": {}, "target": target, "log": Sheet(Truth()).both("body-height").log})
    sensible(answer)
    assert answer["options"][0]["recommended"]
    for side in SIDES:
        wanted = answer["target"][side + "_mm"]
        assert answer["options"][0][side]["body_height_mm"]["value"] == pytest.approx(wanted, abs=0.01)


def believed(rng) -> Truth:
    """A car drawn from what is believed of any car."""
    return Truth(
        hanging_deg=tuple(beliefs.HANGING_DEG + beliefs.HANGING_SD_DEG * rng.normal(size=2)),
        rate=beliefs.RATE_NM_PER_DEG / DEG * math.exp(beliefs.RATE_SD * rng.normal()),
        arm_m=(beliefs.ARM_MM + beliefs.ARM_SD_MM * rng.normal()) * 1e-3,
        bush=max(0.0, 0.045 + 0.02 * rng.normal()),
        load_kg=tuple(beliefs.LOAD_KG + beliefs.LOAD_SD_KG * rng.normal(size=2)),
        roll=13e3 * math.exp(5.0 / 13.0 * rng.normal()),
        uneven_m=0.004 * rng.normal(),
        tyre=180e3 * math.exp(35.0 / 180.0 * rng.normal()),
    )


@pytest.mark.parametrize("rise", [(30.0, 30.0), (30.0, -20.0), (-40.0, -40.0), (60.0, 60.0)])
def test_a_rule_of_thumb_is_as_sure_as_it_says(rise):
    # Cars as they are believed to be, the steps falling anywhere: the arms turned as the plan has it.
    target = {"as": "rise", "left_rise_mm": rise[0], "right_rise_mm": rise[1]}
    first = solve({"car": {}, "target": target})["options"][0]
    rng = np.random.default_rng(3)
    half = 0.5 * beliefs.FINE_STEP_DEG
    off = []
    while len(off) < 1500:
        truth = believed(rng)
        turn = [first[side]["turn_deg"] + rng.uniform(-half, half) for side in SIDES]
        before, after = truth.settled(), truth.settled(turn_deg=turn)
        # One in a few hundred would not stand at all.
        if before is not None and after is not None:
            band = rng.choice(BANDS, p=BELIEVED) * 1e3
            rub = rng.normal(0.0, band, (2, 2)).sum(axis=0)
            off.append([(after.height[s] - before.height[s]) * 1e3 + rub[s] - rise[s] for s in (0, 1)])
    off = np.array(off)
    # Heights that were never read are judged by the change itself: of the lean afterwards nothing can be told.
    landed = (np.abs(off) <= 5.0).all(axis=1)
    # 1,500 cars tell a share to 0.013; what the plan takes to first order costs as much again.
    assert landed.mean() == pytest.approx(first["odds"], abs=0.05)
    for s, side in enumerate(SIDES):
        middle = 0.5 * (np.quantile(off[:, s], 0.8413) - np.quantile(off[:, s], 0.1587))
        assert first[side]["rise_mm"]["sd"] == pytest.approx(middle, rel=0.15)
        assert first[side]["rise_mm"]["value"] == pytest.approx(rise[s], abs=0.01)


# -- a part of it ----------------------------------------------------------------------------------------------

GIVEN = {
    "bar.diameter_mm": 22.0,
    "bar.length_mm": 600.0,
    "bar.bore_mm": 2.0,
    "bar.inner_teeth": 40,
    "bar.outer_teeth": 44,
    "arm_mm": 415.0,
    "load_kg.left": 235.0,
    "load_kg.right": 235.0,
    "limits.stop_deg": 3.0,
    "limits.bump_mm": 60.0,
    "limits.droop_mm": 90.0,
    "limits.permissible_stress_mpa": 1000.0,
    "limits.joint_deg": 20.0,
    "axle": "swing",
    "held.left": ["inner"],
    "held.right": ["outer", "inner"],
}
READ = [(what, side) for what in ("hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load")
        for side in (0, 1)]  # fmt: skip
MORE = st.sampled_from(["boards", "hung left", "hung right", "ballast"])
TARGETS = st.sampled_from(
    [
        RISE,
        ANGLES,
        LEVEL,
        HEIGHTS,
        {**RISE, "right_rise_mm": -25.0, "measured": "hub-to-body"},
        {**LEVEL, "at": "mean", "ballast_left_kg": 70.0},
        {**ANGLES, "left_deg": 9.0, "ballast_right_kg": 50.0},
    ]
)


@pytest.mark.slow(seconds=2)
@given(
    st.integers(0, 500),
    st.sets(st.sampled_from(sorted(GIVEN))),
    st.sets(st.sampled_from(READ)),
    st.sets(MORE),
    TARGETS,
    st.sampled_from(["metric", "inch"]),
)
@steady(300)
def test_every_part_of_what_could_be_known_gives_a_plan_and_never_a_problem(
    seed, facts, readings, more, target, units
):
    car = {}
    for path in facts:
        put(car, path, GIVEN[path])
    sheet = Sheet(drawn(seed), np.random.default_rng(seed))
    for what, side in sorted(readings):
        sheet.read(what, side)
    if "boards" in more:
        sheet.boards()
    if "ballast" in more:
        sheet.both("riding-angle", "body-height", ballast_kg=(50.0, 20.0))
    for side, name in enumerate(SIDES):
        if f"hung {name}" in more:
            sheet.read("riding-angle", side, hung_deg=4.0).read("hub-to-body", side, hung_deg=4.0)
    request = {"car": car, "target": target, "log": sheet.log, "units": units}
    kind = target.get("measured", "body-height")
    read = {entry["side"] for entry in sheet.log if entry["what"] == kind}
    if target.get("as", "heights") in ("heights", "level") and read != set(SIDES):
        with pytest.raises(ModelProblem) as caught:
            solve(request)
        assert caught.value.code == "missing-reading"
        return
    answer = solve(request)
    sensible(answer)
    counted = {"bar.inner_teeth", "bar.outer_teeth"} <= facts
    assert (answer["step_deg"]["fine"] is not None) == counted
    for option in answer["options"]:
        for side in SIDES:
            assert (option[side]["steps"] is not None) == counted
    for side in SIDES:
        seen = {entry["what"] for entry in sheet.log if entry["side"] == side}
        for option in [answer["now"], *answer["options"]]:
            for what, name in (("body-height", "body_height_mm"), ("hub-to-body", "hub_to_body_mm")):
                assert (option[side][name] is not None) == (what in seen)


EXTREME = {
    **{
        f"{f.path} {value:g}": {f.path: value}
        for f in fields.FIELDS
        if f.path.startswith("car.")
        for value in f.limits
    },
    "the softest bar": {"car.bar.diameter_mm": 5.0, "car.bar.length_mm": 3000.0},
    "the stiffest bar": {"car.bar.diameter_mm": 80.0, "car.bar.length_mm": 100.0},
    "a long arm": {"car.arm_mm": 1500.0},
    "two tonnes a spring": {"car.load_kg.left": 2000.0, "car.load_kg.right": 2000.0},
    "two tonnes on a long arm": {"car.arm_mm": 1500.0, "car.load_kg.left": 2000.0},
    "a feather beside a lorry": {"car.load_kg.left": 5.0, "car.load_kg.right": 5000.0},
}
LOGS = {
    "nothing read": [],
    "heights": Sheet(Truth()).both("body-height").log,
    "closed": Sheet(Truth()).both("riding-angle", "body-height").log,
}


@pytest.mark.parametrize(
    "log",
    # Two hundred each: the fast lane has those that a first plan is made of.
    [
        pytest.param(log, id=name, marks=[pytest.mark.slow(seconds=0.05)] if name != "heights" else [])
        for name, log in LOGS.items()
    ],
)
@pytest.mark.parametrize("given_", EXTREME.values(), ids=EXTREME.keys())
def test_whatever_one_fact_is_beside_unknown_others_there_is_a_plan(given_, log):
    car = {}
    for path, value in given_.items():
        put(car, path.removeprefix("car."), value)
    for target in (RISE, ANGLES):
        sensible(solve({"car": car, "target": target, "log": log}))


def test_facts_that_cannot_stand_together_are_refused_with_what_to_check():
    # Given, all of them: no belief gives way.
    car = {"bar": {"diameter_mm": 5.0, "length_mm": 3000.0}, "arm_mm": 415.0, "load_kg": {"left": 235.0}}
    with pytest.raises(ModelProblem) as caught:
        solve({"car": car, "target": RISE})
    assert (caught.value.code, caught.value.path) == ("no-equilibrium", "$.car")
    assert "diameter" in caught.value.detail


def test_a_guess_gives_way_to_a_reading_and_never_to_a_guess():
    # Weighed at twice what is believed: the load follows the scales, and so does the rate of a bar nobody knows.
    truth = Truth(load_kg=(480.0, 470.0), rate=1.9 * Truth().rate, hanging_deg=(15.0, 14.0))
    sheet = Sheet(truth).plain(3).boards(rounds=2).both("wheel-load")
    answer = solve({"car": {"unsprung_sd_kg": 0.5}, "target": RISE, "log": sheet.log})
    assert answer["doubts"] == []
    for s, side in enumerate(SIDES):
        now = answer["now"][side]["load_kg"]
        assert abs(now["value"] - truth.load_kg[s]) < 3.0 * now["sd"] < 40.0
    rate = answer["learned"]["bar_nm_per_deg"]
    assert rate["value"] > 70.0
    assert abs(rate["value"] - truth.rate * DEG) < 3.0 * rate["sd"]


def test_teeth_follow_as_soon_as_both_ends_are_counted():
    log = Sheet(Truth()).both("riding-angle", "body-height").boards().log
    degrees = solve({"car": {}, "target": LEVEL, "log": log})
    for counts in ({"inner_teeth": 40}, {"outer_teeth": 44}):
        half = solve({"car": {"bar": counts}, "target": LEVEL, "log": log})
        # One count changes nothing but what it says of its own end.
        assert half["options"] == degrees["options"]
        assert half["step_deg"]["fine"] is None
        (known,) = [name for name in ("inner", "outer") if half["step_deg"][name] is not None]
        assert half["step_deg"][known] == pytest.approx(360.0 / counts[known + "_teeth"])
    teeth = solve({"car": {"bar": {"inner_teeth": 40, "outer_teeth": 44}}, "target": LEVEL, "log": log})
    first, before = teeth["options"][0], degrees["options"][0]
    for side in SIDES:
        turned = 9.0 * first[side]["inner"] + 360.0 / 44 * first[side]["outer"]
        assert first[side]["turn_deg"] == pytest.approx(turned, abs=1e-9)
        # The nearest step to what was planned in degrees.
        assert first[side]["turn_deg"] == pytest.approx(before[side]["turn_deg"], abs=1.2)
    assert first["odds"] == pytest.approx(before["odds"], abs=0.15)


def test_what_is_known_of_a_car_that_was_here_before_is_enough_for_its_next_visit():
    sheet = Sheet(drawn(4), np.random.default_rng(4)).plain(2).boards()
    known = solve(sheet.request())["posterior"]
    fresh, again = [
        solve({"car": {"known": given, "bar": BAR}, "target": RISE, "log": []}) for given in (None, known)
    ]
    assert again["options"][0]["odds"] > fresh["options"][0]["odds"]
    assert again["learned"]["arm_mm"]["sd"] < 0.2 * fresh["learned"]["arm_mm"]["sd"]


def test_an_answer_about_nothing_is_whole_json():
    for target in (RISE, ANGLES):
        json.dumps(solve({"car": {}, "target": target}), allow_nan=False)
