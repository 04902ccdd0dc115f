"""What a request may say: bounds, defaults, datums, and errors that name their field."""

import copy
import math

import pytest

from bothends.model import fields
from bothends.model.beliefs import SETTLING_MM
from bothends.model.car import Car
from bothends.model.fields import MOST_ENTRIES, RENEWED, SIDES, field, inside, kind
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.slip import with_value
from bothends.model.solve import solve
from bothends.model.units import MM
from model.cars import DEG, GRAVITY, Sheet, Truth, plain

CAR = [(row.path.split(".", 1)[1], row.limits) for row in fields.FIELDS if row.path.startswith("car.")]
TARGET = [
    (name, field("target." + name).limits) for name in ("left_mm", "right_mm", "tolerance_mm", "lean_mm")
]
# Entries of the log of ``everything``: hanging, riding, height, hub, load, move.
LOG = [
    ("[0].value", kind("hanging-angle").value.limits),
    ("[0].datum", field("log.datum").limits),
    ("[0].sd", kind("hanging-angle").spread.limits),
    ("[0].teardown", field("log.teardown").limits),
    ("[2].value", kind("riding-angle").value.limits),
    ("[4].value", kind("body-height").value.limits),
    ("[4].sd", kind("body-height").spread.limits),
    *[("[4].pose." + row.name, row.limits) for row in inside("log.pose")],
    ("[6].value", kind("hub-to-body").value.limits),
    ("[8].value", kind("wheel-load").value.limits),
    ("[8].sd", kind("wheel-load").spread.limits),
    *[(f"[10].{side}.{row.name}", row.limits) for side in SIDES for row in inside(f"log.{side}")],
]
FIELDS = (
    [("$.car." + name, limits) for name, limits in CAR]
    + [("$.target." + name, limits) for name, limits in TARGET]
    + [("$.log" + name, limits) for name, limits in LOG]
)
WHOLE = ("teeth", "teardown", "inner", "outer")


def everything() -> dict:
    """A request with an entry of every kind; every optional part is there to be set."""
    sheet = Sheet(Truth()).both("hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load")
    sheet.move(left=(-3, 4), right=(0, 1))
    request = sheet.request()
    request["car"]["bush"] = {}
    request["car"]["limits"] = {}
    request["car"]["adjuster"] = {"kind": "screw", "raise_turns": {}, "lower_turns": {}, "at_deg": {}}
    own = ("bar", "load_kg", "bush", "limits", "adjuster")
    request["car"]["other"] = copy.deepcopy({part: request["car"][part] for part in own})
    for entry in request["log"]:
        if entry["kind"] == "reading":
            entry["pose"] = {}
    return request


def put(request: dict, path: str, value) -> dict:
    """The request with a field set; ``path`` as in the errors."""
    *parents, last = path.replace("$.", "").replace("[", ".").replace("]", "").split(".")
    where = request
    for part in parents:
        where = where[int(part) if part.isdigit() else part]
    where[last] = value
    return request


def refused(request, code: str, path: str) -> str:
    with pytest.raises(ModelProblem) as caught:
        read(request)
    assert caught.value.code == code
    assert caught.value.path == path
    assert caught.value.detail
    assert path in str(caught.value)
    return caught.value.detail


def is_whole(path: str) -> bool:
    return path.rsplit(".", 1)[-1].endswith(WHOLE)


@pytest.mark.parametrize(("path", "limits"), FIELDS, ids=[path for path, _ in FIELDS])
def test_a_number_outside_its_bounds_is_refused_by_name(path, limits):
    low, high = limits
    step = 1 if is_whole(path) else 1e-6 * max(1.0, abs(low), abs(high))
    for value in (low - step, high + step, math.inf, -math.inf, math.nan, 1e300):
        detail = refused(put(everything(), path, value), "out-of-range", path)
        assert path.rsplit(".", 1)[-1] in detail


@pytest.mark.parametrize(("path", "limits"), FIELDS, ids=[path for path, _ in FIELDS])
def test_an_error_says_what_was_expected_and_what_came(path, limits):
    detail = refused(put(everything(), path, 123456.0), "out-of-range", path)
    assert f"{limits[0]:g}" in detail
    assert f"{limits[1]:g}" in detail
    assert "123456" in detail


@pytest.mark.parametrize(("path", "limits"), FIELDS, ids=[path for path, _ in FIELDS])
def test_what_is_no_number_is_refused_by_name(path, limits):
    for value in (True, False, "12", "", [3.0], {"value": 3.0}):
        refused(put(everything(), path, value), "out-of-range", path)


