"""A plan of both axles at once, against a car solved in full: all four heights, what is read in between, the
cross-weight, and whether as many cars land as the chance of both says.
"""

import copy

import numpy as np
import pytest

from bothends.model.bands import BANDS, BELIEVED
from bothends.model.problem import ModelProblem
from bothends.model.solve import solve
from model.both_axles import AXLES, Both, asked
from model.cars import GRAVITY, SIDES, Truth
from model.test_couple import drawn

REAR, FRONT = AXLES


def level(rise: float, **more) -> dict:
    return {"as": "level", "at": "mean", "rise_mm": rise, **more}


def leaning() -> Both:
    """Read without any noise; the rear's left bar has sagged, and the body leans at both ends."""
    front = Truth(hanging_deg=(11.0, 11.0), load_kg=(260.0, 250.0))
    return Both(Truth(hanging_deg=(8.0, 11.0)), front).plain()


def plans(answer: dict) -> dict:
    """First option and target of each axle."""
    both = answer["both"]
    return {REAR: (answer["options"][0], answer["target"]), FRONT: (both["options"][0], both["target"])}


def turn(both: Both, axle: str, option: dict) -> None:
    both.move(axle, *[(option[s]["inner"], option[s]["outer"]) for s in SIDES])


def misses(both: Both, axle: str, target: dict) -> list:
    return [h - target[s + "_mm"] for h, s in zip(both.heights(axle), SIDES, strict=True)]


def lands(off: list, target: dict) -> bool:
    return (
        max(abs(off[0]), abs(off[1])) <= target["tolerance_mm"] and abs(off[0] - off[1]) <= target["lean_mm"]
    )


def loads(both: Both) -> tuple:
    """Cross-weight and all four loads on scales, [kg]."""
    (rl, rr), (fl, fr) = [
        [force / GRAVITY + axle.unsprung_kg for force in rest.force]
        for rest, axle in zip(both.stands(), both.axles, strict=True)
    ]
    return fr + rl, rl + rr + fl + fr


def test_turned_as_planned_all_four_corners_come_to_stand_as_the_full_solution_says():
    both = leaning()
    answer = solve(asked(both, level(20.0, other=level(-12.0))))
    for axle, (option, target) in plans(answer).items():
        assert option["recommended"]
        turn(both, axle, option)
        assert target["left_mm"] == target["right_mm"]
    for axle, (option, target) in plans(answer).items():
        for height, side in zip(both.heights(axle), SIDES, strict=True):
            assert option[side]["body_height_mm"]["value"] == pytest.approx(height, abs=0.7)
        left, right = both.heights(axle)
        assert option["lean_mm"]["value"] == pytest.approx(left - right, abs=1.2)
        assert lands(misses(both, axle, target), target)
    assert answer["both"]["odds"] == pytest.approx(
        answer["options"][0]["odds"] * answer["both"]["options"][0]["odds"]
    )


def test_in_between_both_axles_stand_as_the_plan_says_they_will():
    both = leaning()
    answer = solve(asked(both, level(20.0, other=level(-12.0))))
    first = answer["both"]["first"]
    turn(both, first, plans(answer)[first][0])
    for axle in AXLES:
        said = answer["both"]["meanwhile"][axle]
        left, right = both.heights(axle)
        assert said["left"]["value"] == pytest.approx(left, abs=0.7)
        assert said["right"]["value"] == pytest.approx(right, abs=0.7)
        assert said["lean_mm"]["value"] == pytest.approx(left - right, abs=1.2)


def test_once_the_first_axle_is_set_the_plan_turns_the_other_one_alone_and_as_it_said():
    both = leaning()
    target = level(20.0, other=level(-12.0))
    before = solve(asked(both, target))
    first = before["both"]["first"]
    turn(both, first, plans(before)[first][0])
    both.plain()
    after = solve(asked(both, target))
    then = plans(after)
    assert then[first][0]["label"] == "leave it"
    other = next(axle for axle in AXLES if axle != first)
    for side in SIDES:
        for end in ("inner", "outer"):
            assert then[other][0][side][end] == plans(before)[other][0][side][end]
    headline = after["headline"] if first == REAR else after["both"]["headline"]
    assert headline == {
        "code": "as-wished",
        "words": f"Leave both sides: on target once the {other} axle is set.",
    }
    assert after["both"]["first"] == other


def test_heights_now_and_rises_of_a_plan_of_both_are_against_the_car_as_it_stands():
    both = leaning()
    answer = solve(asked(both, level(20.0, other=level(-12.0))))
    option = answer["options"][0]
    for height, side in zip(both.heights(REAR), SIDES, strict=True):
        now = answer["now"][side]["body_height_mm"]["value"]
        assert now == pytest.approx(height, abs=0.5)
        assert now + option[side]["rise_mm"]["value"] == pytest.approx(
            option[side]["body_height_mm"]["value"], abs=0.2
        )


