"""What a plan takes for granted: every fact that was believed, by its path, in the order of its worth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model import beliefs
from bothends.model.fields import FIELDS, field
from bothends.model.solve import solve
from model.cars import BAR, SIDES, Sheet, Truth, steady
from model.cases import EVERY, WIDE, rise, stood, tossed, wished

LIMITS = ("car.limits.bump_mm", "car.limits.droop_mm", "car.limits.stop_deg")
PATHS = {f.path for f in FIELDS} | {"car.bar", "car.load_kg", "log"}


def rows(request: dict) -> list:
    return solve(request)["assumed"]


def keys(request: dict) -> set:
    return {(row["field"], row["side"]) for row in rows(request)}


def test_nothing_known_is_everything_assumed_with_what_is_believed():
    found = {(row["field"], row["side"]): row for row in rows({"target": rise(30.0)})}
    both = dict.fromkeys(("left", "right"))
    assert set(found) == {
        ("car.bar", None),
        ("car.arm_mm", None),
        ("car.load_kg", None),
        ("car.bar.inner_teeth", None),
        *[("log", side) for side in both],
        *[(limit, side) for limit in LIMITS for side in both],
    }
    for key, value, sd in (
        (("car.bar", None), beliefs.RATE_NM_PER_DEG, beliefs.RATE_SD * beliefs.RATE_NM_PER_DEG),
        (("car.arm_mm", None), beliefs.ARM_MM, beliefs.ARM_SD_MM),
        (("car.load_kg", None), beliefs.LOAD_KG, beliefs.LOAD_SD_KG),
        (("log", "left"), beliefs.HANGING_DEG, beliefs.HANGING_SD_DEG),
        (("car.limits.bump_mm", "left"), beliefs.BUMP_MM, beliefs.BUMP_SD_MM),
        (("car.limits.droop_mm", "right"), beliefs.DROOP_MM, beliefs.DROOP_SD_MM),
    ):
        assert (found[key]["value"], found[key]["sd"]) == pytest.approx((value, sd)), key
    assert found["car.bar.inner_teeth", None]["value"] == beliefs.FINE_STEP_DEG
    assert found["car.bar.inner_teeth", None]["sd"] is None


def test_what_readings_narrow_is_said_as_narrowed():
    # Nobody taped the arm, but boards and a hang test have shown the lever.
    sheet = Sheet(Truth()).plain(3).boards(rounds=3).hung()
    (arm,) = [row for row in rows({"target": rise(30.0), "log": sheet.log}) if row["field"] == "car.arm_mm"]
    assert arm["sd"] < 0.5 * beliefs.ARM_SD_MM
    assert arm["value"] == pytest.approx(415.0, abs=15.0)


def test_a_fact_that_is_given_or_read_is_not_assumed():
    whole = wished(stood().both("riding-angle", hung_deg=2.0), rise(30.0), limits={"bump_mm": 60.0})
    assert rows(whole) == []
    for change, path, side in (
        ({"arm_mm": None}, "car.arm_mm", None),
        ({"load_kg": None}, "car.load_kg", None),
        ({"bar": {**BAR, "diameter_mm": None}}, "car.bar", None),
        ({"bar": {**BAR, "length_mm": None}}, "car.bar", None),
        ({"bar": {**BAR, "outer_teeth": None}}, "car.bar.inner_teeth", None),
    ):
        assert keys({**whole, "car": {**whole["car"], **change}}) == {(path, side)}
    bump = {**whole, "car": {**whole["car"], "limits": {}}}
    assert keys(bump) == {("car.limits.bump_mm", side) for side in SIDES}


@pytest.mark.parametrize("side", [0, 1])
def test_what_was_read_on_one_side_is_assumed_on_the_other(side):
    sheet = Sheet(Truth()).both("riding-angle", "body-height")
    sheet.read("hanging-angle", side).read("riding-angle", side, hung_deg=2.0)
    found = keys(wished(sheet, rise(30.0), limits={"bump_mm": 60.0}))
    other = SIDES[1 - side]
    assert found == {("log", other), ("car.limits.droop_mm", other), ("car.limits.stop_deg", other)}


def test_wheels_that_were_weighed_have_no_load_assumed():
    sheet = Sheet(Truth()).plain().both("wheel-load")
    assert ("car.load_kg", None) not in keys(wished(sheet, rise(30.0), load_kg={}))


@given(st.integers(0, 400))
@steady(60)
def test_every_row_is_of_a_field_of_the_request_in_its_unit_with_odds_that_no_fact_lowers(seed):
    answer = solve(tossed(seed))
    first = answer["options"][0]
    for row in answer["assumed"]:
        assert row["field"] in PATHS
        assert row["words"]
        if row["field"] in LIMITS:
            # A limit changes no odds.
            assert row["odds_after"] is None
            assert row["unit"] == field(row["field"]).unit
            assert row["side"] in SIDES
        else:
            assert first["odds"] - 1e-12 <= row["odds_after"] <= 1.0


def grouped(answer: dict) -> list:
    """For each row whether it is a limit that the first option would pass (0), a fact (1), or another limit (2)."""
    passed = [(o["what"], o["side"]) for o in answer["options"][0]["obstacles"] if not o["given"]]
    out = []
    for row in answer["assumed"]:
        what = row["field"].rsplit(".", 1)[-1].split("_")[0]
        limit = row["field"] in LIMITS
        out.append((0 if (what, row["side"]) in passed else 2) if limit else 1)
    return out


@given(st.integers(0, 400))
@steady(60)
def test_limits_that_the_first_option_passes_come_first_then_facts_by_odds_gained_then_other_limits(seed):
    answer = solve(tossed(seed))
    order = grouped(answer)
    assert order == sorted(order)
    gained = [row["odds_after"] for row, group in zip(answer["assumed"], order, strict=True) if group == 1]
    assert gained == sorted(gained, reverse=True)


@pytest.mark.parametrize(("name", "path"), [("assumed droop", LIMITS[1]), ("assumed bump", LIMITS[0])])
def test_an_assumed_limit_that_would_be_passed_is_asked_for_first(name, path):
    answer = solve(EVERY[name])
    assert [(row["field"], row["side"]) for row in answer["assumed"][:2]] == [(path, s) for s in SIDES]
    assert grouped(answer)[:2] == [0, 0]
    assert answer["assumed"][0]["measure"] == ("hang-test" if path == LIMITS[1] else "bump-gap")


def test_the_same_plan_assumes_nothing_of_limits_that_are_given():
    request = wished(stood(), rise(30.0), limits={**WIDE, "stop_deg": 2.0})
    assert not [row for row in rows(request) if row["field"] in LIMITS]


def test_a_fact_is_worth_about_what_giving_it_brings():
    # A car read on its boards, its arm unknown: told the arm, the odds are near those promised.
    sheet = Sheet(Truth()).both("hanging-angle", "riding-angle", "body-height")
    request = wished(sheet, rise(45.0), arm_mm=None, arm_sd_mm=None)
    (arm,) = [row for row in rows(request) if row["field"] == "car.arm_mm"]
    told = {**request, "car": {**request["car"], "arm_mm": 415.0}}
    before, after = [solve(asked)["options"][0]["odds"] for asked in (request, told)]
    assert after > before + 0.02
    assert arm["odds_after"] == pytest.approx(after, abs=0.08)
