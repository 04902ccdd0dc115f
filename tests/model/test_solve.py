"""The whole answer: its shape, its sense, and extreme but legal requests."""

import copy
import json
import math
import random

import numpy as np
import pytest

from bothends.model.fields import field
from bothends.model.problem import ModelProblem
from bothends.model.solve import Plan, solve
from model.cars import BAR, DEG, SIDES, Sheet, Truth, drawn, plain

NONE = type(None)
ESTIMATE = {"value": float, "sd": float}


class Maybe:
    """What stands there, or null."""

    def __init__(self, inner):
        self.inner = inner


LIFT = {"torque_nm": float, "energy_j": float, "force_n": float}
SIDE = {
    "inner": (int, NONE),
    "outer": (int, NONE),
    "steps": (int, NONE),
    "turn_deg": float,
    "hanging_deg": float,
    "riding_deg": float,
    "body_height_mm": Maybe(ESTIMATE),
    "hub_to_body_mm": Maybe(ESTIMATE),
    "rise_mm": ESTIMATE,
    "lift": {**LIFT, "low": LIFT, "high": LIFT, "assumed": bool},
    "stress_at_bump_mpa": (float, NONE),
    "bump_left_mm": float,
    "droop_left_mm": float,
    "camber_change_deg": float,
}
NOW = {
    "hanging_deg": ESTIMATE,
    "riding_deg": ESTIMATE,
    "body_height_mm": Maybe(ESTIMATE),
    "hub_to_body_mm": Maybe(ESTIMATE),
    "load_kg": ESTIMATE,
}
OBSTACLE = {
    "what": str,
    "side": (str, NONE),
    "by_mm": (float, NONE),
    "by_deg": (float, NONE),
    "by_mpa": (float, NONE),
    "given": bool,
    "words": str,
}
FOUR = {"left": float, "right": float}
CROSS = {"percent": ESTIMATE, "diagonals_kg": ESTIMATE, "loads_kg": {"front": FOUR, "rear": FOUR}}
OPTION = {
    "label": str,
    "recommended": bool,
    "odds": float,
    "ends_disturbed": int,
    "left": SIDE,
    "right": SIDE,
    "lean_mm": ESTIMATE,
    "cross_weight_kg": float,
    "cross_weight": Maybe(CROSS),
    "ride_hz": float,
    "mm_per_deg": float,
    "obstacles": [OBSTACLE],
    "stopped_by": [str],
    "cautions": [str],
}
ASSUMED = {
    "field": str,
    "side": (str, NONE),
    "value": (float, NONE),
    "sd": (float, NONE),
    "unit": str,
    "measure": (str, NONE),
    "minutes": (int, NONE),
    "odds_after": (float, NONE),
    "words": str,
}
CODES = ("as-wished", "turn", "turn-degrees", "read-first", "forbidden", "out-of-reach")
HINDRANCES = ("droop", "bump", "stop", "stress", "joint", "steep", "slack", "reach")
ANSWER = {
    "now": {"left": NOW, "right": NOW},
    "learned": dict.fromkeys(
        ("bar_nm_per_deg", "arm_mm", "roll_support_n_per_mm", "mm_per_deg", "bush_ratio", "tyre_n_per_mm"),
        ESTIMATE,
    ),
    "headline": {"code": str, "words": str},
    "target": {"as": str, "left_mm": (float, NONE), "right_mm": (float, NONE)},
    "assumed": [ASSUMED],
    "withheld": bool,
    "cross_weight": Maybe({"now": CROSS, "even_lean_mm": Maybe(ESTIMATE), "words": str}),
    "options": [OPTION],
    "measure_next": [{"what": str, "side": str, "odds_after": float, "minutes": int, "text": str}],
    "doubts": [
        {
            "log_index": int,
            "misfit": float,
            "guess": str,
            "repaired_value": (float, int, NONE),
            "text": str,
            "field": str,
            "side": (str, NONE),
            "end": (str, NONE),
            "also": Maybe({"guess": str, "text": str}),
        }
    ],
    "cautions": [str],
    "step_deg": dict.fromkeys(("fine", "inner", "outer"), (float, NONE)),
    "posterior": {"names": [str], "mean": [float], "covariance": [[float]]},
    "fit": {"iterations": int, "readings": int, "misfit_rms": float},
}


