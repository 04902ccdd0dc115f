"""One way to do the job: teeth or degrees on each side, what comes of it, what forbids it, what to mind.

Turns a point of the search into the answer's figures; the limits are `obstacle`'s.
"""

import math

from .bar import lift
from .car import Car
from .estimate import Estimate
from .lattice import Search
from .learned import slope
from .obstacle import Corner, half_axle_rad, obstacle
from .point import Point
from .predict import heights, mark_of
from .sentences import CAUTIONS, OBSTACLES
from .statics import ARM, RATE, Equilibrium
from .travel import CERTAIN, Travel, travels
from .turning import adjusted, mm_per_turn, turn_cautions, turned_label
from .units import DEG, GRAVITY, MM

__all__ = [
    "LEAVE",
    "USUAL_HZ",
    "camber_change_deg",
    "describe",
    "label",
    "leaning",
    "lifted",
    "ride_hz",
    "wheel_rate",
]

USUAL_HZ = (0.8, 2.2)
UNLIKELY = 0.5
LEAVE = "leave it"
"""The label of the option that turns nothing; a name that programs know."""


def label(teeth: tuple) -> str:
    """Words for which ends are turned.

    >>> label(((0, 2), (0, -1)))
    'outer ends only'
    """
    (inner_l, outer_l), (inner_r, outer_r) = teeth
    left = inner_l or outer_l
    right = inner_r or outer_r
    if not left and not right:
        return LEAVE
    if not right or not left:
        side = "left" if left else "right"
        inner = inner_l or inner_r
        outer = outer_l or outer_r
        if inner and outer:
            return side + " side only"
        return side + (" outer end only" if outer else " inner end only")
    if not inner_l and not inner_r:
        return "outer ends only"
    if not outer_l and not outer_r:
        return "inner ends only"
    return "both ends"


def _label(car: Car, point: Point) -> str:
    if point.turns is not None and not point.still():
        return turned_label(car, point)
    if point.teeth is not None:
        return label(point.teeth)
    if point.moved[0] and point.moved[1]:
        return "both sides"
    return "left side only" if point.moved[0] else "right side only" if point.moved[1] else LEAVE


def camber_change_deg(car: Car, rise: float, swing: float, before: float = 0.0) -> float:
    """Change of camber, [deg], positive with the wheel top going outward.

    Parameters
    ----------
    car : request.Car
    rise : how far the hub goes down against the body, [m]
    swing : change of riding angle, [rad], wheel down positive
    before : how far it stood down already against where it was taken in, [m]

    Notes
    -----
    Trailing arm across the car: none. Swing half-axle of length L: asin of the height over L (wheel going down
    tucks the wheel under: top outward). Semi-trailing arm, pivot swept by s: asin(sin s sin swing).
    Source: geometry, worked by hand; the sign of camber is ISO 8855's (from memory).
    """
    if car.axle == "swing":
        return (half_axle_rad(car, before + rise) - half_axle_rad(car, before)) / DEG
    if car.axle == "semi-trailing":
        return math.asin(math.sin(car.sweep) * math.sin(swing)) / DEG
    return 0.0


def lifted(estimate: Estimate, travel: Travel, side: int, hanging: float) -> dict:
    """What it takes to lift the relaxed arm onto its stop, with the range that holds 90 in 100.

    The range is the figures themselves where the stop was measured and the bar is known; otherwise it spans what
    stop, bar and hanging angle leave open, since one figure with no spread would be a danger there.

    Returns
    -------
    dict
        torque_nm, force_n, energy_j, low and high (the same three), assumed.
    """
    car = estimate.case.car
    rate = math.exp(estimate.theta[RATE])
    arm = estimate.theta[ARM]
    stop = travel.stop
    out = lift(rate=rate, hanging_rad=hanging, stop_rad=stop.value, arm_m=arm)
    assumed = stop.assumed or not car.bar_given or not estimate.case.read("hanging-angle", side)
    out["assumed"] = assumed
    names = ("torque_nm", "force_n", "energy_j")
    out["low"] = {name: out[name] for name in names}
    out["high"] = {name: out[name] for name in names}
    if not assumed:
        return out
    # A stiffer bar is wound up less by the same car, and the stop is where the arm stands plus the droop: what is
    # not known of bar, arm and angles partly cancels.
    twist = hanging - stop.value
    turned = [0.0] * estimate.evidence.size if stop.row is None else [-d for d in stop.row]
    turned[side] += 1.0
    torque = [rate * d for d in turned]
    torque[RATE] += rate * twist
    force = [d / arm for d in torque]
    force[ARM] -= rate * twist / (arm * arm)
    for name, value, row, by_stop in (
        ("torque_nm", rate * twist, torque, rate),
        ("force_n", rate * twist / arm, force, rate / arm),
    ):
        spread = CERTAIN * math.sqrt(estimate.joint(row, row) + (by_stop * stop.own) ** 2)
        out["low"][name] = min(out[name], max(0.0, value - spread))
        out["high"][name] = max(out[name], value + spread)
    for end in ("low", "high"):
        out[end]["energy_j"] = 0.5 * out[end]["torque_nm"] ** 2 / rate
    return out


