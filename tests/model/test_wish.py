"""What may be wanted, in its forms: what each takes and refuses, and the heights it comes to on a car as found."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bothends.model import fields
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import Plan, solve
from bothends.model.wish import FORMS, Wish, amended, as_found
from model.cars import BAR, DEG, GRAVITY, SIDES, Sheet, Truth, drawn, steady

LEAST = {
    "heights": {"left_mm": 250.0, "right_mm": 252.0},
    "rise": {"as": "rise", "left_rise_mm": 30.0, "right_rise_mm": -20.0},
    "level": {"as": "level"},
    "hanging-angle": {"as": "hanging-angle", "left_deg": 17.0, "right_deg": 17.5},
    "cross-weight": {"as": "cross-weight", "cross_percent": 50.0},
}
"""The least that each form can be asked for with."""
NUMBERS = [f for f in fields.FIELDS if f.path == "target." + f.name]


def refused(source: dict, name: str) -> str:
    with pytest.raises(ModelProblem) as caught:
        Wish(source)
    assert (caught.value.code, caught.value.path) == ("out-of-range", "$.target." + name)
    return caught.value.detail


# -- the forms ---------------------------------------------------------------------------------------------------


def test_every_form_has_its_least():
    assert set(LEAST) == set(FORMS)


@pytest.mark.parametrize("form", LEAST)
def test_the_least_of_a_form_is_enough(form):
    wish = Wish(LEAST[form])
    assert wish.form == form
    assert wish.ballast == (0.0, 0.0)
    assert wish.spot == ""


@pytest.mark.parametrize("form", ["heights", "rise", "hanging-angle", "cross-weight"])
def test_nothing_of_the_least_can_be_left_out(form):
    for name in LEAST[form]:
        if name != "as":
            words = refused({**LEAST[form], name: None}, name)
            assert words == name + " is required"


def test_heights_are_meant_where_no_form_is_said():
    assert vars(Wish({"as": "heights", **LEAST["heights"]})) == vars(Wish(LEAST["heights"]))


@pytest.mark.parametrize("form", LEAST)
@pytest.mark.parametrize("name", sorted({name for names in FORMS.values() for name in names} - {"as"}))
def test_a_field_of_another_form_is_refused_by_name_with_those_that_may_be(form, name):
    value = {"at": "higher", "measured": "body-height", "spot": "bay 2", "cross_percent": 50.0}.get(name, 5.0)
    source = {**LEAST[form], name: value}
    if name in FORMS[form]:
        Wish(source)
        return
    words = refused(source, name)
    assert form in words
    for allowed in FORMS[form]:
        assert allowed == "as" or allowed in words


@pytest.mark.parametrize("field", NUMBERS, ids=[f.name for f in NUMBERS])
def test_every_number_has_its_bounds_and_both_are_allowed(field):
    form = next(form for form in LEAST if field.name in FORMS[form])
    for value in field.limits:
        Wish({**LEAST[form], field.name: value})
    step = 1e-6 * max(1.0, abs(field.low), abs(field.high))
    for value in (field.low - step, field.high + step, math.nan, math.inf):
        words = refused({**LEAST[form], field.name: value}, field.name)
        assert f"{field.low:g}" in words
        assert f"{field.high:g}" in words
    for value in (True, "12", [3.0]):
        refused({**LEAST[form], field.name: value}, field.name)


@pytest.mark.parametrize("kind", fields.MEASURED)
def test_the_bounds_of_a_height_are_those_of_the_mark_that_is_meant(kind):
    low, high = fields.kind(kind).value.limits
    source = {**LEAST["heights"], "measured": kind}
    for value in (low, high):
        assert Wish({**source, "right_mm": value}).heights[1] == pytest.approx(value * 1e-3)
    for value in (low - 1.0, high + 1.0, math.nan, "250", True):
        refused({**source, "right_mm": value}, "right_mm")
    refused({**source, "right_mm": None}, "right_mm")


@pytest.mark.parametrize(
    ("form", "name", "value"),
    [
        ("level", "at", "highest"),
        ("level", "at", ""),
        ("rise", "measured", "riding-angle"),
        ("heights", "as", "height"),
        ("hanging-angle", "spot", "x" * 41),
    ],
)
def test_a_word_that_is_not_known_is_refused(form, name, value):
    refused({**LEAST[form], name: value}, name)


def test_defaults_are_as_documented():
    for form in ("heights", "rise", "level"):
        wish = Wish(LEAST[form])
        assert (wish.tolerance, wish.lean) == pytest.approx((0.005, 0.005))
        assert wish.measured == "body-height"
    assert Wish({"as": "level"}).level == ("higher", 0.0)
    assert Wish(LEAST["hanging-angle"]).tolerance == pytest.approx(0.8 * DEG)


def test_what_is_said_is_the_form_with_its_defaults_and_the_heights_it_comes_to():
    assert Wish({"as": "level", "rise_mm": 100.0, "ballast_left_kg": 60.0}).said((0.271, 0.271)) == {
        "as": "level",
        "at": "higher",
        "rise_mm": pytest.approx(100.0),
        "left_mm": 271.0,
        "right_mm": 271.0,
        "measured": "body-height",
        "tolerance_mm": pytest.approx(5.0),
        "lean_mm": pytest.approx(5.0),
        "ballast_left_kg": pytest.approx(60.0),
        "ballast_right_kg": 0.0,
        "spot": None,
    }
    angles = Wish({**LEAST["hanging-angle"], "spot": "bay 2"}).said((None, None))
    assert angles == {
        "as": "hanging-angle",
        "left_deg": pytest.approx(17.0),
        "right_deg": pytest.approx(17.5),
        "tolerance_deg": pytest.approx(0.8),
        "left_mm": None,
        "right_mm": None,
        "ballast_left_kg": 0.0,
        "ballast_right_kg": 0.0,
        "spot": "bay 2",
    }


@given(st.sampled_from(sorted(LEAST)), st.data())
@steady(60)
def test_what_is_said_asks_for_the_same_again(form, data):
    source = dict(LEAST[form])
    for name in FORMS[form]:
        field = next((f for f in NUMBERS if f.name == name), None)
        if field is not None and data.draw(st.booleans()):
            source[name] = data.draw(st.floats(field.low, field.high))
    said = Wish(source).said((None, None))
    again = {name: said[name] for name in FORMS[form] if name not in ("left_mm", "right_mm") and name in said}
    for name in ("left_mm", "right_mm"):
        if form == "heights":
            again[name] = source[name]
    one, two = vars(Wish(source)), vars(Wish(again))
    for name, value in one.items():
        if isinstance(value, (float, tuple)) and name != "level":
            assert two[name] == pytest.approx(value, rel=1e-9, abs=1e-15)
        elif name != "level":
            assert two[name] == value


# -- the heights it comes to --------------------------------------------------------------------------------------

HEIGHTS = st.floats(0.05, 0.6)


@given(HEIGHTS, HEIGHTS, st.floats(0.0, 0.4))
@steady(100)
def test_level_at_the_higher_side_with_a_rise_never_lowers_a_side(left, right, rise):
    wanted = Wish({"as": "level", "rise_mm": rise * 1e3}).wanted((left, right))
    assert wanted[0] == wanted[1]
    assert wanted[0] >= max(left, right) - 1e-12
    # The higher side rises by the rise and by nothing else.
    assert wanted[0] - max(left, right) == pytest.approx(rise, abs=1e-12)


@given(HEIGHTS, HEIGHTS, st.floats(-0.4, 0.4))
@steady(100)
def test_level_stands_at_the_higher_at_the_lower_or_between(left, right, rise):
    higher, lower, mean = [
        Wish({"as": "level", "at": at, "rise_mm": rise * 1e3}).wanted((left, right))[0]
        for at in ("higher", "lower", "mean")
    ]
    assert higher - lower == pytest.approx(abs(left - right), abs=1e-12)
    assert mean == pytest.approx(0.5 * (higher + lower), abs=1e-12)
    assert lower == pytest.approx(min(left, right) + rise, abs=1e-12)


@given(HEIGHTS, HEIGHTS, st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
@steady(60)
def test_a_rise_is_counted_from_each_side_as_it_was_found(left, right, up_left, up_right):
    wish = Wish({"as": "rise", "left_rise_mm": up_left * 1e3, "right_rise_mm": up_right * 1e3})
    assert wish.wanted((left, right)) == pytest.approx((left + up_left, right + up_right))
    assert wish.wanted((None, right)) == (None, pytest.approx(right + up_right))


def test_what_was_not_read_comes_to_no_height():
    for at in ("higher", "lower", "mean"):
        assert Wish({"as": "level", "at": at}).wanted((0.2, None)) == (None, None)
    assert Wish(LEAST["hanging-angle"]).wanted((0.2, 0.2)) == (None, None)
    assert Wish(LEAST["heights"]).wanted((None, None)) == pytest.approx((0.25, 0.252))


def test_as_found_is_the_plain_readings_before_any_teardown_and_any_drive():
    sheet = Sheet(Truth()).both("body-height").both("hub-to-body").both("body-height", board_mm=(50.0, 0.0))
    sheet.both("body-height", ballast_kg=(40.0, 0.0)).both("body-height", after_km=120.0)
    sheet.move(left=(0, 1)).both("body-height")
    for side in (0, 1):
        sheet.read("hub-to-body", side, hung_deg=4.0)
    target = {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0}
    readings = read({**sheet.request(), "target": target}).readings
    plain, hub = as_found(readings, "body-height"), as_found(readings, "hub-to-body")
    # Ballast counts: it is carried over by the model.
    assert [[r.index for r in side] for side in plain] == [[0, 6], [1, 7]]
    assert [[r.index for r in side] for side in hub] == [[2], [3]]


# -- the plan it comes to -----------------------------------------------------------------------------------------


def figures(answer: dict, *names: str) -> list:
    """What a plan says, without what it was asked for."""
    out = []
    for option in answer["options"]:
        out.append(
            (option["label"], option["left"]["steps"], option["right"]["steps"], option["recommended"])
        )
        out += [option["odds"], option["lean_mm"]["value"]]
        for side in SIDES:
            out += [option[side]["hanging_deg"], option[side]["body_height_mm"]["value"]]
    return out


def same(one: dict, two: dict):
    for a, b in zip(figures(one), figures(two), strict=True):
        assert a == (b if isinstance(b, tuple) else pytest.approx(b, abs=1e-6))


@given(st.integers(0, 200), st.floats(-40.0, 60.0), st.floats(-40.0, 60.0))
@steady(15)
def test_a_rise_of_a_car_that_was_read_is_its_heights_as_found_plus_the_rise(seed, left, right):
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(2)
    plan = Plan(sheet.request())
    rise = plan.answer({"as": "rise", "left_rise_mm": left, "right_rise_mm": right})
    values = [[e["value"] for e in sheet.log if e["what"] == "body-height" and e["side"] == s] for s in SIDES]
    wanted = [sum(v) / len(v) + up for v, up in zip(values, (left, right), strict=True)]
    assert [rise["target"]["left_mm"], rise["target"]["right_mm"]] == pytest.approx(wanted)
    same(rise, plan.answer({"left_mm": wanted[0], "right_mm": wanted[1]}))


@pytest.mark.parametrize("at", ["higher", "lower", "mean"])
def test_a_level_is_the_heights_that_it_comes_to(at):
    sheet = Sheet(Truth()).plain()
    left, right = [e["value"] for e in sheet.log if e["what"] == "body-height"]
    plan = Plan(sheet.request())
    level = plan.answer({"as": "level", "at": at, "rise_mm": 25.0})
    height = {"higher": max(left, right), "lower": min(left, right), "mean": 0.5 * (left + right)}[at] + 25.0
    assert (level["target"]["left_mm"], level["target"]["right_mm"]) == pytest.approx((height, height))
    same(level, plan.answer({"left_mm": height, "right_mm": height}))


def hubs(at: str | None = None) -> dict:
    sheet = Sheet(Truth()).both("hanging-angle", "riding-angle", "hub-to-body")
    target = {"as": "rise", "left_rise_mm": 30.0, "right_rise_mm": 30.0, "measured": "hub-to-body"}
    return {**sheet.request(), "target": target}


def test_a_target_may_be_of_hub_to_body_heights_where_no_wheel_arch_was_read():
    request = hubs()
    first = solve(request)["options"][0]
    truth = Truth()
    turn = [first[side]["turn_deg"] for side in SIDES]
    before, after = truth.settled(), truth.settled(turn_deg=turn)
    for s, side in enumerate(SIDES):
        hub = (truth.hub_m[s] + truth.arm_m * math.sin(after.phi[s])) * 1e3
        assert first[side]["hub_to_body_mm"]["value"] == pytest.approx(hub, abs=1e-3)
        assert first[side]["body_height_mm"] is None
        rise = truth.arm_m * (math.sin(after.phi[s]) - math.sin(before.phi[s])) * 1e3
        # Half a fine step is less than 3 mm.
        assert rise == pytest.approx(30.0, abs=4.0)
    # As heights: the same plan.
    said = solve(request)["target"]
    heights = {"left_mm": said["left_mm"], "right_mm": said["right_mm"], "measured": "hub-to-body"}
    other = solve({**request, "target": heights})["options"][0]
    assert [other[s]["steps"] for s in SIDES] == [first[s]["steps"] for s in SIDES]
    assert other["odds"] == pytest.approx(first["odds"], abs=1e-6)


def test_heights_of_hubs_miss_a_hub_reading_by_name():
    request = Sheet(Truth()).plain().request()
    request["target"]["measured"] = "hub-to-body"
    with pytest.raises(ModelProblem) as caught:
        solve(request)
    assert caught.value.code == "missing-reading"
    assert "hub-to-body height on the left" in caught.value.detail


def test_who_sits_in_the_car_when_it_is_judged_is_counted_in():
    # Read empty, judged with 60 and 20 kg in it: the car that has them in it must stand where it is wanted.
    truth = Truth()
    ballast = {"ballast_left_kg": 60.0, "ballast_right_kg": 20.0}
    request = Sheet(truth).plain().boards().request()
    request["target"].update(ballast)
    answer = solve(request)
    first = answer["options"][0]
    turn = [first[side]["turn_deg"] for side in SIDES]
    rest = truth.settled(turn_deg=turn, ballast_kg=(60.0, 20.0))
    now = truth.settled(ballast_kg=(60.0, 20.0))
    for s, side in enumerate(SIDES):
        height = (truth.mark_m[s] + rest.height[s]) * 1e3
        assert first[side]["body_height_mm"]["value"] == pytest.approx(height, abs=1e-3)
        assert abs(height - 250.0) < 5.0
        stands = (truth.mark_m[s] + now.height[s]) * 1e3
        assert answer["now"][side]["body_height_mm"]["value"] == pytest.approx(stands, abs=1e-3)
        assert answer["now"][side]["load_kg"]["value"] == pytest.approx(now.force[s] / GRAVITY, abs=1e-3)


def test_a_level_of_a_car_read_empty_and_judged_laden_starts_from_where_it_would_stand_laden():
    truth = Truth()
    request = Sheet(truth).plain().boards().request()
    request["target"] = {"as": "level", "ballast_left_kg": 60.0, "ballast_right_kg": 20.0}
    laden = truth.settled(ballast_kg=(60.0, 20.0))
    higher = max((truth.mark_m[s] + laden.height[s]) * 1e3 for s in (0, 1))
    target = solve(request)["target"]
    assert (target["left_mm"], target["right_mm"]) == pytest.approx((higher, higher), abs=1e-3)


def test_a_car_read_and_judged_with_the_same_people_in_it_needs_nothing_carried_over():
    sheet = Sheet(Truth()).both("hanging-angle").both("riding-angle", "body-height", ballast_kg=(60.0, 20.0))
    request = sheet.request()
    request["target"] = {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0, "ballast_left_kg": 60.0,
                         "ballast_right_kg": 20.0}  # fmt: skip
    target = solve(request)["target"]
    values = [e["value"] for e in sheet.log if e["what"] == "body-height"]
    assert [target["left_mm"], target["right_mm"]] == pytest.approx(values, abs=1e-9)


TEETH = st.sampled_from([(40, 44), (44, 40), (30, 31), (24, 25), (30, 32), (48, 47)])
ANGLES = st.floats(-5.0, 25.0)


@given(TEETH, st.tuples(ANGLES, ANGLES), st.tuples(ANGLES, ANGLES))
@steady(40)
def test_a_target_of_hanging_angles_is_the_nearest_teeth_and_nothing_else(teeth, found, wanted):
    # No arm, no load, no bar and no height: angles read sharply, and arithmetic.
    fine = 360.0 * math.gcd(*teeth) / (teeth[0] * teeth[1])
    exact = [(w - f) / fine for w, f in zip(wanted, found, strict=True)]
    steps = [round(x) for x in exact]
    # Between two lattice points either will do, and the easier is taken.
    assume(all(abs(x - n) < 0.35 for x, n in zip(exact, steps, strict=True)))
    assume(any(steps))
    log = [
        {"kind": "reading", "what": "hanging-angle", "side": side, "value": value, "sd": 0.01}
        for side, value in zip(SIDES, found, strict=True)
    ] * 25
    answer = solve(
        {
            "car": {"bar": {"inner_teeth": teeth[0], "outer_teeth": teeth[1]}},
            "target": {
                "as": "hanging-angle",
                "left_deg": wanted[0],
                "right_deg": wanted[1],
                "tolerance_deg": 0.5 * fine,
            },
            "log": log,
        }
    )
    first = answer["options"][0]
    assert [first[side]["steps"] for side in SIDES] == steps
    for side, n, f in zip(SIDES, steps, found, strict=True):
        turned = 360.0 * first[side]["inner"] / teeth[0] + 360.0 * first[side]["outer"] / teeth[1]
        assert turned == pytest.approx(n * fine, abs=1e-9)
        assert first[side]["turn_deg"] == pytest.approx(n * fine, abs=1e-9)
        assert first[side]["hanging_deg"] == pytest.approx(f + n * fine, abs=1e-6)


def test_a_target_of_hanging_angles_says_the_heights_to_expect_beside_it():
    truth = Truth()
    request = Sheet(truth).plain().request()
    request["target"] = {"as": "hanging-angle", "left_deg": 17.0, "right_deg": 17.0}
    answer = solve(request)
    first = answer["options"][0]
    rest = truth.settled(turn_deg=[first[s]["turn_deg"] for s in SIDES])
    for s, side in enumerate(SIDES):
        assert first[side]["hanging_deg"] == pytest.approx(17.0, abs=0.8)
        height = (truth.mark_m[s] + rest.height[s]) * 1e3
        assert first[side]["body_height_mm"]["value"] == pytest.approx(height, abs=1e-3)
    assert (answer["target"]["left_mm"], answer["target"]["right_mm"]) == (None, None)


def test_hanging_angles_out_of_reach_are_said_in_degrees():
    request = {"car": {"bar": BAR}, "target": {"as": "hanging-angle", "left_deg": 88.0, "right_deg": 10.0}}
    answer = solve(request)
    reach = [o for o in answer["options"][0]["obstacles"] if o["what"] == "reach"]
    assert reach[0]["by_deg"] == pytest.approx(88.0 - 1.45 / DEG, abs=0.01)
    assert reach[0]["by_mm"] is None
    assert answer["headline"]["code"] == "out-of-reach"


# -- a later word on a target -------------------------------------------------------------------------------------

RISE = {**LEAST["rise"], "lean_mm": 3.0, "tolerance_mm": 4.0, "ballast_left_kg": 60.0, "spot": "bay 2"}
HUB = {"as": "heights", "left_mm": 190.0, "right_mm": 191.0, "measured": "hub-to-body", "lean_mm": 3.0}


@pytest.mark.parametrize(
    ("old", "new", "comes"),
    [
        # A form begins anew and keeps the tolerances it does not name.
        (RISE, LEAST["level"], {"as": "level", "lean_mm": 3.0, "tolerance_mm": 4.0}),
        (RISE, {"as": "level", "lean_mm": 8.0}, {"as": "level", "lean_mm": 8.0, "tolerance_mm": 4.0}),
        (
            RISE,
            {"as": "rise", "left_rise_mm": 1.0, "right_rise_mm": 2.0},
            {"as": "rise", "left_rise_mm": 1.0, "right_rise_mm": 2.0, "lean_mm": 3.0, "tolerance_mm": 4.0},
        ),
        # A tolerance in degrees is none in millimetres.
        (RISE, LEAST["hanging-angle"], LEAST["hanging-angle"]),
        ({**LEAST["hanging-angle"], "tolerance_deg": 0.5}, LEAST["level"], LEAST["level"]),
        # An older phone says heights and no form: a rise of 100 is no height of 100.
        (RISE, LEAST["heights"], {**LEAST["heights"], "lean_mm": 3.0, "tolerance_mm": 4.0}),
        (RISE, {"left_mm": 250.0}, {"left_mm": 250.0, "lean_mm": 3.0, "tolerance_mm": 4.0}),
        (HUB, LEAST["heights"], {**LEAST["heights"], "lean_mm": 3.0}),
        # Heights of one side after heights have always added up; who sat in the car does not come with them.
        (LEAST["heights"], {"left_mm": 231.0}, {"left_mm": 231.0, "right_mm": 252.0}),
        (
            {**LEAST["heights"], "ballast_left_kg": 60.0, "tolerance_mm": 8.0},
            {"right_mm": 231.0},
            {"left_mm": 250.0, "right_mm": 231.0, "tolerance_mm": 8.0},
        ),
        # Anything else patches.
        (RISE, {"lean_mm": 7.0}, {**RISE, "lean_mm": 7.0}),
        (RISE, {"left_rise_mm": 35.0}, {**RISE, "left_rise_mm": 35.0}),
        (HUB, {"ballast_right_kg": 80.0}, {**HUB, "ballast_right_kg": 80.0}),
        (RISE, {"spot": None}, {k: v for k, v in RISE.items() if k != "spot"}),
        (RISE, {}, RISE),
        ({}, LEAST["rise"], LEAST["rise"]),
    ],
)
def test_a_later_word_begins_anew_or_patches(old, new, comes):
    before = dict(old), dict(new)
    assert amended(old, new) == comes
    assert (old, new) == before


@given(st.sampled_from([*LEAST.values(), RISE, HUB]), st.sampled_from([*LEAST.values(), RISE, HUB]))
@steady(40)
def test_a_whole_target_after_any_other_can_be_asked_for(old, new):
    wish = Wish(amended(old, new))
    assert wish.form == (new.get("as") or "heights")
    assert wish.measured == new.get("measured", "body-height")
    assert wish.ballast[0] == pytest.approx(new.get("ballast_left_kg", 0.0) * GRAVITY)
