"""What readings teach: the truth from exact ones, less doubt from more of them, and what friction leaves."""

import math

import numpy as np
import pytest

from bothends.model.bands import USUAL
from bothends.model.beliefs import FLOOR_MM
from bothends.model.estimate import Estimate
from bothends.model.evidence import PITCH
from bothends.model.observation import MODEL_ERROR
from bothends.model.predict import heights
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import Plan
from bothends.model.statics import ARM, BUSH, CONSTANTS, LOAD_LEFT, RATE, ROLL, TYRE, UNEVEN
from model.cars import BAR, DEG, GRAVITY, Sheet, Truth, drawn, plain

WIDE = {
    "arm_sd_mm": 60.0,
    "load_sd_kg": 200.0,
    "roll_support_sd_n_per_mm": 13.0,
    "unevenness_sd_mm": 50.0,
    "tyre_sd_n_per_mm": 180.0,
    "unsprung_sd_kg": 0.5,
}
"""As good as no beliefs, but for the bush, and with the wheels themselves weighed."""
STILL = {"rest_sd_deg": 0.0}
"""A bush that is clamped at the same angle every time."""


def estimated(sheet: Sheet, **car) -> Estimate:
    return Estimate(read(sheet.request(**car)))


def spreads(estimate: Estimate) -> list:
    return [estimate.constant(k)[1] for k in range(CONSTANTS)]


def test_exact_readings_of_the_book_car_give_the_book_car():
    truth = Truth()
    estimate = estimated(Sheet(truth).plain().boards().hung().both("wheel-load"))
    assert estimate.theta[:CONSTANTS] == pytest.approx(truth.constants(), rel=1e-9, abs=1e-12)
    assert estimate.theta[CONSTANTS : CONSTANTS + 4] == pytest.approx([*truth.mark_m, *truth.hub_m], abs=1e-9)
    assert estimate.theta[estimate.evidence.unsprung] == pytest.approx(20 * GRAVITY)
    assert estimate.result["cost"] == pytest.approx(0.0, abs=1e-12)


def everything(truth: Truth, noise=None) -> Sheet:
    """All that could ever be read: boards, ballast, hang tests at two angles, scales, a teardown."""
    sheet = Sheet(truth, noise).plain()
    for board in (-60.0, 30.0, 60.0, 100.0):
        sheet.boards(board)
    for ballast in ((80.0, 0.0), (0.0, 80.0), (120.0, 120.0), (200.0, 200.0)):
        sheet.both("riding-angle", "body-height", "wheel-load", ballast_kg=ballast)
    sheet.hung(2.0).hung(8.0).both("wheel-load")
    sheet.move(left=(4, -2), right=(2, 1)).plain()
    return sheet.both("wheel-load")


@pytest.mark.parametrize("seed", range(4))
def test_exact_readings_of_another_car_lead_to_that_car(seed):
    # However far from the book: all that is read precisely is learned, with the book's beliefs as good as gone.
    truth = drawn(seed)
    bar = dict(BAR, rate_sd_percent=30.0)
    estimate = estimated(everything(truth), bush=STILL, bar=bar, **WIDE)
    assert estimate.result["converged"]
    for k, true in enumerate(truth.constants()):
        value, sd = estimate.constant(k)
        assert abs(value - true) < 1.0 * sd, k
    assert abs(estimate.theta[ARM] - truth.arm_m) < 0.004
    assert abs(estimate.theta[RATE] - math.log(truth.rate)) < 0.04
    # A lean built in and a load off the middle look the same: only the whole load is learned.
    both = estimate.theta[LOAD_LEFT] + estimate.theta[LOAD_LEFT + 1]
    assert both / GRAVITY == pytest.approx(sum(truth.load_kg), abs=1.0)
    # And what is predicted of it is right to a part of a millimetre.
    for turn in ((5.0, 5.0), (-6.0, 3.0)):
        rest = estimate.rest_at(tuple((t + u) * DEG for t, u in zip(turn, (19.6, 26.2), strict=True)))
        true = truth.settled(turn_deg=(turn[0] + 19.6, turn[1] + 26.2))
        for s in (0, 1):
            height = estimate.theta[CONSTANTS + s] + rest.height[s]
            assert height == pytest.approx(truth.mark_m[s] + true.height[s], abs=0.7e-3)