def _height(estimate: Estimate, expected: tuple, kind: str, side: int) -> dict | None:
    """A height with its spread, or None where that side's mark was never read."""
    if mark_of(estimate, kind, side) is None:
        return None
    mean, variance, _ = expected
    return {"value": mean[side] / MM, "sd": math.sqrt(max(0.0, variance[side])) / MM}


def _side(search: Search, point: Point, rest: Equilibrium, corner: Corner, expected: dict) -> dict:
    """Figures of one side of an option."""
    estimate = search.estimate
    side = corner.side
    arm = estimate.theta[ARM]
    stood = (search.aim.stood or estimate.now).phi[side]
    steps = None if point.steps is None else point.steps[side]
    teeth = (None, None) if point.teeth is None else point.teeth[side]
    rise, spread, _ = expected["rise"]
    lift = lifted(estimate, corner.travel, side, corner.hanging)
    stands = lift
    if estimate.case.car.adjuster.there and not point.still():
        stands = lifted(estimate, corner.travel, side, estimate.theta[side] + search.start[side])
    found = {
        "hanging_deg": corner.hanging / DEG,
        "riding_deg": corner.riding / DEG,
        "lift": lift,
        "stress_at_bump_mpa": None if corner.stress is None else corner.stress / 1e6,
        "bump_left_mm": corner.bump_left / MM,
        "droop_left_mm": corner.droop_left / MM,
        "inner": teeth[0],
        "outer": teeth[1],
        "steps": steps,
        "turn_deg": (point.turn[side] - search.start[side]) / DEG,
        "body_height_mm": _height(estimate, expected["body-height"], "body-height", side),
        "hub_to_body_mm": _height(estimate, expected["hub-to-body"], "hub-to-body", side),
        "rise_mm": {"value": rise[side] / MM, "sd": math.sqrt(max(0.0, spread[side])) / MM},
        "camber_change_deg": camber_change_deg(
            estimate.case.car,
            arm * (math.sin(rest.phi[side]) - math.sin(stood)),
            rest.phi[side] - stood,
            arm * (math.sin(stood) - math.sin(estimate.found.phi[side])),
        ),
    }
    found.update(adjusted(search, point, side, stands, lift))
    return found


def wheel_rate(estimate: Estimate, rest: Equilibrium, side: int) -> float:
    """Vertical rate at one wheel on bar and bush, tyre left out: -dF/d(r sin f) at rest, [N/m]."""
    return -rest.slope[side] / (estimate.theta[ARM] * math.cos(rest.phi[side]))


def ride_hz(estimate: Estimate, rest: Equilibrium) -> float:
    """Ride frequency of the body on bars and bushes, tyres left out, mean of both sides, [Hz].

    The mass is what the spring carries.
    """
    total = 0.0
    for side in (0, 1):
        rate = max(0.0, wheel_rate(estimate, rest, side))
        total += math.sqrt(rate * GRAVITY / rest.force[side]) / (2.0 * math.pi)
    return 0.5 * total


def _expected(search: Search, point: Point, rest: Equilibrium) -> dict:
    """What is to be expected of both kinds of height, and of the change against now: see `predict.heights`."""
    estimate = search.estimate
    now = search.aim.stood or estimate.now
    out: dict = {"rise": ((0.0, 0.0), (0.0, 0.0, 0.0), None)}
    if not point.still() or rest is not now:
        out["rise"] = heights(estimate, rest, point.moved, "body-height", (now, now))
    for kind in ("body-height", "hub-to-body"):
        read = [side for side in (0, 1) if mark_of(estimate, kind, side) is not None]
        out[kind] = heights(estimate, rest, point.moved, kind) if read else None
    if point.swing[0] or point.swing[1]:
        for name in out:
            if out[name] is not None:
                out[name] = _unstepped(rest, point, out[name])
    return out