def shaped(found, wanted, at="$"):
    """Fail where an answer lacks a name, or holds another kind of thing, or a number that is none."""
    if isinstance(wanted, Maybe):
        if found is not None:
            shaped(found, wanted.inner, at)
    elif isinstance(wanted, dict):
        assert isinstance(found, dict), at
        for name, inner in wanted.items():
            assert name in found, f"{at}.{name}"
            shaped(found[name], inner, f"{at}.{name}")
    elif isinstance(wanted, list):
        assert isinstance(found, list), at
        for i, item in enumerate(found):
            shaped(item, wanted[0], f"{at}[{i}]")
    else:
        assert isinstance(found, wanted), f"{at} is {found!r}"
        assert isinstance(found, bool) == (wanted is bool), f"{at} is {found!r}"
        if isinstance(found, float):
            assert math.isfinite(found), f"{at} is {found}"
            if at.endswith(".sd"):
                assert found >= 0.0, at


def sensible(answer):
    """Shape, and what holds of every answer."""
    shaped(answer, ANSWER)
    json.dumps(answer, allow_nan=False)
    assert answer["options"]
    assert sum(option["recommended"] for option in answer["options"]) <= 1
    assert len({(o["left"]["turn_deg"], o["right"]["turn_deg"]) for o in answer["options"]}) == len(
        answer["options"]
    )
    assert answer["headline"]["code"] in CODES
    for option in answer["options"]:
        assert 0.0 <= option["odds"] <= 1.0
        teeth = [option[side][end] for side in SIDES for end in ("inner", "outer")]
        if answer["step_deg"]["fine"] is None and option["ends_disturbed"]:
            assert teeth == [None] * 4
        elif answer["step_deg"]["fine"] is not None:
            assert option["ends_disturbed"] == sum(n != 0 for n in teeth)
        assert (option["label"] == "leave it") == (option["ends_disturbed"] == 0)
        assert option["stopped_by"] == [o["words"] for o in option["obstacles"] if o["given"]]
        for it in option["obstacles"]:
            assert it["what"] in HINDRANCES
            assert it["given"] or it["words"] in option["cautions"]
            assert sum(it[by] is not None for by in ("by_mm", "by_deg", "by_mpa")) <= 1
        for side in SIDES:
            lift = option[side]["lift"]
            for name in LIFT:
                assert 0.0 <= lift["low"][name] <= lift[name] <= lift["high"][name]
        if option["recommended"]:
            assert option is answer["options"][0]
            assert not option["stopped_by"]
            assert not answer["withheld"]
    if answer["withheld"]:
        assert answer["headline"]["code"] == "read-first"
    # A gap that nothing filled.
    assert "%(" not in json.dumps(answer)
    for test in answer["measure_next"]:
        assert 0.0 <= test["odds_after"] <= 1.0


def logs():
    noise = np.random.default_rng(0)
    yield "plain", plain()
    yield "noisy", plain(drawn(0), noise, rounds=2)
    sheet = Sheet(drawn(1), noise).plain().boards().hung().both("wheel-load")
    yield "rich", sheet.move(left=(-3, 4), right=(0, 1)).plain().request()
    slipped = plain(drawn(2), np.random.default_rng(2), rounds=2)
    slipped["log"][2]["value"] *= -1
    yield "slipped", slipped
    yield "gravity", Sheet(Truth()).plain(reference="gravity", pitch=1.5).request()
    yield "equal counts", Sheet(Truth(), teeth=(44, 44)).plain().request()
    yield "closed", {**plain(), "car": {}}


