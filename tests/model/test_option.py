"""Each limit stops what it should, and the figures have the signs they are said to have."""

import math
from types import SimpleNamespace

import pytest

from bothends.model.bar import rate_nm_per_rad
from bothends.model.beliefs import PRESET_MPA
from bothends.model.lattice import Lattice
from bothends.model.option import camber_change_deg, describe, label
from bothends.model.solve import Plan
from model.cars import BAR, DEG, GRAVITY, SIDES, Sheet, Truth

TRUTH = Truth(hanging_deg=(10.0, 10.0))


def options(*steps, truth=TRUTH, sheet=None, **car):
    """Descriptions of lattice points: net fine steps (left, right) each."""
    sheet = sheet or Sheet(truth).plain()
    estimate = Plan(sheet.request(**car)).estimate
    lattice = Lattice(estimate)
    return [describe(lattice, lattice.point(*pair)) for pair in steps]


def hub_mm(turn_deg=(0.0, 0.0), truth=TRUTH) -> list:
    """How far the hubs lie below the bar, [mm]."""
    return [truth.arm_m * math.sin(phi) * 1e3 for phi in truth.settled(turn_deg=turn_deg).phi]


STEP = 360 / 440


def test_travel_left_is_what_was_left_less_what_the_hub_moved():
    limits = {"bump_mm": 60.0, "droop_mm": 90.0}
    before = hub_mm()
    for steps in ((0, 0), (6, 6), (-4, 2)):
        (option,) = options(steps, limits=limits)
        after = hub_mm(turn_deg=(steps[0] * STEP, steps[1] * STEP))
        for s, side in enumerate(SIDES):
            down = after[s] - before[s]
            assert option[side]["bump_left_mm"] == pytest.approx(60.0 + down, abs=1e-6)
            assert option[side]["droop_left_mm"] == pytest.approx(90.0 - down, abs=1e-6)


def test_travel_counts_from_the_car_as_found_however_often_it_was_torn_down():
    sheet = Sheet(TRUTH).plain().move(left=(1, 0), right=(1, 0)).plain()
    (option,) = options((0, 0), sheet=sheet, limits={"bump_mm": 60.0, "droop_mm": 90.0})
    down = hub_mm(turn_deg=(9.0, 9.0))[0] - hub_mm()[0]
    assert option["left"]["bump_left_mm"] == pytest.approx(60.0 + down, abs=1e-6)
    assert option["left"]["droop_left_mm"] == pytest.approx(90.0 - down, abs=1e-6)


def words(option, side, part) -> tuple:
    """Whether a sentence of that side holds this part: among what stops it, among what to mind."""
    return tuple(
        any(text.startswith(side.title()) and part in text for text in option[name])
        for name in ("stopped_by", "cautions")
    )


def test_the_bump_stop_stops_a_car_that_would_rest_on_it():
    lowered, little, plenty = options((-4, 0), (0, 0), (4, 4), limits={"bump_mm": 10.0, "droop_mm": 500.0})
    assert words(lowered, "left", "bump stop") == (True, False)
    assert words(little, "left", "of bump travel remaining") == (False, True)
    assert words(plenty, "left", "bump stop") == (False, False)
    assert lowered["left"]["bump_left_mm"] < 0 < little["left"]["bump_left_mm"] < 15


def test_the_damper_stops_a_car_that_would_stretch_it():
    raised, little, plenty = options((4, 0), (0, 0), (-4, -4), limits={"bump_mm": 500.0, "droop_mm": 10.0})
    assert words(raised, "left", "full droop") == (True, False)
    assert words(little, "left", "of droop remaining") == (False, True)
    assert words(plenty, "left", "droop") == (False, False)


def stress_mpa(hanging_deg: float, bump_mm: float) -> float:
    """Stress at full bump by the book's formula, [MPa]."""
    bump = math.asin((hub_mm()[0] - bump_mm) * 1e-3 / TRUTH.arm_m)
    torque = TRUTH.rate * (hanging_deg * DEG - bump)
    return 16 * torque / (math.pi * 0.022**3) / 1e6


