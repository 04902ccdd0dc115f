"""A target of cross-weight: the mean height and the diagonals as asked, the lean as it comes."""

from statistics import mean

import pytest

from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from bothends.model.what_if import what_if
from model.cars import Sheet, Truth
from model.test_cross import four, front, loads_of

TARGET = {"as": "cross-weight", "cross_percent": 50.0, "rise_mm": 20.0}


def asked(loads=(300.0, 310.0), **target):
    return {**four(loads=loads), "target": {**TARGET, **target}}


@pytest.mark.parametrize("percent", [48.5, 50.0, 51.0])
@pytest.mark.parametrize("rise", [-15.0, 0.0, 30.0])
def test_the_first_way_comes_to_the_cross_weight_and_the_mean_height_asked_for(percent, rise):
    request = asked(cross_percent=percent, rise_mm=rise)
    answer = solve(request)
    found = mean([e["value"] for e in request["log"] if e["what"] == "body-height" and not e.get("pose")])
    first = answer["options"][0]
    reached = mean([first[side]["body_height_mm"]["value"] for side in ("left", "right")])
    # Whole teeth come no nearer than half a step of a side, some 3 mm.
    assert reached == pytest.approx(found + rise, abs=3.5)
    assert first["cross_weight"]["percent"]["value"] == pytest.approx(percent, abs=0.6)
    assert answer["target"] == {
        "as": "cross-weight", "left_mm": None, "right_mm": None, "ballast_left_kg": 0.0, "ballast_right_kg": 0.0,
        "spot": None, "measured": "body-height", "tolerance_mm": 5.0, "cross_percent": pytest.approx(percent),
        "tolerance_percent": pytest.approx(0.5), "rise_mm": pytest.approx(rise),
    }  # fmt: skip


def test_the_true_car_has_that_cross_weight_once_the_plan_is_turned():
    truth = Truth()
    request = asked(loads=(285.0, 325.0))
    first = solve(request)["options"][0]
    turned = Sheet(truth)
    turned.move(*[(first[side]["inner"], first[side]["outer"]) for side in ("left", "right")])
    before, after = Sheet(truth), turned
    across = [sheet.true("wheel-load", 0) - sheet.true("wheel-load", 1) for sheet in (before, after)]
    loads = loads_of(request)
    part = loads["front", "right"] + loads["rear", "left"] + across[1] - across[0]
    whole = sum(loads.values())
    assert first["cross_weight"]["percent"]["value"] == pytest.approx(100.0 * part / whole, abs=0.05)


def test_the_lean_is_free_and_said_in_one_sentence():
    answer = solve(asked(loads=(285.0, 325.0)))
    words = answer["cross_weight"]["words"]
    lean = answer["options"][0]["lean_mm"]["value"]
    assert "set heights or cross-weight, not both" in words
    high = "left" if lean > 0.0 else "right"
    assert f"the {high} side stands {abs(lean):.0f} mm higher" in words


def test_scales_that_are_better_make_the_chance_better():
    def chance(sd):
        request = asked()
        for entry in request["log"]:
            if entry.get("what") == "wheel-load":
                entry["sd"] = sd
        return solve(request)["options"][0]["odds"]

    assert chance(0.5) > chance(6.0)


def test_without_four_loads_the_remedy_is_said():
    request = {**Sheet(Truth()).plain(2).boards().request(), "target": TARGET}
    with pytest.raises(ModelProblem, match="weigh them") as problem:
        solve(request)
    assert (problem.value.code, problem.value.path) == ("missing-reading", "$.log")


def test_a_mean_that_was_never_read_is_judged_by_its_change():
    sheet = front(Sheet(Truth()).both("riding-angle", "hanging-angle", "wheel-load"))
    answer = solve({**sheet.request(), "target": TARGET})
    first = answer["options"][0]
    assert mean([first[side]["rise_mm"]["value"] for side in ("left", "right")]) == pytest.approx(
        20.0, abs=3.5
    )


def test_a_cross_weight_out_of_reach_says_how_far_it_stays_away():
    answer = solve(asked(cross_percent=70.0, rise_mm=400.0))
    words = " ".join(o["words"] for option in answer["options"] for o in option["obstacles"])
    assert "% of cross-weight" in words


def test_the_bench_tries_other_bars_for_it():
    trial = what_if(asked(), {"bar": {"diameter_mm": 23.0}})["trial"]
    assert trial["odds"] is None or trial["odds"]


def test_a_lean_is_no_field_of_it():
    with pytest.raises(ModelProblem, match="lean_mm is not a field of a target as cross-weight"):
        solve(asked(lean_mm=5.0))


@pytest.mark.parametrize("field", ["cross_percent", "tolerance_percent"])
def test_bounds_are_those_of_the_table(field):
    with pytest.raises(ModelProblem) as problem:
        solve(asked(**{field: 95.0}))
    assert problem.value.path == f"$.target.{field}"