LOGS = dict(logs())


@pytest.mark.parametrize("request_", LOGS.values(), ids=LOGS.keys())
def test_an_answer_has_the_contracts_names_and_kinds(request_):
    sensible(solve(request_))


def test_the_contracts_own_example_is_answered():
    left = {"kind": "reading", "side": "left", "teardown": 0}
    right = {"kind": "reading", "side": "right", "teardown": 0}
    board = {"board_left_mm": 50.0, "board_right_mm": 0.0, "ballast_left_kg": 0.0, "ballast_right_kg": 0.0}
    request = {
        "car": {
            "bar": dict(BAR),
            "arm_mm": 415.0,
            "arm_sd_mm": 3.0,
            "load_kg": {"left": 230.0, "right": 230.0},
            "load_sd_kg": 16.0,
            "axle": "trailing",
            "limits": {"stop_deg": 0.0, "bump_mm": 60.0, "droop_mm": 90.0, "permissible_stress_mpa": 1000.0},
        },
        "target": {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 5.0, "lean_mm": 5.0},
        "log": [
            {**left, "what": "hanging-angle", "value": 3.1, "sd": 0.2},
            {**right, "what": "hanging-angle", "value": 14.9, "datum": 11.2, "sd": 0.2},
            {**left, "what": "riding-angle", "value": -15.0, "sd": 0.2},
            {**left, "what": "body-height", "value": 214.0, "sd": 1.5},
            {**right, "what": "body-height", "value": 216.0, "sd": 1.5},
            {**left, "what": "hub-to-body", "value": 188.0, "sd": 1.5, "pose": {"hanging": True}},
            {**left, "what": "wheel-load", "value": 253.0, "sd": 3.0},
            {**left, "what": "body-height", "value": 206.0, "sd": 1.5, "pose": board},
        ],
    }
    answer = solve(request)
    sensible(answer)
    first = answer["options"][0]
    assert first["left"]["body_height_mm"]["value"] == pytest.approx(250.0, abs=5.0)
    assert first["left"]["turn_deg"] > 0


def test_the_request_is_left_as_it_was():
    for request in LOGS.values():
        before = copy.deepcopy(request)
        solve(request)
        assert request == before


def test_the_same_request_has_the_same_answer():
    for request in LOGS.values():
        assert solve(request) == solve(request)


def test_now_is_the_car_as_it_stands():
    truth = Truth()
    sheet = Sheet(truth).plain().move(left=(-3, 4), right=(0, 1)).plain()
    now = solve(sheet.request())["now"]
    rest = truth.settled(turn_deg=sheet.turn)
    for s, side in enumerate(SIDES):
        assert now[side]["hanging_deg"]["value"] == pytest.approx(
            truth.hanging_deg[s] + sheet.turn[s], abs=1e-6
        )
        assert now[side]["riding_deg"]["value"] == pytest.approx(rest.phi[s] / DEG, abs=1e-6)
        height = (truth.mark_m[s] + rest.height[s]) * 1e3
        assert now[side]["body_height_mm"]["value"] == pytest.approx(height, abs=1e-6)
        assert now[side]["load_kg"]["value"] == pytest.approx(rest.force[s] / 9.80665, abs=1e-6)


def test_an_option_promises_what_comes_of_it():
    truth = Truth()
    for option in solve(plain(truth))["options"]:
        turn = [option[side]["turn_deg"] for side in SIDES]
        rest = truth.settled(turn_deg=turn)
        for s, side in enumerate(SIDES):
            one = option[side]
            assert one["turn_deg"] == pytest.approx(one["inner"] * 9 + one["outer"] * 360 / 44, abs=1e-9)
            height = (truth.mark_m[s] + rest.height[s]) * 1e3
            assert one["body_height_mm"]["value"] == pytest.approx(height, abs=1e-6)
            assert one["riding_deg"] == pytest.approx(rest.phi[s] / DEG, abs=1e-6)
            assert one["hanging_deg"] == pytest.approx(truth.hanging_deg[s] + turn[s], abs=1e-6)
        lean = (rest.height[0] - rest.height[1]) * 1e3
        assert option["lean_mm"]["value"] == pytest.approx(lean, abs=1e-6)