@pytest.mark.parametrize(("path", "limits"), FIELDS, ids=[path for path, _ in FIELDS])
def test_both_bounds_are_allowed(path, limits):
    for value in limits:
        request = put(everything(), path, value)
        if path.endswith(".bar.bore_mm") and value:
            put(request, path.replace("bore", "diameter"), 80.0)
        if path == "$.log[0].teardown" and value:
            # A reading may only follow moves that were made; here there is one.
            refused(request, "bad-log", path)
            continue
        read(request)


def test_whole_numbers_may_come_with_a_point_but_not_with_a_fraction():
    for path in [path for path, _ in FIELDS if is_whole(path)]:
        whole = 1.0 if "log" in path else 40.0
        read(put(everything(), path, whole))
        assert "whole" in refused(put(everything(), path, whole + 0.5), "out-of-range", path)


@pytest.mark.parametrize(
    "path",
    [
        "$.target",
        "$.target.left_mm",
        "$.target.right_mm",
        "$.log[0].what",
        "$.log[0].side",
        "$.log[0].value",
        "$.log[0].kind",
        "$.log[10].teardown",
    ],
)
def test_what_is_required_is_missed_by_name(path):
    refused(put(everything(), path, None), "out-of-range", path)


@pytest.mark.parametrize(
    "path",
    [
        "$.car",
        "$.car.bar",
        "$.car.load_kg",
        "$.car.bush",
        "$.car.limits",
        "$.car.known",
        "$.car.held",
        "$.target",
    ],
)
def test_a_part_that_is_no_object_is_refused_by_name(path):
    for value in (3.0, "bar", [1.0]):
        refused(put(everything(), path, value), "out-of-range", path)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("$.car.axle", ("trailing", "semi-trailing", "swing")),
        ("$.log[0].what", ("hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load")),
        ("$.log[0].side", ("left", "right")),
        ("$.log[0].kind", ("reading", "move")),
        ("$.log[0].reference", ("body", "gravity")),
        ("$.target.as", ("heights", "rise", "level", "hanging-angle")),
        ("$.target.measured", ("body-height", "hub-to-body")),
        ("$.units", ("metric", "inch")),
    ],
)
def test_a_word_that_is_not_known_is_refused_with_those_that_are(path, words):
    for value in ("driven", "", 3, True, ["left"]):
        detail = refused(put(everything(), path, value), "out-of-range", path)
        assert all(word in detail for word in words)


@pytest.mark.parametrize("request_", [None, [], "car", 3])
def test_a_request_that_is_no_object_is_refused(request_):
    refused(request_, "out-of-range", "$")


def test_a_log_and_its_entries_have_their_shape():
    for value in ({}, "log", 3):
        request = everything()
        request["log"] = value
        if value == {}:
            refused(request, "missing-reading", "$.log")
        else:
            refused(request, "out-of-range", "$.log")
    for value in (None, 3, "reading", []):
        request = everything()
        request["log"][1] = value
        refused(request, "out-of-range", "$.log[1]")
    for path in ("$.log[0].pose", "$.log[10].left", "$.log[10].right"):
        refused(put(everything(), path, 3), "out-of-range", path)


@pytest.mark.parametrize("value", ["yes", "no", 1, 0.0, [True], {}])
def test_hanging_is_yes_or_no_and_nothing_else(value):
    refused(put(everything(), "$.log[6].pose.hanging", value), "out-of-range", "$.log[6].pose.hanging")


def test_a_bore_is_less_than_its_bar():
    for bore in (22.0, 30.0):
        detail = refused(put(everything(), "$.car.bar.bore_mm", bore), "out-of-range", "$.car.bar.bore_mm")
        assert "22" in detail
    read(put(everything(), "$.car.bar.bore_mm", 21.9))


def test_a_log_holds_a_thousand_entries_and_no_more():
    request = everything()
    request["log"] = request["log"] + [copy.deepcopy(request["log"][4]) for _ in range(1000 - 11)]
    assert len(request["log"]) == MOST_ENTRIES == 1000
    read(request)
    request["log"].append(copy.deepcopy(request["log"][4]))
    detail = refused(request, "too-many-readings", "$.log")
    assert "1001" in detail


def test_a_reading_cannot_follow_a_move_that_was_not_made():
    refused(put(everything(), "$.log[4].teardown", 2), "bad-log", "$.log[4].teardown")
    read(put(everything(), "$.log[4].teardown", 1))


def test_moves_are_numbered_without_a_gap():
    refused(put(everything(), "$.log[10].teardown", 2), "bad-log", "$.log[10].teardown")


