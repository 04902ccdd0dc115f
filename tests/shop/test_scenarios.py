"""The scenarios: what is given and read is what the table says, and jobs are played in the right order.

Planned only by a seer who knows the true car, so that nothing here depends on the product.
"""

import math

import numpy as np
import pytest

from shop import bench_calibration, bench_season, scenario, season, tally, thumb
from shop.bands import least
from shop.car import as_found
from shop.judge import heights_read
from shop.seer import case_of, seer

SIDES = ("left", "right")


@pytest.mark.parametrize("name", list(scenario.SCENARIOS))
def test_requests_hold_what_the_scenario_gives_and_reads_and_no_more(name, long):
    for seed in range(6 if long else 2):
        case = case_of(name, seed)
        log = case.first_log()
        request = case.request(log)
        named = {"bar": "bar", "arm": "arm_mm", "arm-sd": "arm_sd_mm", "load": "load_kg"}
        given = {named.get(fact, fact) for fact in case.scene.given}
        assert set(request["car"]) == given
        kinds = {e["what"] for e in log if not e.get("pose", {}).get("hanging")} - {"hub-to-body"}
        assert kinds == set(case.scene.reads)
        boards = any("board_left_mm" in e.get("pose", {}) for e in log)
        assert boards == bool(case.scene.board_rounds)
        spots = {e["spot"] for e in log if "spot" in e}
        assert bool(spots) == ("spot" in request["target"]) == (case.scene.floor == "named")
        assert request["target"].get("spot") not in spots or not spots
        told = any("ballast_left_kg" in e.get("pose", {}) for e in log)
        assert told == (case.scene.driver == "read" and case.scene.entered)
        told = "ballast_left_kg" in request["target"]
        assert told == (case.scene.driver == "judged" and case.scene.entered)
        assert request["target"].get("as", "heights") == case.scene.wish


def test_every_form_of_the_wish_comes_to_the_same_height_from_what_was_read():
    for seed in range(20):
        case = case_of("nothing-level", seed)
        log = case.first_log()
        read = heights_read(log)
        target, wish = case.wish(log)
        assert wish.target_mm == (max(read) + target["rise_mm"],) * 2
        assert wish.target_mm[0] == pytest.approx(case.car.target_mm, abs=0.5)
        case = case_of("nothing-rise", seed)
        target, wish = case.wish(log)
        rise = (target["left_rise_mm"], target["right_rise_mm"])
        assert [wish.target_mm[s] - read[s] for s in (0, 1)] == pytest.approx(rise)
        assert wish.lean_mm == 5.0
        case = case_of("nothing-empty", seed)
        assert case.first_log() == []
        wish = case.wish([])[1]
        assert wish.lean_mm is None
        assert wish.target_mm == pytest.approx((case.car.target_mm,) * 2, abs=0.5)


@pytest.mark.parametrize("name", ["closed-boards", "closed-counted", "nothing-rise", "nothing-empty"])
def test_a_plan_in_degrees_is_turned_to_the_nearest_step_of_the_true_bars(name, long):
    outcomes = [season.play(seed, name, seer(seed, name)) for seed in range(40 if long else 15)]
    assert [o.error for o in outcomes if o.error] == []
    for outcome in outcomes:
        plan = outcome.plans[0]
        assert plan.in_degrees == (name != "closed-counted")
        case = case_of(name, outcome.seed)
        ideal = thumb.knows_all(case.car, as_found(case.car), case.wish(case.first_log())[1])
        assert plan.turn_deg == pytest.approx(ideal, abs=1e-9)
        assert outcome.first == outcome.knows_all
        if outcome.after and outcome.after.turns:
            assert not outcome.after.in_degrees
        assert (outcome.after is None) == (name == "nothing-empty")
    assert tally.report(outcomes).first >= least(0.95, len(outcomes))


def test_teeth_are_counted_at_the_teardown_and_the_plan_is_asked_again_before_one_is_turned():
    asked = []
    season.play(5, "closed-counted", seer(5, "closed-counted", asked))
    closed, look, after = asked
    inner, outer = case_of("closed-counted", 5).car.teeth
    assert "bar" not in closed["car"]
    assert not any(e["what"] == "hanging-angle" for e in closed["log"])
    assert look["car"]["bar"] == after["car"]["bar"] == {"inner_teeth": inner, "outer_teeth": outer}
    free = look["log"][len(closed["log"]) :]
    assert {(e["what"], e["side"], e["teardown"]) for e in free} == {
        ("hanging-angle", side, 0) for side in SIDES
    }
    assert after["target"] == look["target"] == closed["target"]
    assert [e["kind"] for e in after["log"]].count("move") == 1
    assert any(e["kind"] == "reading" and e["teardown"] == 1 for e in after["log"])


@pytest.mark.parametrize("name", list(scenario.MIXES))
def test_a_mix_draws_its_parts_by_their_shares(name):
    shares = scenario.MIXES[name]
    assert math.fsum(shares.values()) == pytest.approx(1.0)
    drawn = [scenario.of(name, seed).name for seed in range(1500)]
    for part, share in shares.items():
        spread = 4.0 * math.sqrt(share * (1.0 - share) / 1500)
        assert drawn.count(part) / 1500 == pytest.approx(share, abs=spread)


def test_a_name_that_no_scenario_has_is_refused_with_those_that_there_are():
    with pytest.raises(ValueError, match="closed-counted"):
        scenario.of("open", 1)


def test_plans_held_back_and_left_alone_and_refused_are_counted():
    def held_back(request):
        answer = seer(1, "closed")(request)
        answer["options"][0]["recommended"] = False
        return answer

    def leave_it(request):
        answer = seer(2, "closed")(request)
        for side in SIDES:
            answer["options"][0][side] |= {"inner": 0, "outer": 0, "turn_deg": 0.0}
        return answer

    def refuse(request):
        raise ValueError("bar is required")

    plays = ((1, held_back), (2, leave_it), (3, refuse))
    counted = tally.report([season.play(seed, "closed", solve) for seed, solve in plays])
    assert (counted.withheld, counted.nothing_turned, len(counted.errors)) == (1, 1, 1)


def test_a_mixed_season_is_reported_as_a_whole_and_by_part():
    outcomes = [season.play(seed, "mixed", seer(seed, "mixed")) for seed in range(30)]
    text = "\n".join(bench_season.season_lines(outcomes))
    assert "errors" not in text
    parts = tally.parts(outcomes)
    assert sum(part.cars for part in parts) == 30
    assert all(f"   {part.name}" in text for part in parts)
    counted = tally.report(outcomes)
    assert counted.brier == pytest.approx(np.mean([(0.9 - o.first) ** 2 for o in outcomes]))
    assert sum(counted.heights.bins) == counted.heights.count == 60
    assert "Spiegelhalter" in bench_calibration.lines([o.plans[0] for o in outcomes], "first plans")[-1]
