"""Two axles of one job: what each feels of the other, against a car solved in full."""

import copy

import numpy as np
import pytest

from bothends.model.bands import USUAL
from bothends.model.headline import _first
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import solve
from model.both_axles import Both, asked
from model.cars import BOOK_RATE, Truth

HEIGHTS = {"left_mm": 250.0, "right_mm": 250.0}


def car(noise=None, **rear) -> Both:
    """Stiffer and heavier at the front."""
    front = Truth(hanging_deg=(12.0, 11.0), rate=1.2 * BOOK_RATE, load_kg=(300.0, 290.0))
    return Both(Truth(hanging_deg=(9.0, 10.0), **rear), front, noise=noise)


def of_one_axle(request: dict) -> dict:
    """The same job, in which nothing is known of the front and the move there is one of nothing."""
    alone = copy.deepcopy(request)
    del alone["car"]["other"]
    alone["log"] = [
        {**e, "axle": "rear"} if e["kind"] == "reading" else {"kind": "move", "teardown": e["teardown"]}
        for e in alone["log"]
        if e["kind"] == "move" or e["axle"] == "rear"
    ]
    return alone


def test_a_move_at_the_front_explains_the_lean_at_the_rear_that_looked_like_a_misread():
    both = car().plain()
    both.move("front", left=(0, 1)).plain()
    request = asked(both, HEIGHTS)
    answer = solve(request)
    assert answer["doubts"] == []
    assert answer["fit"]["misfit_rms"] < 0.3
    alone = solve(of_one_axle(request))
    assert alone["fit"]["misfit_rms"] > 2.0 * answer["fit"]["misfit_rms"]
    left, right = both.heights("rear")
    for side, height in (("left", left), ("right", right)):
        found = answer["now"][side]["body_height_mm"]
        assert found["value"] == pytest.approx(height, abs=1.0)


def test_what_the_front_adds_against_lean_is_what_its_own_bars_make_of_it():
    both = car().plain()
    # Load across at the front for a lean, by full solution of four corners: with the rear's lean set apart.
    there = [both._axle(1, lean) for lean in (-0.001, 0.001)]
    across = [rest.force[0] - rest.force[1] for rest in there]
    by_lean = (across[0] - across[1]) / 0.002
    true = by_lean / both.tracks[0] * both.tracks[1] / both.tracks[0] / 1e3
    answer = solve(asked(both, HEIGHTS))
    adds = answer["other"]["adds_n_per_mm"]
    assert abs(adds["value"] - true) < 2.0 * adds["sd"]
    assert adds["sd"] < 0.2 * adds["value"]
    support = answer["learned"]["roll_support_n_per_mm"]
    assert (
        support["sd"]
        < 0.5 * solve(of_one_axle(asked(both, HEIGHTS)))["learned"]["roll_support_n_per_mm"]["sd"]
    )


def test_the_first_option_leans_the_front_as_the_full_solution_says_and_leaves_its_mean_height():
    both = car().plain()
    answer = solve(asked(both, {"as": "rise", "left_rise_mm": 30.0, "right_rise_mm": -5.0}))
    first = answer["options"][0]
    before = both.heights("front")
    turned = [(first[side]["inner"], first[side]["outer"]) for side in ("left", "right")]
    both.move("rear", *turned)
    after = both.heights("front")
    for s, side in enumerate(("left", "right")):
        said = first["other"][side]["rise_mm"]
        assert said["value"] == pytest.approx(after[s] - before[s], abs=0.6)
    assert sum(after) == pytest.approx(sum(before), abs=0.5)
    assert first["other"]["lean_mm"]["value"] == pytest.approx(after[0] - after[1], abs=1.0)
    assert answer["other"]["first"] == "front"


def test_teeth_at_one_axle_move_load_on_a_diagonal_and_leave_axles_and_sides_as_they_were():
    both = car()
    before = [rest.force for rest in both.stands()]
    both.move("front", left=(3, -3))
    after = [rest.force for rest in both.stands()]
    change = [[a - b for a, b in zip(new, old, strict=True)] for new, old in zip(after, before, strict=True)]
    for axle in change:
        assert sum(axle) == pytest.approx(0.0, abs=0.1)
    # Of unequal tracks the moments of the sides stay, not their loads.
    moments = [track * axle[0] for track, axle in zip(both.tracks, change, strict=True)]
    assert sum(moments) == pytest.approx(0.0, abs=0.1)
    assert change[1][0] > 50.0