def test_a_teardown_has_one_move():
    request = everything()
    request["log"].append(copy.deepcopy(request["log"][10]))
    refused(request, "bad-log", "$.log[11].teardown")


def test_a_move_is_never_the_zeroth():
    refused(put(everything(), "$.log[10].teardown", 0), "out-of-range", "$.log[10].teardown")


def test_moves_may_be_written_in_any_order():
    request = everything()
    second = copy.deepcopy(request["log"][10])
    second["teardown"] = 2
    request["log"].insert(0, second)
    case = read(request)
    assert case.teardowns == 2
    assert case.moves[2][0] == 0
    assert case.moves[1][0] == 11


@pytest.mark.parametrize("index", [4, 6, 8])
def test_a_datum_goes_with_an_angle_only(index):
    refused(put(everything(), f"$.log[{index}].datum", 1.0), "bad-log", f"$.log[{index}].datum")


@pytest.mark.parametrize("index", [4, 8])
def test_heights_over_ground_and_loads_are_not_read_hanging(index):
    refused(
        put(everything(), f"$.log[{index}].pose.hanging", True), "bad-log", f"$.log[{index}].pose.hanging"
    )


@pytest.mark.parametrize("index", [4, 5])
def test_heights_need_that_height_read_on_each_side(index):
    request = everything()
    side = request["log"][index]["side"]
    del request["log"][index]
    detail = refused(request, "missing-reading", "$.log")
    assert "ride height" in detail
    assert side in detail
    assert "rise" in detail


@pytest.mark.parametrize("index", [0, 1, 2, 3, 6, 7, 8, 9])
def test_heights_need_no_other_reading(index):
    request = everything()
    del request["log"][index]
    read(request)


def test_an_empty_log_lacks_the_heights_of_a_target_of_heights():
    for log in (None, []):
        request = everything()
        request["log"] = log
        detail = refused(request, "missing-reading", "$.log")
        assert "ride height on the left" in detail


FACTS = ["$.car"] + ["$.car." + name for name, _ in CAR] + ["$.car.bar", "$.car.load_kg", "$.car.limits"]


@pytest.mark.parametrize("path", FACTS)
def test_no_fact_about_the_car_is_required(path):
    request = put(everything(), path, None)
    # Teeth that were turned are the log's business: see below.
    request["log"] = [entry for entry in request["log"] if entry["kind"] == "reading"]
    read(request)


@pytest.mark.parametrize("end", ["inner", "outer"])
def test_teeth_turned_at_an_end_that_nobody_counted_ask_for_its_count(end):
    path = f"$.car.bar.{end}_teeth"
    detail = refused(put(everything(), path, None), "missing-reading", path)
    assert f"{end} end" in detail
    assert "$.log[10]" in detail
    # The other end's count is not missed where that end was not turned.
    request = put(everything(), path, None)
    for side in ("left", "right"):
        request["log"][10][side][end] = 0
    read(request)


def test_held_lists_ends_and_nothing_else():
    for value in ("inner", ["middle"], 3, {"inner": True}, ["inner", None]):
        detail = refused(put(everything(), "$.car.held", {"left": value}), "out-of-range", "$.car.held.left")
        assert '"inner"' in detail
    held = read(put(everything(), "$.car.held", {"left": ["outer", "inner"], "right": []})).car.held
    assert held == ((True, True), (False, False))
    assert read(put(everything(), "$.car.held", {"right": ["inner"]})).car.held == (
        (False, False),
        (True, False),
    )


def test_a_spot_is_a_short_text():
    for path in ("$.target.spot", "$.log[4].spot"):
        for value in (3, ["here"], "x" * 41):
            assert "40" in refused(put(everything(), path, value), "out-of-range", path)
        read(put(everything(), path, "x" * 40))


def test_a_reading_may_say_spot_distance_and_settling():
    request = put(put(everything(), "$.log[4].spot", "bay 2"), "$.log[4].after_km", 120)
    reading = read(put(request, "$.log[4].resettled", 2)).readings[4]
    assert (reading.spot, reading.after, reading.resettled) == ("bay 2", 120.0, 2)
    plain_ = read(everything()).readings[4]
    assert (plain_.spot, plain_.after, plain_.resettled) == ("", 0.0, None)