def steps_of_a_growing_log():
    """The same car with more and more read."""
    for count in range(8):
        sheet = Sheet(Truth()).plain()
        for step in (
            lambda s: s.both("riding-angle"),
            lambda s: s.both("body-height"),
            lambda s: s.read("hanging-angle", 0),
            lambda s: s.boards(),
            lambda s: s.both("wheel-load"),
            lambda s: s.hung(),
            lambda s: s.both("riding-angle", "body-height", ballast_kg=(50.0, 50.0)),
        )[:count]:
            step(sheet)
        yield sheet


def test_more_readings_never_widen_anything():
    before = None
    for sheet in steps_of_a_growing_log():
        estimate = estimated(sheet)
        now = spreads(estimate)
        rest = estimate.rest_at((0.1, 0.12))
        _, variance, _ = heights(estimate, rest, (True, True))
        now += [math.sqrt(variance[0]), math.sqrt(variance[1])]
        now.append(math.sqrt(variance[0] + variance[1] - 2 * variance[2]))
        if before is not None:
            for k, (less, more) in enumerate(zip(now, before, strict=True)):
                assert less <= more * (1 + 1e-9), k
        before = now


def test_no_reading_makes_a_constant_less_sure_than_the_book():
    prior = estimated(Sheet(Truth()).plain())
    for k in (RATE, ARM, BUSH, ROLL, UNEVEN, TYRE):
        assert prior.constant(k)[1] <= prior.scale[k] * (1 + 1e-12)


@pytest.mark.parametrize("count", [1, 4, 16])
def test_repeats_shrink_the_gauges_part_and_leave_the_models(count):
    sheet = Sheet(Truth()).both("body-height")
    for _ in range(count):
        sheet.both("hanging-angle")
    _, sd = estimated(sheet).constant(0)
    # Heights alone say nothing of the angle: their mark is free.
    expected = math.sqrt((0.2 * DEG) ** 2 / count + MODEL_ERROR["hanging-angle"] ** 2)
    assert sd == pytest.approx(expected, rel=1e-3)


def test_repeats_are_worth_their_weighted_mean():
    one = Sheet(Truth()).plain()
    two = Sheet(Truth()).plain()
    for value, sd in ((9.4, 0.2), (8.6, 0.4)):
        two.read("hanging-angle", 0, sd=sd)
        two.log[-1]["value"] = value
    two.log = two.log[1:]
    weighted = (9.4 / 0.04 + 8.6 / 0.16) / (1 / 0.04 + 1 / 0.16)
    one.log[0]["value"] = weighted
    one.log[0]["sd"] = 1 / math.sqrt(1 / 0.04 + 1 / 0.16)
    assert estimated(two).theta == pytest.approx(estimated(one).theta, rel=1e-8, abs=1e-12)
    assert spreads(estimated(two)) == pytest.approx(spreads(estimated(one)), rel=1e-8)


def test_the_order_of_the_log_does_not_matter():
    sheet = Sheet(drawn(3), np.random.default_rng(3)).plain(2).boards()
    one = estimated(sheet)
    for seed in range(3):
        np.random.default_rng(seed).shuffle(sheet.log)
        two = estimated(sheet)
        # The angles' and marks' wide priors are centred on what was read first: hence a trace of it.
        for k in range(one.evidence.size):
            assert abs(two.theta[k] - one.theta[k]) < 1e-3 * one.constant(k)[1]
        assert spreads(two) == pytest.approx(spreads(one), rel=1e-4)


@pytest.mark.parametrize("constant", [-7.0, 0.3, 12.0])
def test_a_constant_on_gauge_and_datum_changes_nothing(constant):
    def angles(extra):
        sheet = Sheet(drawn(4), np.random.default_rng(4))
        for what in ("hanging-angle", "riding-angle"):
            sheet.both(what, datum=1.0)
        sheet.both("body-height")
        for entry in sheet.log:
            if "datum" in entry:
                entry["value"] += extra
                entry["datum"] += extra
        return estimated(sheet)

    one, two = angles(0.0), angles(constant)
    assert two.theta == pytest.approx(one.theta, rel=1e-9, abs=1e-12)
    assert spreads(two) == pytest.approx(spreads(one), rel=1e-9)