def test_cross_weight_changes_as_the_full_solution_says_and_stays_where_none_is_asked_for():
    both = leaning()
    answer = solve(asked(both, level(20.0, other=level(-12.0))))
    before = loads(both)[0]
    for axle, (option, _) in plans(answer).items():
        turn(both, axle, option)
    said = answer["both"]["cross_weight_kg"]
    assert said["value"] == pytest.approx(loads(both)[0] - before, abs=3.0)
    # Two fine steps too far on one side would be more.
    assert abs(said["value"]) < 60.0
    assert answer["both"]["cross_percent"] is None
    assert "no cross-weight is asked for" in answer["both"]["words"][-1]


@pytest.mark.parametrize("percent", [48.0, 50.0, 52.0])
def test_heights_of_both_axles_and_a_cross_weight_can_be_had_together(percent):
    both = leaning().read("wheel-load")
    target = level(20.0, other=level(-12.0, cross_percent=percent, tolerance_percent=1.5))
    answer = solve(asked(both, target))
    for axle, (option, _) in plans(answer).items():
        turn(both, axle, option)
    for axle, (_, target) in plans(answer).items():
        assert lands(misses(both, axle, target), target)
    cross, total = loads(both)
    plan = answer["both"]
    assert plan["cross_percent"]["value"] == pytest.approx(100.0 * cross / total, abs=0.3)
    assert 100.0 * cross / total == pytest.approx(percent, abs=1.5)
    assert plan["cross_wanted"]["percent"] == percent
    rear, front = [plans(answer)[axle][0]["odds"] for axle in AXLES]
    assert plan["odds"] == pytest.approx(rear * front * plan["cross_wanted"]["odds"])


def test_two_leans_that_one_body_cannot_have_are_said_and_the_plan_lies_between():
    both = leaning()
    left = both.heights(FRONT)[0]
    front = {"left_mm": left + 12.0, "right_mm": left - 12.0}
    answer = solve(asked(both, level(0.0, other=front)))
    plan = answer["both"]
    assert abs(plan["leans_apart_mm"]) == pytest.approx(24.0 * both.tracks[0] / both.tracks[1], abs=1.5)
    assert "not possible together" in plan["words"][-1]
    assert plan["odds"] < 0.05
    lean = [plans(answer)[axle][0]["lean_mm"]["value"] for axle in AXLES]
    wanted = (0.0, 24.0)
    for found, axle in zip(lean, AXLES, strict=True):
        assert wanted[0] + 5.0 < found < wanted[1] - 5.0, axle


def test_without_a_target_of_its_own_the_other_axle_has_no_plan_and_options_are_as_before():
    both = leaning()
    answer = solve(asked(both, level(20.0)))
    assert answer["both"] is None
    request = asked(both, level(20.0, other=level(-12.0)))
    together = solve(request)
    assert together["learned"] == answer["learned"]
    assert together["now"] == answer["now"]
    assert together["options"][0] != answer["options"][0]


def refused(request: dict) -> ModelProblem:
    with pytest.raises(ModelProblem) as caught:
        solve(request)
    return caught.value


def test_a_target_of_an_axle_of_which_nothing_is_said_names_the_remedy():
    request = asked(leaning(), level(20.0, other=level(0.0)))
    request["log"] = [e for e in request["log"] if e["axle"] == REAR]
    del request["car"]["other"]
    problem = refused(request)
    assert (problem.code, problem.path) == ("out-of-range", "$.target.other")
    assert "car.other" in problem.detail


def test_heights_wanted_at_the_front_that_nobody_read_are_asked_for_there():
    both = leaning()
    request = asked(both, level(20.0, other=level(0.0)))
    request["log"] = [e for e in both.log if (e["axle"], e["what"]) != (FRONT, "body-height")]
    problem = refused(request)
    assert problem.code == "missing-reading"
    assert "No ride height on the left at the front" in problem.detail
    request["target"]["other"] = {"as": "rise", "left_rise_mm": 5.0, "right_rise_mm": 5.0}
    answer = solve(request)
    assert answer["both"]["meanwhile"][FRONT] is None
    assert answer["both"]["target"]["left_mm"] is None


def test_a_cross_weight_beside_heights_without_four_loads_asks_for_scales():
    problem = refused(asked(leaning(), level(20.0, other=level(0.0, cross_percent=50.0))))
    assert problem.code == "missing-reading"
    assert "weigh them" in problem.detail