def test_stress_is_that_of_the_bar_wound_up_to_full_bump():
    for steps in (0, 8, -5):
        (option,) = options((steps, steps), limits={"bump_mm": 60.0, "droop_mm": 90.0})
        expected = stress_mpa(10.0 + steps * STEP, 60.0)
        assert option["left"]["stress_at_bump_mpa"] == pytest.approx(expected, rel=1e-6)


def test_a_permissible_stress_that_was_given_stops_and_a_usual_one_warns():
    at = stress_mpa(10.0 + 4 * STEP, 60.0)
    for limit, stopped, minded in (
        (at * 0.99, True, False),
        (at * 1.01, False, True),
        (at * 1.2, False, False),
    ):
        limits = {"bump_mm": 60.0, "droop_mm": 90.0, "permissible_stress_mpa": limit}
        (option,) = options((4, 4), limits=limits)
        assert words(option, "left", "MPa") == (stopped, minded)
    usual, less = options((30, 30), (4, 4), limits={"bump_mm": 90.0, "droop_mm": 300.0})
    assert usual["left"]["stress_at_bump_mpa"] > PRESET_MPA > less["left"]["stress_at_bump_mpa"]
    assert words(usual, "left", "usually carry 1,000 MPa") == (False, True)
    assert words(less, "left", "MPa") == (False, False)


def test_an_arm_hanging_too_steeply_is_stopped():
    far, near = options((84, 84), (82, 82), limits={"bump_mm": 500.0, "droop_mm": 1000.0})
    assert 78.7 < far["left"]["hanging_deg"] < 80 < far["left"]["hanging_deg"] + 2 * STEP
    (beyond,) = options((87, 87), limits={"bump_mm": 500.0, "droop_mm": 1000.0})
    assert words(beyond, "left", "hanging angle") == (True, False)
    assert words(near, "left", "hanging angle") == (False, False)


def test_a_bar_that_would_not_be_wound_up_is_stopped():
    # All rubber and no bar to speak of: turned far tail up, the bush alone carries the car.
    bush = {"ratio": 1.0, "ratio_sd": 0.0001, "rest_deg": 60.0, "rest_sd_deg": 0.0}
    truth = Truth(hanging_deg=(10.0, 10.0), bush=1.0, rest_deg=60.0)
    held, wound = options((-20, -20), (0, 0), truth=truth, bush=bush, limits={"bump_mm": 500.0})
    assert held["left"]["hanging_deg"] <= held["left"]["riding_deg"]
    assert words(held, "left", "would not load") == (True, False)
    assert wound["left"]["hanging_deg"] <= wound["left"]["riding_deg"] or words(
        wound, "left", "would not load"
    ) == (
        False,
        False,
    )


def test_a_slack_bar_at_full_droop_is_minded_where_it_is_turned():
    limits = {"stop_deg": 6.0, "bump_mm": 500.0, "droop_mm": 500.0}
    slack, still, taut = options((-8, 0), (0, 0), (2, 2), limits=limits)
    assert slack["left"]["hanging_deg"] < 6.0
    assert words(slack, "left", "slack") == (False, True)
    assert words(slack, "right", "slack") == (False, False)
    assert words(still, "left", "slack") == words(taut, "left", "slack") == (False, False)
    nothing = {"torque_nm": 0.0, "force_n": 0.0, "energy_j": 0.0}
    # The stop was given, the angle read, the bar measured: the range is the figures.
    assert slack["left"]["lift"] == {**nothing, "low": nothing, "high": nothing, "assumed": False}