def test_the_best_option_brings_the_car_to_its_target():
    for seed in range(10):
        truth = drawn(seed)
        target = sum(standing(truth)) / 2 + 30.0
        request = plain(truth, np.random.default_rng(seed), rounds=2, target=(target, target))
        first = solve(request)["options"][0]
        for side in SIDES:
            assert first[side]["body_height_mm"]["value"] == pytest.approx(target, abs=6.0)
        assert abs(first["lean_mm"]["value"]) < 5.0


def settled(request: dict) -> str | None:
    """Code of the problem that a request ends in; None for an answer, whose shape and sense are checked."""
    try:
        answer = solve(request)
    except ModelProblem as problem:
        return problem.code if problem.detail and problem.path.startswith("$") else "problem without words"
    sensible(answer)
    return None


def standing(truth: Truth) -> list:
    """Heights at which the car stands, [mm]."""
    rest = truth.settled()
    return [(truth.mark_m[s] + rest.height[s]) * 1e3 for s in (0, 1)]


def test_leave_it_comes_first_where_the_car_stands_within_tolerance():
    truth = Truth(hanging_deg=(10.0, 10.0))
    heights = standing(truth)
    for off in (0.0, 1.0):
        target = (heights[0] + off, heights[1] + off)
        answer = solve(Sheet(truth).plain(3).request(target=target))
        first = answer["options"][0]
        assert first["label"] == "leave it"
        assert first["recommended"]
        assert [first[side][end] for side in SIDES for end in ("inner", "outer", "steps")] == [0] * 6
        assert first["odds"] > 0.8


def test_leave_it_does_not_come_first_where_the_car_stands_off():
    truth = Truth(hanging_deg=(10.0, 10.0))
    heights = standing(truth)
    for off in (12.0, -12.0):
        first = solve(Sheet(truth).plain(3).request(target=(heights[0] + off, heights[1] + off)))["options"][
            0
        ]
        assert first["label"] != "leave it"
        assert (first["left"]["turn_deg"] > 0) == (off > 0)


OUT_OF_REACH = [(3000.0, 3000.0), (1200.0, 1200.0), (250.0, 1200.0)]
FAR = [(1.0, 1.0), (350.0, 350.0), (250.0, 400.0)]


@pytest.mark.parametrize("target", OUT_OF_REACH + FAR)
def test_a_target_far_away_is_answered_with_finite_figures(target):
    sensible(solve(plain(target=target)))


@pytest.mark.parametrize("target", OUT_OF_REACH)
def test_a_target_out_of_reach_says_so_and_recommends_nothing(target):
    answer = solve(plain(target=target))
    assert not any(option["recommended"] for option in answer["options"])
    assert answer["headline"]["code"] == "out-of-reach"
    for option in answer["options"]:
        reach = [o for o in option["obstacles"] if o["what"] == "reach"]
        assert len(reach) == (0 if option["label"] == "leave it" else 1)
        assert all(o["by_mm"] > 100.0 and o["given"] for o in reach)


@pytest.mark.parametrize("target", FAR)
def test_a_target_beyond_what_is_only_believed_of_the_car_is_planned_with_a_caution(target):
    first = solve(plain(target=target))["options"][0]
    assert first["recommended"]
    assert first["stopped_by"] == []
    assert any("assumed, not measured" in words for words in first["cautions"])


def test_equal_counts_say_that_there_is_no_fine_step():
    answer = solve(Sheet(Truth(), teeth=(44, 44)).plain().request())
    assert answer["step_deg"] == {"fine": 360 / 44, "inner": 360 / 44, "outer": 360 / 44, "turn": None}
    assert any("no fine step" in words for words in answer["cautions"])
    assert all(option[side]["inner"] == 0 for option in answer["options"] for side in SIDES)