def level_and_difference(estimate: Estimate) -> tuple:
    """Spreads of the mean and of the difference of both hanging angles, [deg]."""
    size = estimate.evidence.size
    level = [0.5, 0.5] + [0.0] * (size - 2)
    apart = [1.0, -1.0] + [0.0] * (size - 2)
    return estimate.spread_of(level) / DEG, estimate.spread_of(apart) / DEG


def test_a_gauge_against_gravity_tells_the_sides_apart_and_not_the_level():
    sheet = Sheet(Truth()).both("hanging-angle", reference="gravity", pitch=2.0).both("body-height")
    level, apart = level_and_difference(estimated(sheet))
    each = math.sqrt(0.2**2 + (MODEL_ERROR["hanging-angle"] / DEG) ** 2)
    assert level == pytest.approx(math.sqrt((PITCH / DEG) ** 2 + each**2 / 2), rel=1e-2)
    assert apart == pytest.approx(each * math.sqrt(2), rel=1e-3)


def test_a_gauge_against_gravity_needs_its_partner():
    lone = Sheet(Truth()).both("hanging-angle").both("body-height")
    lone.read("riding-angle", 0, reference="gravity")
    pair = Sheet(Truth()).both("hanging-angle").both("body-height").both("riding-angle", reference="gravity")
    ground = Sheet(Truth()).both("hanging-angle").both("body-height")
    one, two, none = [estimated(sheet) for sheet in (lone, pair, ground)]

    def apart(estimate):
        rest = estimate.rest_at((0.0, 0.0))
        row = [a - b for a, b in zip(rest.d_phi[0], rest.d_phi[1], strict=True)]
        return estimate.spread_of(row + [0.0] * (estimate.evidence.size - CONSTANTS))

    # Alone it adds next to nothing; with its partner the difference is known.
    assert apart(one) > 0.9 * apart(none)
    assert apart(two) < 0.7 * apart(none)


def test_pitch_is_shared_by_a_pose_and_not_between_poses():
    # Two rounds in one pose share one pitch; after a teardown the body stands anew.
    same = Sheet(Truth()).both("hanging-angle", reference="gravity").both("body-height")
    same.both("hanging-angle", reference="gravity")
    anew = Sheet(Truth()).both("hanging-angle", reference="gravity").both("body-height")
    anew.move().both("hanging-angle", reference="gravity").both("body-height")
    level_same, _ = level_and_difference(estimated(same))
    level_anew, _ = level_and_difference(estimated(anew))
    assert level_same == pytest.approx(PITCH / DEG, rel=2e-2)
    assert level_anew == pytest.approx(PITCH / DEG / math.sqrt(2), rel=3e-2)


def test_one_settling_keeps_its_friction_however_often_it_is_read():
    sheet = Sheet(Truth()).plain()
    for _ in range(200):
        sheet.both("body-height")
    estimate = estimated(sheet)
    _, variance, _ = heights(estimate, estimate.rest_at((0.0, 0.0)), (False, False))
    # The height of the next settling: this one's friction is in the mark, the next one's comes on top.
    assert math.sqrt(variance[0]) > USUAL * math.sqrt(2) * 0.99


def test_a_hang_test_shows_the_lever():
    lever = {"arm_sd_mm": 30.0}
    before = estimated(Sheet(Truth()).plain(), **lever).constant(ARM)[1]
    after = estimated(Sheet(Truth()).plain().hung(), **lever).constant(ARM)[1]
    assert after < 0.6 * before


def test_without_the_arms_angle_a_hang_test_takes_the_arm_as_relaxed():
    truth = Truth()
    sheet = Sheet(truth).plain().both("hub-to-body")
    for side in (0, 1):
        sheet.read("hub-to-body", side, hung_deg=truth.hanging_deg[side])
    estimate = estimated(sheet)
    assert estimate.theta[:CONSTANTS] == pytest.approx(truth.constants(), rel=1e-9, abs=1e-12)


def test_scales_show_the_load_as_far_as_the_wheel_is_known():
    before = estimated(Sheet(Truth()).plain())
    after = estimated(Sheet(Truth()).plain().both("wheel-load"))
    surer = estimated(Sheet(Truth()).plain().both("wheel-load"), unsprung_sd_kg=0.1)
    sds = [e.constant(LOAD_LEFT)[1] / GRAVITY for e in (before, after, surer)]
    assert sds[0] > sds[1] > sds[2]
    # The wheels' own mass is one unknown for both sides: their difference does not suffer from it.
    apart = [0.0] * after.evidence.size
    apart[LOAD_LEFT], apart[LOAD_LEFT + 1] = 1.0, -1.0
    assert after.spread_of(apart) == pytest.approx(surer.spread_of(apart), rel=0.02)