def test_changed_over_the_same_log_is_a_job_of_the_front():
    both = car().plain().move("rear", left=(0, 1)).plain()
    request = asked(both, HEIGHTS)
    rear = dict(request["car"])
    front = rear.pop("other")
    request["car"] = {**front, "sprung": "front", "other": rear}
    answer = solve(request)
    assert answer["doubts"] == []
    assert answer["other"]["axle"] == "rear"
    assert answer["other"]["first"] == "front"
    for side, height in zip(("left", "right"), both.heights("front"), strict=True):
        assert answer["now"][side]["body_height_mm"]["value"] == pytest.approx(height, abs=1.5)


@pytest.mark.parametrize("end", ["inner", "outer"])
def test_an_eccentric_at_the_front_moves_bar_and_bush_there_as_one_here_does(end):
    # At the outer end it turns the arm on what the bush holds, so that bar and bush lift together; at the inner one
    # the bar lifts and the bush holds back. Derived: (1 + bush ratio) times as much.
    request = asked(car().plain(), HEIGHTS)
    request["car"]["other"] |= {
        "adjuster": {"kind": "eccentric", "end": end, "lever_mm": 120.0, "throw_mm": 4.0},
        "bush": {"ratio": 0.3, "ratio_sd": 0.001},
    }
    request["log"].append({"kind": "move", "teardown": 1, "axle": "front", "left": {"turns": 0.1}})
    bar_alone = copy.deepcopy(request)
    bar_alone["car"]["other"]["adjuster"]["end"] = "inner"
    by, reference = [solve(each)["other"]["shifted_mm"]["value"] for each in (request, bar_alone)]
    assert by / reference == pytest.approx(1.3 if end == "outer" else 1.0, rel=0.02)


def test_heights_of_the_front_that_nobody_read_are_not_made_up():
    both = car().plain(axles=("rear",))
    answer = solve(asked(both, HEIGHTS))
    assert answer["other"]["lean_mm"] is None
    assert answer["options"][0]["other"]["left"]["body_height_mm"] is None
    assert answer["options"][0]["other"]["left"]["rise_mm"]["sd"] > 0.0


def test_a_job_of_one_axle_says_nothing_of_the_other():
    request = of_one_axle(asked(car().plain(), HEIGHTS))
    answer = solve(request)
    assert answer["other"] is None
    assert {option["other"] for option in answer["options"]} == {None}


def test_nothing_known_of_the_front_is_enough_for_its_readings_and_its_moves():
    both = car().plain().move("front", left=(0, 1)).plain()
    request = asked(both, HEIGHTS)
    request["car"]["other"] = {"bar": {"inner_teeth": 40, "outer_teeth": 44}}
    answer = solve(request)
    assert answer["doubts"] == []
    assert answer["other"]["adds_n_per_mm"]["sd"] > 0.0


def test_a_slip_at_the_front_that_does_not_matter_at_the_rear_withholds_no_plan_there():
    both = car().plain()
    index = next(i for i, e in enumerate(both.log) if (e["axle"], e["what"]) == ("front", "riding-angle"))
    both.log[index]["value"] = -both.log[index]["value"] + 20.0
    answer = solve(asked(both, HEIGHTS))
    assert index in [doubt["log_index"] for doubt in answer["doubts"]]
    assert answer["withheld"] is False


@pytest.mark.parametrize("noted", [(0, 2), (0, -1)])
@pytest.mark.parametrize("seed", [None, 1])
def test_a_slip_at_the_front_that_decides_the_rears_plan_withholds_it_as_one_at_the_rear_does(noted, seed):
    # One tooth was turned at the front after the rear was read: what the rear feels of it hangs on the count.
    both = car(None if seed is None else np.random.default_rng(seed)).plain()
    both.move("front", left=(0, 1)).plain(axles=("front",))
    request = asked(both, HEIGHTS)
    clean = solve(request)
    assert (clean["doubts"], clean["withheld"]) == ([], False)
    move = next(e for e in request["log"] if e["kind"] == "move")
    move["left"]["outer"] = noted[1]
    answer = solve(request)
    assert [doubt["changes_plan"] for doubt in answer["doubts"]] == [True]
    assert answer["withheld"] is True
    assert answer["options"][0]["recommended"] is False
    assert answer["headline"]["words"] == "Turn nothing yet: check the teeth of teardown 1 first."