def _unstepped(rest: Equilibrium, point: Point, expected: tuple) -> tuple:
    """Heights of a plan in degrees: the nearest step may lie half a step away on either side."""
    mean, variance, rows = expected
    more = [0.0, 0.0, 0.0]
    for k in (0, 1):
        a = rest.d_height[0][k] * point.swing[k]
        b = rest.d_height[1][k] * point.swing[k]
        more = [more[0] + a * a / 3.0, more[1] + b * b / 3.0, more[2] + a * b / 3.0]
    return mean, tuple([v + m for v, m in zip(variance, more)]), rows


def leaning(estimate: Estimate, measured: str) -> str:
    """Which heights the lean is of: those that are measured, or their change where a side was not read."""
    both = [side for side in (0, 1) if mark_of(estimate, measured, side) is not None]
    return measured if len(both) == 2 else "rise"


def describe(search: Search, point: Point, limits: tuple | None = None) -> dict:
    """The answer's form of one option.

    Parameters
    ----------
    search : Lattice or Degrees
    point : one of its points, with an equilibrium
    limits : (2,) Travel, where they are known already

    Returns
    -------
    dict
        As in the contract; ``obstacles`` has every limit it would pass, ``stopped_by`` the words of those that
        forbid it.
    """
    estimate = search.estimate
    limits = limits or travels(estimate)
    rest = point.rest or estimate.now
    now = search.aim.stood or estimate.now
    expected = _expected(search, point, rest)
    corners = []
    for side in (0, 1):
        hanging = estimate.theta[side] + point.turn[side]
        turned = point.moved[side] or (point.turns is not None and point.turns[side] != 0.0)
        corners.append(Corner(estimate, limits[side], rest, side=side, hanging=hanging, moved=turned))
    obstacles = corners[0].obstacles + corners[1].obstacles
    cautions = corners[0].cautions + corners[1].cautions
    if not point.still() and not search.reached:
        words = OBSTACLES[search.aim.unreached] % search.aim.nearest(search.off)
        far = max(abs(search.off[0]), abs(search.off[1]))
        by = {"by_deg": far / DEG} if search.aim.angles is not None else {"by_mm": far / MM}
        obstacles.append(obstacle("reach", None, True, words, **by))
    stopped = [o["words"] for o in obstacles if o["given"]]
    if point.odds < UNLIKELY and not point.still() and not stopped:
        cautions.append(CAUTIONS["second" if point.ends() else "again"])
    cautions += turn_cautions(search, point)
    frequency = ride_hz(estimate, rest)
    # Loads and bar that nobody has measured make the frequency a guess.
    known = estimate.case.car.bar_given and not USUAL_HZ[0] <= frequency <= USUAL_HZ[1]
    if known:
        cautions.append(CAUTIONS["ride"] % {"hz": frequency, "low": USUAL_HZ[0], "high": USUAL_HZ[1]})
    onto = estimate.case.car.onto * (rest.force[0] - rest.force[1] - now.force[0] + now.force[1])
    mean, (vl, vr, vlr), _ = expected[leaning(estimate, search.aim.wish.measured)]
    return {
        "label": _label(estimate.case.car, point),
        "recommended": False,
        "odds": point.odds,
        "ends_disturbed": point.ends(),
        "left": _side(search, point, rest, corners[0], expected),
        "right": _side(search, point, rest, corners[1], expected),
        "lean_mm": {
            "value": (mean[0] - mean[1]) / MM,
            "sd": math.sqrt(max(0.0, vl + vr - 2.0 * vlr)) / MM,
        },
        "cross_weight_kg": onto / GRAVITY,
        "other": None,
        "cross_weight": None if search.cross is None else search.cross.after(rest, point.moved),
        "ride_hz": frequency,
        "mm_per_deg": slope(rest),
        "mm_per_turn": mm_per_turn(estimate, rest),
        "obstacles": obstacles,
        "stopped_by": stopped,
        "cautions": cautions + [o["words"] for o in obstacles if not o["given"]],
    }