def test_defaults_are_as_documented():
    bar = {"diameter_mm": 22.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}
    request = plain()
    request["car"] = {"bar": bar, "arm_mm": 415.0}
    request["target"] = {"left_mm": 250.0, "right_mm": 251.0}
    case = read(request)
    car = case.car
    mm, kg = 1e-3, GRAVITY
    expected = {
        "bore": 0.0,
        "modulus": 78.5e9,
        "rate_sd": 0.03,
        "arm_sd": 10 * mm,
        "load_sd": 60 * kg,
        "unsprung": 20 * kg,
        "unsprung_sd": 10 * kg,
        "bush": 0.045,
        "bush_sd": 0.02,
        "rest": 0.0,
        "rest_sd": 2.5 * DEG,
        "roll": 13e3,
        "roll_sd": 5e3,
        "uneven": 0.0,
        "uneven_sd": 4 * mm,
        "tyre": 180e3,
        "tyre_sd": 35e3,
        "half_axle": 600 * mm,
        "half_axle_angle": 0.0,
        "sweep": 15 * DEG,
    }
    for name, value in expected.items():
        assert getattr(car, name) == pytest.approx(value, rel=1e-12), name
    assert car.load == pytest.approx([240 * kg, 240 * kg])
    assert car.axle == "trailing"
    assert car.known is None
    # A limit that nobody gave is not known; what is believed of it is `travel`'s.
    assert [getattr(car, name) for name in ("stop", "bump", "droop", "stress", "joint")] == [None] * 5
    assert case.wish.heights == pytest.approx([250 * mm, 251 * mm])
    assert (case.wish.tolerance, case.wish.lean) == pytest.approx((5 * mm, 5 * mm))
    assert (case.units, case.wish.form, case.wish.measured) == ("metric", "heights", "body-height")


def test_what_is_believed_of_a_car_that_nobody_knows_is_as_documented():
    car = read({"car": {}, "target": {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0}}).car
    assert car.rate == pytest.approx(48.0 / DEG)
    assert car.rate_sd == pytest.approx(0.35)
    assert (car.arm, car.arm_sd) == pytest.approx((0.410, 0.040))
    assert car.load == pytest.approx([240 * GRAVITY, 240 * GRAVITY])
    assert car.load_sd == pytest.approx(60 * GRAVITY)
    assert [car.bar_given, car.arm_given, car.load_given, car.counted] == [False] * 4


def test_an_arm_by_tape_is_the_lever_to_a_centimetre_and_less_well_on_a_swing_axle():
    taped = read(put(everything(), "$.car.arm_sd_mm", None)).car
    swing = read(put(put(everything(), "$.car.arm_sd_mm", None), "$.car.axle", "swing")).car
    said = read(put(put(everything(), "$.car.arm_sd_mm", 2.0), "$.car.axle", "swing")).car
    assert (taped.arm_sd, swing.arm_sd, said.arm_sd) == pytest.approx((0.010, 0.020, 0.002))


def test_one_wheel_weighed_speaks_for_the_other():
    car = read(put(everything(), "$.car.load_kg", {"left": 210.0})).car
    assert car.load == pytest.approx([210 * GRAVITY, 210 * GRAVITY])
    assert car.load_given
    assert car.load_sd == pytest.approx(0.07 * 210 * GRAVITY)


@pytest.mark.parametrize("missing", ["diameter_mm", "length_mm"])
def test_a_bar_that_is_half_measured_is_believed_as_one_that_is_not(missing):
    car = read(put(everything(), "$.car.bar." + missing, None)).car
    assert not car.bar_given
    assert (car.rate * DEG, car.rate_sd) == pytest.approx((48.0, 0.35))
    assert car.counted


def test_a_given_load_is_known_to_seven_per_cent_of_the_mean():
    case = read(put(everything(), "$.car.load_kg", {"left": 200.0, "right": 300.0}))
    assert case.car.load_sd == pytest.approx(0.07 * 250 * GRAVITY)
    request = put(everything(), "$.car.load_sd_kg", 5.0)
    assert read(request).car.load_sd == pytest.approx(5 * GRAVITY)


def test_the_bush_is_taken_to_be_clamped_at_the_stop():
    request = put(everything(), "$.car.limits.stop_deg", 6.5)
    assert read(request).car.rest == pytest.approx(6.5 * DEG)
    put(request, "$.car.bush.rest_deg", 2.0)
    assert read(request).car.rest == pytest.approx(2 * DEG)


def test_null_is_the_same_as_left_out():
    request = everything()
    for path, _ in CAR:
        if path.split(".")[0] not in ("bar", "load_kg") and path != "arm_mm":
            put(request, "$.car." + path, None)
    for name in ("axle", "known", "load_kg", "other"):
        request["car"][name] = None
    request["car"]["adjuster"]["kind"] = None
    one = read(request).car
    two = read({**plain(), "car": {key: request["car"][key] for key in ("bar", "arm_mm")}}).car
    assert {**vars(one), "adjuster": vars(one.adjuster)} == {**vars(two), "adjuster": vars(two.adjuster)}