def test_steps_are_those_of_the_counts():
    steps = {"fine": 360 / 440, "inner": 9.0, "outer": 360 / 44, "turn": None}
    assert solve(plain())["step_deg"] == pytest.approx(steps)


def test_the_standing_cautions_are_always_there():
    for request in LOGS.values():
        words = " ".join(solve(request)["cautions"])
        for part in (
            "loaded torsion bar",
            "stands",
            "eye protection",
            "wrong side",
            "qualified",
            "trust the car",
        ):
            assert part in words


def test_another_target_is_planned_as_a_fresh_request_is():
    request = plain(drawn(3), np.random.default_rng(3), rounds=2)
    plan = Plan(request)
    for target in ((235.0, 238.0), (260.0, 255.0), (205.0, 205.0)):
        for tolerance, lean in ((5.0, 5.0), (10.0, 3.0)):
            wish = {
                "left_mm": target[0],
                "right_mm": target[1],
                "tolerance_mm": tolerance,
                "lean_mm": lean,
            }
            assert plan.answer(wish) == solve({**request, "target": wish})
            assert plan.answer(wish, advice=False)["measure_next"] == []


def test_another_target_is_checked_like_the_first():
    plan = Plan(plain())
    with pytest.raises(ModelProblem) as caught:
        plan.answer({"left_mm": 0.0, "right_mm": 250.0})
    assert (caught.value.code, caught.value.path) == ("out-of-range", "$.target.left_mm")


def test_another_target_takes_the_documented_defaults():
    request = plain(tolerance_mm=9.0, lean_mm=9.0)
    bare = {"left_mm": 250.0, "right_mm": 250.0}
    assert Plan(request).answer(bare) == solve(plain(tolerance_mm=5.0, lean_mm=5.0))


def mirrored(request: dict) -> dict:
    other = copy.deepcopy(request)
    car = other["car"]
    if "load_kg" in car:
        car["load_kg"] = {"left": car["load_kg"]["right"], "right": car["load_kg"]["left"]}
    target = other["target"]
    target["left_mm"], target["right_mm"] = target["right_mm"], target["left_mm"]
    for entry in other["log"]:
        if entry["kind"] == "move":
            entry["left"], entry["right"] = entry["right"], entry["left"]
            continue
        entry["side"] = "right" if entry["side"] == "left" else "left"
        pose = entry.get("pose", {})
        entry["pose"] = {
            (k.replace("left", "right") if "left" in k else k.replace("right", "left")): v
            for k, v in pose.items()
        }
    return other


@pytest.mark.parametrize("name", [name for name in LOGS if name != "equal counts"])
def test_a_mirror_mirrors_the_answer(name):
    one, two = solve(LOGS[name]), solve(mirrored(LOGS[name]))
    tight = {"rel": 1e-6, "abs": 1e-6}
    for side, other in (SIDES, SIDES[::-1]):
        for what, figure in one["now"][side].items():
            if figure is None:
                assert two["now"][other][what] is None
                continue
            assert two["now"][other][what] == pytest.approx(figure, **tight)
    for what, figure in one["learned"].items():
        assert two["learned"][what] == pytest.approx(figure, **tight)
    first, second = one["options"][0], two["options"][0]
    assert second["odds"] == pytest.approx(first["odds"], abs=1e-7)
    assert second["lean_mm"]["value"] == pytest.approx(-first["lean_mm"]["value"], **tight)
    for side, other in (SIDES, SIDES[::-1]):
        for end in ("inner", "outer"):
            assert second[other][end] == first[side][end]
        assert second[other]["turn_deg"] == pytest.approx(first[side]["turn_deg"], **tight)
    assert len(one["doubts"]) == len(two["doubts"])