def test_a_reading_to_be_checked_at_the_front_is_said_to_be_there():
    both = car().plain()
    index = next(i for i, e in enumerate(both.log) if (e["axle"], e["what"]) == ("front", "body-height"))
    case = read(asked(both, HEIGHTS))
    words = _first(case, {"log_index": index, "guess": "unexplained"})["words"]
    assert words == "Turn nothing yet: check the ride height on the left at the front first."


@pytest.mark.parametrize(
    ("change", "path"),
    [
        (lambda r: r["car"]["other"].update(arm_mm=5.0), "$.car.other.arm_mm"),
        (lambda r: r["car"]["other"]["bar"].update(bore_mm=79.0), "$.car.other.bar.bore_mm"),
        (lambda r: r["car"].pop("other"), "$.log[0].axle"),
    ],
)
def test_an_error_in_what_is_said_of_the_front_names_its_place(change, path):
    request = asked(car().plain(axles=("front",)), {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0})
    change(request)
    with pytest.raises(ModelProblem) as problem:
        read(request)
    assert problem.value.path == path


def test_a_move_at_an_axle_of_which_nothing_is_said_is_refused_with_the_remedy():
    request = asked(car().plain().move("front", left=(0, 1)), HEIGHTS)
    request["log"] = [e for e in request["log"] if e["kind"] == "move" or e["axle"] == "rear"]
    del request["car"]["other"]
    with pytest.raises(ModelProblem, match=r"car\.other"):
        read(request)


def drawn(seed: int, friction: float = USUAL) -> Both:
    """A car at random, read as found, turned at the front, and read again."""
    noise = np.random.default_rng(seed)

    def axle(rate: float) -> Truth:
        load = noise.uniform(220.0, 260.0)
        level = noise.uniform(8.0, 12.0)
        return Truth(
            hanging_deg=(level + noise.normal(0.0, 1.0), level + noise.normal(0.0, 1.0)),
            rate=rate * BOOK_RATE * np.exp(noise.normal(0.0, 0.03)),
            arm_m=0.415 + noise.normal(0.0, 0.008),
            load_kg=(load + noise.normal(0.0, 8.0), load + noise.normal(0.0, 8.0)),
        )

    axles = [axle(noise.uniform(0.9, 1.1)), axle(noise.uniform(0.9, 1.3))]
    both = Both(*axles, noise=noise, friction=friction)
    both.plain()
    # One tooth at the outer end and one back at the inner are a fine step of 0.82 degrees.
    fine = [int(n) for n in noise.integers(-2, 5, 2)]
    both.move("front", left=(-fine[0], fine[0]), right=(-fine[1], fine[1]))
    return both.plain()


@pytest.mark.slow
def test_over_many_cars_turned_at_the_front_first_plans_land_as_often_as_they_say():
    landed, expected, doubted = [], [], 0
    for seed in range(40):
        both = drawn(seed)
        answer = solve(asked(both, {"as": "level", "at": "mean", "rise_mm": 15.0}))
        doubted += bool(answer["doubts"])
        first, target = answer["options"][0], answer["target"]
        both.move("rear", *[(first[s]["inner"], first[s]["outer"]) for s in ("left", "right")])
        off = [h - target[s + "_mm"] for h, s in zip(both.heights("rear"), ("left", "right"), strict=True)]
        rub = [h + both.noise.normal(0.0, 1.4) for h in off]
        landed.append(max(abs(rub[0]), abs(rub[1]), abs(rub[0] - rub[1])) <= 5.0)
        expected.append(first["odds"])
    spread = sum(p * (1.0 - p) for p in expected) ** 0.5
    assert abs(sum(landed) - sum(expected)) < 3.0 * max(1.5, spread)
    assert sum(landed) >= 28
    assert doubted <= 4