@pytest.mark.parametrize(
    ("target", "path"),
    [
        ({"as": "hanging-angle", "left_deg": 9.0, "right_deg": 9.0, "other": level(0.0)}, "other"),
        ({"as": "cross-weight", "cross_percent": 50.0, "other": level(0.0)}, "other"),
        (level(0.0, other={"as": "cross-weight", "cross_percent": 50.0}), "other.as"),
        (level(0.0, other={"as": "rise", "left_rise_mm": 1.0}), "other.right_rise_mm"),
        (level(0.0, other=level(0.0, left_mm=200.0)), "other.left_mm"),
        (level(0.0, other=level(900.0)), "other.rise_mm"),
        (level(0.0, other=level(0.0, cross_percent=20.0)), "other.cross_percent"),
        (level(0.0, other=[]), "other"),
    ],
)
def test_what_is_wrong_in_a_target_of_both_names_its_place(target, path):
    problem = refused(asked(leaning(), target))
    assert (problem.code, problem.path) == ("out-of-range", "$.target." + path)


def test_a_given_limit_at_the_front_forbids_its_plan_and_the_rear_is_planned_beside_what_is_left():
    both = leaning()
    request = asked(both, level(20.0, other=level(-30.0)), limits={"bump_mm": 10.0})
    answer = solve(request)
    front = answer["both"]["options"]
    assert front[0]["stopped_by"] or front[0]["label"] == "leave it"
    assert answer["both"]["headline"]["code"] in ("forbidden", "out-of-reach")
    # The rear's heights are those beside what the front's first way does, whatever it is.
    turn(both, REAR, answer["options"][0])
    turn(both, FRONT, front[0])
    for height, side in zip(both.heights(REAR), SIDES, strict=True):
        assert answer["options"][0][side]["body_height_mm"]["value"] == pytest.approx(height, abs=0.8)


def test_a_slip_at_the_front_that_decides_its_plan_withholds_that_plan():
    both = leaning()
    for entry in both.log:
        if (entry["axle"], entry["what"], entry["side"]) == (FRONT, "body-height", "left"):
            entry["value"] += 40.0
            break
    answer = solve(asked(both, level(20.0, other=level(-12.0))))
    doubted = [d for d in answer["doubts"] if both.log[d["log_index"]]["axle"] == FRONT]
    assert doubted
    assert answer["both"]["withheld"] == doubted[0]["changes_plan"]
    assert answer["both"]["options"][0]["recommended"] is not answer["both"]["withheld"]


def test_whichever_axle_the_job_is_of_the_plan_of_both_turns_the_same():
    both = leaning()
    request = asked(both, level(20.0, other=level(-12.0)))
    mirrored = copy.deepcopy(request)
    rear = mirrored["car"]
    front = rear.pop("other")
    mirrored["car"] = {**front, "sprung": FRONT, "other": rear}
    mirrored["target"] = level(-12.0, other=level(20.0))
    one, two = solve(request), solve(mirrored)
    assert two["both"]["axle"] == REAR
    pairs = (
        (one["options"][0], two["both"]["options"][0]),
        (one["both"]["options"][0], two["options"][0]),
    )
    for a, b in pairs:
        for side in SIDES:
            mine, theirs = [o[side]["body_height_mm"]["value"] for o in (a, b)]
            assert mine == pytest.approx(theirs, abs=3.0)
    assert one["both"]["odds"] == pytest.approx(two["both"]["odds"], abs=0.08)


CARS = 16, 40
"""Cars turned at both ends in every run, and with ``--long``: of so many, chance alone lets 5 or 9 more or fewer
land."""


@pytest.mark.slow(seconds=7)
def test_over_many_cars_turned_at_both_ends_all_four_heights_land_as_often_as_the_chance_of_both_says(long):
    landed, expected, alone = [], [], []
    for seed in range(CARS[long]):
        toss = np.random.default_rng([seed, 1])
        friction = float(toss.choice(BANDS, p=np.array(BELIEVED) / sum(BELIEVED)))
        both = drawn(seed, friction)
        rear, front = toss.uniform(-25.0, 25.0, 2)
        answer = solve(asked(both, level(float(rear), other=level(float(front)))))
        for axle, (option, _) in plans(answer).items():
            turn(both, axle, option)
        found = []
        for axle, (_, target) in plans(answer).items():
            off = misses(both, axle, target) + 1e3 * both.noise.normal(0.0, friction, 2)
            found.append(lands(list(off), target))
        landed.append(all(found))
        alone.append(found)
        expected.append(answer["both"]["odds"])
    spread = sum(p * (1.0 - p) for p in expected) ** 0.5
    assert abs(sum(landed) - sum(expected)) < 3.0 * spread
    assert sum(expected) > 0.55 * len(landed)
    # Taken as independent: what lands at one axle and what lands at the other go together no more than by chance.
    apart = np.mean([a for a, _ in alone]) * np.mean([b for _, b in alone])
    assert np.mean(landed) == pytest.approx(apart, abs=0.1 if long else 0.16)