def test_a_drive_joint_is_stopped_at_its_angle():
    # From level: the half-axle's angle is that of the hub's drop over its length.
    drop = hub_mm(turn_deg=(10 * STEP, 10 * STEP))[0] - hub_mm()[0]
    angle = math.asin(drop / 600.0) / DEG
    for limit, stopped in ((angle - 0.05, True), (angle + 0.05, False)):
        (option,) = options((10, 10), limits={"joint_deg": limit, "droop_mm": 500.0}, half_axle_mm=600.0)
        assert words(option, "left", "drive joint") == (stopped, False)
    # Upward counts as much.
    (down,) = options((-10, -10), limits={"joint_deg": 5.0, "bump_mm": 500.0}, half_axle_mm=600.0)
    assert words(down, "left", "drive joint") == (True, False)
    # Found with the outer end low, raising adds to it and lowering takes from it.
    one, two = options(
        (10, 10),
        (-10, -10),
        half_axle_deg=3.0,
        limits={"joint_deg": angle, "droop_mm": 500.0, "bump_mm": 500.0},
    )
    assert words(one, "left", "drive joint") == (True, False)
    assert words(two, "left", "drive joint") == (False, False)


def test_without_a_limit_no_joint_is_judged():
    (option,) = options((40, 40), limits={"droop_mm": 900.0})
    assert words(option, "left", "joint") == (False, False)


def test_lifting_the_arm_takes_what_the_bar_holds():
    truth = Truth(hanging_deg=(10.0, 10.0), rest_deg=4.0)
    (option,) = options((6, 0), truth=truth, limits={"stop_deg": 4.0, "droop_mm": 500.0})
    twist = (10.0 + 6 * STEP - 4.0) * DEG
    lift = option["left"]["lift"]
    rate = rate_nm_per_rad(diameter_m=0.022, bore_m=0.0, length_m=0.6, shear_modulus_pa=78.5e9)
    assert lift["torque_nm"] == pytest.approx(rate * twist, rel=1e-6)
    assert lift["force_n"] == pytest.approx(rate * twist / 0.415, rel=1e-6)
    assert lift["energy_j"] == pytest.approx(0.5 * rate * twist**2, rel=1e-6)


def test_tail_down_raises_and_is_positive():
    for steps in ((5, 0), (-5, 0), (0, 3)):
        (option,) = options(steps)
        for s, side in enumerate(SIDES):
            assert option[side]["turn_deg"] == pytest.approx(steps[s] * STEP, abs=1e-9)
            assert option[side]["steps"] == steps[s]
    up, still = options((5, 5), (0, 0))
    assert up["left"]["body_height_mm"]["value"] > still["left"]["body_height_mm"]["value"] + 20
    assert up["left"]["riding_deg"] > still["left"]["riding_deg"]


def test_lean_is_left_less_right():
    left, right = options((5, 0), (0, 5))
    assert left["lean_mm"]["value"] > 0 > right["lean_mm"]["value"]


def test_cross_weight_is_what_moves_onto_the_left_rear_wheel_less_the_right():
    before = TRUTH.settled().force
    for steps in ((5, 0), (-3, 6), (4, 4)):
        (option,) = options(steps)
        after = TRUTH.settled(turn_deg=(steps[0] * STEP, steps[1] * STEP)).force
        moved = (after[0] - after[1] - before[0] + before[1]) / GRAVITY
        assert option["cross_weight_kg"] == pytest.approx(moved, abs=1e-5)
    (left,) = options((5, 0))
    assert left["cross_weight_kg"] > 0


def test_millimetres_a_degree_are_those_of_turning_both_sides():
    (option,) = options((4, 4))
    heights = [
        sum(TRUTH.settled(turn_deg=(4 * STEP + d, 4 * STEP + d)).height) / 2 * 1e3 for d in (0.01, -0.01)
    ]  # fmt: skip
    assert option["mm_per_deg"] == pytest.approx((heights[0] - heights[1]) / 0.02, rel=1e-5)


def test_a_ride_frequency_out_of_the_ordinary_is_minded():
    (usual,) = options((0, 0))
    assert 0.8 < usual["ride_hz"] < 2.2
    assert not any("Hz" in text for text in usual["cautions"])
    light = Truth(hanging_deg=(10.0, 10.0), load_kg=(60.0, 60.0))
    (hard,) = options((0, 0), truth=light, load_kg={"left": 60.0, "right": 60.0})
    assert hard["ride_hz"] > 2.2
    assert any("Hz" in text for text in hard["cautions"])