def test_board_tests_show_the_roll_support():
    truth = Truth(roll=20e3)
    before = estimated(Sheet(truth).plain())
    after = estimated(Sheet(truth).plain().boards())
    assert after.constant(ROLL)[1] < 0.6 * before.constant(ROLL)[1]
    assert abs(after.theta[ROLL] - math.log(20e3)) < 2 * after.constant(ROLL)[1]
    assert abs(after.theta[ROLL] - math.log(20e3)) < 0.5 * abs(math.log(13e3) - math.log(20e3))


def test_a_teardown_read_before_and_after_shows_the_slope():
    truth = Truth(rate=Truth().rate * 1.08, arm_m=0.421)
    sheet = Sheet(truth).plain()
    before = estimated(sheet)
    sheet.move(left=(0, 1), right=(0, 1)).plain()
    after = estimated(sheet)
    far = (10 * DEG, 10 * DEG)
    for estimate, within in ((before, 1.0), (after, 0.6)):
        _, variance, _ = heights(estimate, estimate.rest_at(far), (True, True))
        assert math.sqrt(variance[0]) * 1e3 < 3.6 * within


@pytest.mark.slow
def test_figures_are_as_sure_as_they_say():
    """Cars drawn from the book's own beliefs: what is predicted misses by its stated spread, no more, no less."""
    squares = []
    for seed in range(150):
        noise = np.random.default_rng(10_000 + seed)
        truth = drawn(seed)
        sheet = Sheet(truth, noise).plain()
        if seed % 2:
            sheet.boards()
        estimate = estimated(sheet, bush=STILL)
        for turn in ((0.0, 0.0), (8.0, 5.0)):
            true = truth.settled(turn_deg=turn)
            mean, variance, _ = heights(
                estimate, estimate.rest_at(tuple(t * DEG for t in turn)), (turn[0] != 0, turn[1] != 0)
            )
            off = [
                truth.mark_m[s] + true.height[s] + noise.normal(0.0, USUAL) - mean[s] for s in (0, 1)
            ]  # fmt: skip
            squares.append((off[0] ** 2 / variance[0] + off[1] ** 2 / variance[1]) / 2)
            squares.append((off[0] - off[1]) ** 2 / (variance[0] + variance[1] - 2 * variance[2]))
    # 150 cars, two nearly independent figures each: the mean square is known to about 0.1.
    assert 0.75 < np.mean(squares) < 1.3


def test_the_bushs_clamping_is_expected_anew_only_where_the_cover_comes_off():
    estimate = estimated(Sheet(Truth()).plain(3), bush={"ratio": 0.1, "rest_sd_deg": 8.0})
    rest = estimate.rest_at((0.0, 0.0))
    kept = heights(estimate, rest, (False, False))[1]
    left = heights(estimate, rest, (True, False))[1]
    both = heights(estimate, rest, (True, True))[1]
    assert kept[0] < left[0] <= both[0]
    assert left[1] < both[1]


def test_a_posterior_comes_back_as_the_next_prior():
    noise = np.random.default_rng(1)
    answer = Plan(Sheet(drawn(1), noise).plain(2).boards().request()).answer(advice=False)
    posterior = answer["posterior"]
    # A log that says as good as nothing: the constants are what was known.
    vague = Sheet(Truth()).both("hanging-angle", sd=20.0).both("body-height", sd=200.0)
    again = Plan(vague.request(known=posterior)).answer(advice=False)["posterior"]
    assert again["names"] == posterior["names"]
    scale = [math.sqrt(posterior["covariance"][k][k]) for k in range(len(posterior["mean"]))]
    for k, sd in enumerate(scale):
        assert abs(again["mean"][k] - posterior["mean"][k]) < 0.05 * sd
        for j, other in enumerate(scale):
            off = again["covariance"][k][j] - posterior["covariance"][k][j]
            if k == j and posterior["names"][k] == "uneven":
                # The floor of the next visit is another one: its twist is no constant of the car.
                off -= (FLOOR_MM * 1e-3) ** 2
            assert abs(off) < 0.03 * sd * other