def extreme():
    """Extreme but legal requests, by what is extreme."""
    base = Sheet(Truth()).plain()
    yield "tiny bar", base.request(bar=dict(BAR, diameter_mm=5.0))
    yield "tiny long bar", base.request(bar=dict(BAR, diameter_mm=5.0, length_mm=3000.0))
    yield "slim bar", base.request(bar=dict(BAR, diameter_mm=10.0))
    yield "post", base.request(bar=dict(BAR, diameter_mm=80.0, length_mm=100.0))
    yield "tube", base.request(bar=dict(BAR, bore_mm=21.99))
    for teeth in ((3, 3), (3, 4), (200, 199), (200, 200), (3, 200), (197, 199)):
        yield (
            f"{teeth[0]} and {teeth[1]} teeth",
            base.request(bar=dict(BAR, inner_teeth=teeth[0], outer_teeth=teeth[1])),
        )
    yield "feather", base.request(load_kg={"left": 5.0, "right": 5.0})
    yield "lorry", base.request(load_kg={"left": 5000.0, "right": 5000.0})
    yield "lopsided", base.request(load_kg={"left": 5.0, "right": 5000.0})
    yield "short arm", base.request(arm_mm=100.0, arm_sd_mm=100.0)
    yield "long arm", base.request(arm_mm=1500.0)
    yield "no roll support", base.request(roll_support_n_per_mm=0.01, roll_support_sd_n_per_mm=1000.0)
    yield "all roll support", base.request(roll_support_n_per_mm=1000.0, roll_support_sd_n_per_mm=0.01)
    yield "flat tyres", base.request(tyre_n_per_mm=20.0, tyre_sd_n_per_mm=1000.0)
    yield (
        "all rubber",
        base.request(bush={"ratio": 1.0, "ratio_sd": 0.5, "rest_deg": -90.0, "rest_sd_deg": 30.0}),
    )
    yield "no limits left", base.request(limits={"bump_mm": 0.0, "droop_mm": 0.0, "joint_deg": 0.1})
    yield "steep half-axle", base.request(axle="swing", half_axle_mm=100.0, half_axle_deg=60.0)
    yield "no tolerance", base.request(tolerance_mm=0.1, lean_mm=0.1)
    yield "all tolerance", base.request(tolerance_mm=200.0, lean_mm=200.0)
    for hanging in (-89.0, -75.0, -60.0, 60.0, 75.0, 80.0, 82.0):
        request = base.request()
        for entry in request["log"]:
            if entry["what"] == "hanging-angle":
                entry["value"] = hanging
        yield f"hanging at {hanging:g}", request
    many = base.request()
    noise = np.random.default_rng(0)
    while len(many["log"]) < 200:
        entry = copy.deepcopy(many["log"][len(many["log"]) % 6])
        entry["value"] += float(noise.normal(0.0, 0.2))
        many["log"].append(entry)
    yield "200 readings", many
    poses = Sheet(Truth(), np.random.default_rng(1)).plain()
    for k in range(48):
        poses.both("riding-angle", "body-height", board_mm=(5.0 + k, 0.0))
    yield "50 poses", poses.request()
    moved = Sheet(drawn(0), np.random.default_rng(2)).plain()
    for k in range(12):
        moved.move(left=(1, -1), right=((-1) ** k, 0)).plain()
    yield "12 teardowns", moved.request()
    wild = base.request()
    for entry in wild["log"]:
        entry["sd"] = 20.0 if "angle" in entry["what"] else 200.0
    yield "blind", wild
    sharp = base.request()
    for entry in sharp["log"]:
        entry["sd"] = 0.01
    yield "sharp", sharp


EXTREME = dict(extreme())


@pytest.mark.parametrize("request_", EXTREME.values(), ids=EXTREME.keys())
def test_an_extreme_request_is_answered_with_finite_figures_or_a_problem(request_):
    assert settled(request_) in (None, "no-equilibrium", "not-converged")