def test_poor_odds_advise_measuring_first():
    (poor,) = options((3, 9))
    assert poor["odds"] < 0.5
    assert any("second teardown" in text for text in poor["cautions"])


def test_a_side_left_alone_is_described_as_it_stands():
    (option,) = options((5, 0))
    assert (option["right"]["inner"], option["right"]["outer"], option["right"]["turn_deg"]) == (0, 0, 0.0)
    assert option["right"]["hanging_deg"] == pytest.approx(10.0, abs=1e-6)


@pytest.mark.parametrize(
    ("teeth", "said"),
    [
        (((0, 0), (0, 0)), "leave it"),
        (((1, 0), (0, 0)), "left inner end only"),
        (((0, -2), (0, 0)), "left outer end only"),
        (((1, -1), (0, 0)), "left side only"),
        (((0, 0), (3, 0)), "right inner end only"),
        (((0, 0), (0, 3)), "right outer end only"),
        (((0, 0), (-3, 4)), "right side only"),
        (((0, 1), (0, -2)), "outer ends only"),
        (((2, 0), (-1, 0)), "inner ends only"),
        (((1, -1), (0, 2)), "both ends"),
        (((1, 0), (0, 2)), "both ends"),
    ],
)
def test_labels_say_which_ends_are_turned(teeth, said):
    assert label(teeth) == said


def test_camber_changes_with_height_on_axles_that_camber():
    # Signs: going down tucks the wheel under, its top goes outward, which is positive.
    for axle, more in (("swing", {"half_axle_mm": 600.0}), ("semi-trailing", {"sweep_deg": 15.0})):
        up, down = options((6, 6), (-6, -6), axle=axle, **more)
        assert up["left"]["camber_change_deg"] > 0 > down["left"]["camber_change_deg"]
    (plain,) = options((6, 6), axle="trailing")
    assert plain["left"]["camber_change_deg"] == 0.0


def test_camber_of_a_swing_axle_follows_the_hub():
    rise = hub_mm(turn_deg=(6 * STEP, 6 * STEP))[0] - hub_mm()[0]
    (option,) = options((6, 6), axle="swing", half_axle_mm=600.0, half_axle_deg=-4.0)
    found = -4.0 * DEG
    expected = (math.asin(math.sin(found) + rise / 600.0) - found) / DEG
    assert option["left"]["camber_change_deg"] == pytest.approx(expected, abs=1e-5)


def test_camber_after_a_teardown_starts_from_where_the_half_axle_stands_now():
    sheet = Sheet(TRUTH).plain().move(left=(1, 0), right=(1, 0)).plain()
    (option,) = options((6, 6), sheet=sheet, axle="swing", half_axle_mm=600.0)
    found, now, then = [hub_mm(turn_deg=(t, t))[0] for t in (0.0, 9.0, 9.0 + 6 * STEP)]
    expected = (math.asin((then - found) / 600.0) - math.asin((now - found) / 600.0)) / DEG
    assert option["left"]["camber_change_deg"] == pytest.approx(expected, abs=1e-4)


def test_camber_cannot_ask_for_more_height_than_the_half_axle_has():
    car = SimpleNamespace(axle="swing", half_axle=0.1, half_axle_angle=60 * DEG)
    assert camber_change_deg(car, 0.5, 0.1) == pytest.approx(30.0)


def test_hollow_bars_are_stressed_at_their_own_surface():
    bar = dict(BAR, bore_mm=15.0)
    rate = rate_nm_per_rad(diameter_m=0.022, bore_m=0.015, length_m=0.6, shear_modulus_pa=78.5e9)
    truth = Truth(hanging_deg=(12.0, 12.0), rate=rate)
    (option,) = options((0, 0), truth=truth, bar=bar, limits={"bump_mm": 50.0, "droop_mm": 90.0})
    full = math.asin(math.sin(truth.settled().phi[0]) - 0.05 / 0.415)
    torque = rate * (12 * DEG - full)
    expected = 16 * torque * 0.022 / (math.pi * (0.022**4 - 0.015**4)) / 1e6
    assert option["left"]["stress_at_bump_mpa"] == pytest.approx(expected, rel=1e-6)