def test_readings_are_as_sure_as_their_gauge_or_tape():
    readings = read(everything()).readings
    unit = [DEG, DEG, DEG, DEG, 1e-3, 1e-3, 1e-3, 1e-3, GRAVITY, GRAVITY]
    expected = [0.2, 0.2, 0.2, 0.2, 1.5, 1.5, 1.5, 1.5, 3.0, 3.0]
    assert [r.sd / u for r, u in zip(readings, unit, strict=True)] == pytest.approx(expected)
    dated = read(put(everything(), "$.log[0].datum", 1.0)).readings[0]
    assert dated.sd == pytest.approx(0.28 * DEG)
    given = put(put(everything(), "$.log[0].datum", 1.0), "$.log[0].sd", 0.5)
    assert read(given).readings[0].sd == pytest.approx(0.5 * DEG)


def test_a_datum_is_subtracted_and_ties_the_reading_to_the_body():
    request = put(everything(), "$.log[0].value", 16.2)
    put(request, "$.log[0].datum", -1.3)
    put(request, "$.log[0].reference", "gravity")
    reading = read(request).readings[0]
    assert reading.value == pytest.approx(17.5 * DEG)
    assert reading.gravity is False
    assert (reading.raw, reading.datum) == (16.2, -1.3)


def test_a_datum_of_nothing_is_still_a_datum():
    request = put(everything(), "$.log[0].datum", 0.0)
    put(request, "$.log[0].reference", "gravity")
    reading = read(request).readings[0]
    assert reading.datum == 0.0
    assert reading.gravity is False
    assert reading.sd == pytest.approx(0.28 * DEG)


def test_without_a_datum_a_reading_is_taken_against_the_body_unless_it_says_gravity():
    assert read(everything()).readings[0].gravity is False
    assert read(put(everything(), "$.log[0].reference", "gravity")).readings[0].gravity is True
    # Lengths and loads know no pitch.
    assert read(put(everything(), "$.log[4].reference", "gravity")).readings[4].gravity is False


def test_a_free_arm_feels_neither_boards_nor_ballast():
    request = put(everything(), "$.log[0].pose", {"board_left_mm": 50.0, "ballast_left_kg": 40.0})
    reading = read(request).readings[0]
    assert reading.pose == (0.0, 0.0, 0.0, False)
    assert reading.hanging


def test_boards_under_both_tyres_only_raise_the_car():
    request = put(everything(), "$.log[4].pose", {"board_left_mm": 50.0, "board_right_mm": 50.0})
    assert read(request).readings[4].pose == (0.0, 0.0, 0.0, False)


def test_the_request_is_left_as_it_was():
    request = everything()
    before = copy.deepcopy(request)
    read(request)
    assert request == before


def test_a_reading_put_right_stays_where_and_when_it_was_read():
    request = plain()
    place = next(i for i, entry in enumerate(request["log"]) if entry.get("what") == "body-height")
    request["log"][place].update(spot="bay 2", after_km=300, resettled=1)
    reading = next(r for r in read(request).readings if r.index == place)
    right = with_value(reading, 0.2, 200.0, None)
    assert (right.spot, right.after, right.resettled) == ("bay 2", 300, 1)
    assert (right.value, right.raw, right.sd, right.pose) == (0.2, 200.0, reading.sd, reading.pose)


def test_how_far_a_car_settles_is_believed_by_what_was_renewed_and_widest_where_nobody_said():
    blank = Car({"car": {}})
    assert blank.renewed is None
    for front in ("rear", "front"):
        cars = {what: Car({"car": {"renewed": what, "sprung": front}}) for what in RENEWED}
        assert {what: tuple(mm * MM for mm in SETTLING_MM[what]) for what in RENEWED} == {
            what: car.settling for what, car in cars.items()
        }
        assert blank.settling[1] == max(car.settling[1] for car in cars.values())
    with pytest.raises(ModelProblem, match="renewed"):
        Car({"car": {"renewed": "everything"}})


def test_what_was_renewed_moves_no_plan_and_is_said():
    base = plain()
    without, said = solve(base), solve({**base, "car": {**base["car"], "renewed": "bars"}})
    lower = [text for text in said["cautions"] if "3 mm lower" in text]
    assert len(lower) == 1
    assert [text for text in said["cautions"] if text not in lower] == without["cautions"]
    assert said["options"] == without["options"]