def test_a_known_car_is_predicted_more_surely():
    truth = drawn(2)
    noise = np.random.default_rng(2)
    first = Sheet(truth, noise).plain(2).boards().move(left=(0, 1), right=(0, 1)).plain(2)
    posterior = Plan(first.request()).answer(advice=False)["posterior"]
    second = Sheet(truth, noise).plain()
    fresh, known = [
        heights(estimated(second, **more), estimated(second, **more).rest_at((0.15, 0.15)), (True, True))[1]
        for more in ({}, {"known": posterior})
    ]
    assert known[0] < 0.98 * fresh[0]
    assert known[1] < 0.98 * fresh[1]


def test_two_visits_with_the_posterior_between_are_one_log():
    # The lasting constants alone go from visit to visit; angles and marks are read anew at each.
    truth = drawn(5)
    noise = np.random.default_rng(5)
    one = Sheet(truth, noise).plain(2).boards()
    posterior = Plan(one.request(bush=STILL)).answer(advice=False)["posterior"]
    estimate = estimated(Sheet(truth, noise).plain(2).boards(), bush=STILL, known=posterior)
    assert estimate.constant(ROLL)[1] < estimated(one, bush=STILL).constant(ROLL)[1]


def test_a_car_that_cannot_stand_says_so():
    with pytest.raises(ModelProblem) as caught:
        estimated(Sheet(Truth()).plain(), bar={"diameter_mm": 5.0, "length_mm": 3000.0, "inner_teeth": 40,
                                               "outer_teeth": 44})  # fmt: skip
    assert (caught.value.code, caught.value.path) == ("no-equilibrium", "$.car")


def test_the_linear_estimate_ranks_and_does_not_predict():
    case = read(plain(drawn(6), np.random.default_rng(6)))
    estimate = Estimate(case, linear=True)
    assert estimate.result["iterations"] == 1
    assert estimate.theta == estimate.mean


def test_each_bush_is_reached_by_the_reading_as_it_was_given():
    # Once one side's clamping is in the row, the other side's reach must still be the reading's own.
    estimate = Estimate(read(Sheet(Truth()).plain(2).boards().request()))
    (left, known_left, _), (right, known_right, _) = [estimate.clamp(side) for side in (0, 1)]
    row = [0.4, -0.3] + [0.0] * (estimate.evidence.size - 2)
    shift, out, spreads = estimate.clamped(row)
    assert shift == pytest.approx(0.4 * known_left - 0.3 * known_right)
    expected = row[:]
    expected[left], expected[right] = 0.4, -0.3
    assert (out, spreads) == (expected, [0.0, 0.0])
    assert estimate.clamped(row, ()) == (0.0, row, [0.0, 0.0])


def test_a_clamping_that_no_standing_reading_has_seen_is_believed_as_before():
    estimate = Estimate(read(Sheet(Truth()).plain(2).move(left=(0, 1)).request()))
    spread = 0.045 * 2.5 * DEG
    assert estimate.clamp(0) == (None, 0.0, pytest.approx(spread))
    row = [0.4, -0.3] + [0.0] * (estimate.evidence.size - 2)
    assert estimate.clamped(row) == (0.0, row, pytest.approx([0.4 * spread, -0.3 * spread]))


@pytest.mark.parametrize("seed", range(3))
def test_a_clamping_fitted_is_a_clamping_shared(seed):
    # Taken as unknowns, the clampings leave the other unknowns as sure as if they were noise that all standing
    # readings of one teardown share.
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain().boards().move(left=(0, 1)).plain()
    estimate = estimated(sheet, bush={"ratio": 0.1, "rest_sd_deg": 8.0})
    whole = np.array(estimate.covariance)
    rows = np.array(estimate.result["jacobian"])
    extra = sorted(k + side for k in estimate.evidence.clamps.values() for side in (0, 1))
    kept = [k for k in range(estimate.evidence.size) if k not in extra]
    assert len(extra) == 4
    noise = np.eye(len(rows)) + rows[:, extra] @ rows[:, extra].T
    prior = np.array(estimate.precision)[np.ix_(kept, kept)]
    shared = np.linalg.inv(rows[:, kept].T @ np.linalg.solve(noise, rows[:, kept]) + prior)
    assert whole[np.ix_(kept, kept)] == pytest.approx(shared, rel=1e-8, abs=1e-12)