@pytest.mark.parametrize("hanging", [84.0, 88.0])
def test_an_arm_that_hangs_nearly_straight_down_is_answered_or_refused(hanging):
    request = plain()
    for entry in request["log"]:
        if entry["what"] == "hanging-angle":
            entry["value"] = hanging
    assert settled(request) in (None, "no-equilibrium", "out-of-range")


def tossed(seed: int) -> dict:
    """A request with some of everything pushed far, within its bounds; hanging angles short of vertical."""
    rng = random.Random(seed)
    wild = rng.random()

    def push(limits, usual, low=None, high=None):
        if rng.random() > wild:
            return usual
        limits = field(limits).limits if isinstance(limits, str) else limits
        low, high = low if low is not None else limits[0], high if high is not None else limits[1]
        if rng.random() < 0.3:
            return rng.choice((low, high))
        if low > 0:
            return math.exp(rng.uniform(math.log(low), math.log(high)))
        return rng.uniform(low, high)

    bar = {
        "diameter_mm": push("car.bar.diameter_mm", 22.0),
        "length_mm": push("car.bar.length_mm", 600.0),
        "inner_teeth": int(push("car.bar.inner_teeth", 40)),
        "outer_teeth": int(push("car.bar.outer_teeth", 44)),
    }
    car = {
        "bar": bar,
        "arm_mm": push("car.arm_mm", 415.0),
        "arm_sd_mm": push("car.arm_sd_mm", 3.0),
        "load_kg": {side: push("car.load_kg.left", 230.0) for side in SIDES},
        "roll_support_n_per_mm": push("car.roll_support_n_per_mm", 13.0),
        "tyre_n_per_mm": push("car.tyre_n_per_mm", 180.0),
        "unevenness_mm": push("car.unevenness_mm", 0.0),
        "axle": rng.choice(("trailing", "semi-trailing", "swing")),
        "limits": {
            "stop_deg": push("car.limits.stop_deg", 0.0),
            "joint_deg": push("car.limits.joint_deg", 20.0),
        },
    }
    log = []
    for what, limits, usual in (
        ("hanging-angle", (-60.0, 60.0), 10.0),
        ("riding-angle", (-60.0, 60.0), -9.0),
        ("body-height", field("log.value.body-height").limits, 220.0),
        ("hub-to-body", field("log.value.hub-to-body").limits, 180.0),
        ("wheel-load", field("log.value.wheel-load").limits, 250.0),
    ):
        for side in SIDES:
            if what in ("hanging-angle", "body-height") or rng.random() < 0.5:
                log.append({"kind": "reading", "what": what, "side": side, "value": push(limits, usual)})
    target = {f"{side}_mm": push(f"target.{side}_mm", 250.0) for side in SIDES}
    target["tolerance_mm"] = push("target.tolerance_mm", 5.0)
    return {"car": car, "target": target, "log": log}


@pytest.mark.slow(seconds=2)
def test_no_legal_request_ends_in_anything_but_figures_or_a_problem():
    ends = [settled(tossed(seed)) for seed in range(30)]
    assert set(ends) <= {None, "no-equilibrium", "not-converged"}
    assert ends.count(None) > 10


def test_more_readings_than_a_log_may_hold_are_refused():
    request = plain()
    request["log"] = request["log"] * 200
    with pytest.raises(ModelProblem) as caught:
        solve(request)
    assert caught.value.code == "too-many-readings"


def test_the_fit_says_how_much_it_was_given_and_how_well_it_fits():
    fit = solve(plain())["fit"]
    assert fit["readings"] == 6
    assert fit["misfit_rms"] == pytest.approx(0.0, abs=1e-6)
    assert fit["iterations"] < 10
    fit = solve(plain(drawn(1), np.random.default_rng(1), rounds=3))["fit"]
    assert fit["readings"] == 18
    assert 0.0 < fit["misfit_rms"] < 2.0
