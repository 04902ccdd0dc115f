"""One way to do the job: teeth at each end of each side, what comes of it, what forbids it, what to mind.

Turns a lattice point into the answer's figures and checks every limit: bump and droop travel, stress at full
bump, reachable hanging angle, slack at the stop, drive-joint angle.
"""

import math

from .bar import lift, shear_stress_pa
from .estimate import Estimate
from .learned import slope
from .point import Point
from .request import SIDES, Car
from .statics import ARM, RATE, Equilibrium
from .units import DEG, GRAVITY, MM

__all__ = ["camber_change_deg", "corner", "describe", "label", "ride_hz", "wheel_rate"]

LITTLE_TRAVEL = 15.0 * MM
STEEP = 80.0 * DEG
CLOSE_TO_LIMIT = 0.9


def label(teeth: tuple) -> str:
    """Words for which ends are turned.

    >>> label(((0, 2), (0, -1)))
    'outer ends only'
    """
    (inner_l, outer_l), (inner_r, outer_r) = teeth
    left = inner_l or outer_l
    right = inner_r or outer_r
    if not left and not right:
        return "leave it"
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


def _half_axle_rad(car: Car, down: float) -> float:
    """Angle of the half-axle, outer end lower positive, [rad], with the hub ``down`` [m] since it was found."""
    return math.asin(max(-1.0, min(1.0, math.sin(car.half_axle_angle) + down / car.half_axle)))


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
        return (_half_axle_rad(car, before + rise) - _half_axle_rad(car, before)) / DEG
    if car.axle == "semi-trailing":
        return math.asin(math.sin(car.sweep) * math.sin(swing)) / DEG
    return 0.0


def corner(
    estimate: Estimate,
    rest: Equilibrium,
    side: int,
    hanging: float,
    moved: bool,
    stopped: list,
    cautions: list,
) -> dict:
    """Figures of one side at ``rest`` that every limit is checked by; adds what stops it and what to mind.

    Parameters
    ----------
    estimate : Estimate
    rest : Equilibrium
    side : 0 left, 1 right
    hanging : hanging angle, [rad]
    moved : whether this side is taken apart
    stopped, cautions : lists of sentences to add to

    Returns
    -------
    dict
        hanging_deg, riding_deg, lift, stress_at_bump_mpa, bump_left_mm, droop_left_mm.
    """
    car = estimate.case.car
    name = SIDES[side]
    theta = estimate.theta
    rate = math.exp(theta[RATE])
    arm = theta[ARM]
    riding = rest.phi[side]
    hub_found = arm * math.sin(estimate.found.phi[side])
    down = arm * math.sin(riding) - hub_found
    bump_left = car.bump + down
    droop_left = car.droop - down
    full_bump = math.asin(max(-1.0, min(1.0, (hub_found - car.bump) / arm)))
    twist = hanging - full_bump
    stress = shear_stress_pa(torque_nm=rate * twist, diameter_m=car.diameter, bore_m=car.bore)
    lifted = lift(rate=rate, hanging_rad=hanging, stop_rad=car.stop, arm_m=arm)
    if bump_left < 0.0:
        stopped.append(
            "%s: the arm would rest on its bump stop, %.0f mm too far up" % (name, -bump_left / MM)
        )
    elif bump_left < LITTLE_TRAVEL:
        cautions.append("%s: only %.0f mm of travel left to the bump stop" % (name, bump_left / MM))
    if droop_left < 0.0:
        stopped.append(
            "%s: the damper or strap would be stretched, %.0f mm beyond full droop" % (name, -droop_left / MM)
        )
    elif droop_left < LITTLE_TRAVEL:
        cautions.append("%s: only %.0f mm of droop left" % (name, droop_left / MM))
    if stress > car.stress:
        words = "%s: %.0f MPa in the bar at full bump, above the %.0f MPa %s" % (
            name,
            stress / 1e6,
            car.stress / 1e6,
            "permitted"
            if car.stress_given
            else "usual for a bar that was not preset; ask what this bar may carry",
        )
        (stopped if car.stress_given else cautions).append(words)
    elif car.stress_given and stress > CLOSE_TO_LIMIT * car.stress:
        cautions.append("%s: %.0f MPa in the bar at full bump, close to the limit" % (name, stress / 1e6))
    if abs(hanging) > STEEP:
        stopped.append("%s: a hanging angle of %.0f° is beyond what an arm can take" % (name, hanging / DEG))
    if hanging <= riding:
        stopped.append("%s: the bar would not be wound up by the car's weight" % name)
    elif hanging <= car.stop and moved:
        cautions.append("%s: the relaxed arm hangs above its stop, so the bar is slack at full droop" % name)
    joint = abs(_half_axle_rad(car, down))
    if car.joint is not None and joint > car.joint:
        stopped.append(
            "%s: the drive joint would run at %.1f°, above %.1f°" % (name, joint / DEG, car.joint / DEG)
        )
    return {
        "hanging_deg": hanging / DEG,
        "riding_deg": riding / DEG,
        "lift": lifted,
        "stress_at_bump_mpa": stress / 1e6,
        "bump_left_mm": bump_left / MM,
        "droop_left_mm": droop_left / MM,
    }


def _side(
    estimate: Estimate, point: Point, rest: Equilibrium, side: int, stopped: list, cautions: list
) -> dict:
    """Figures of one side of an option; adds what stops it and what to mind."""
    arm = estimate.theta[ARM]
    inner, outer = point.teeth[side]
    hanging = estimate.theta[side] + point.turn[side]
    before = estimate.theta[side] + estimate.turns[-1][side]
    out = corner(estimate, rest, side, hanging, inner != 0 or outer != 0, stopped, cautions)
    stood = arm * math.sin(estimate.now.phi[side])
    out["inner"] = inner
    out["outer"] = outer
    out["steps"] = point.steps[side]
    out["turn_deg"] = (hanging - before) / DEG
    out["body_height_mm"] = {"value": point.mean[side] / MM, "sd": math.sqrt(point.variance[side]) / MM}
    out["camber_change_deg"] = camber_change_deg(
        estimate.case.car,
        arm * math.sin(rest.phi[side]) - stood,
        rest.phi[side] - estimate.now.phi[side],
        stood - arm * math.sin(estimate.found.phi[side]),
    )
    return out


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


def describe(estimate: Estimate, point: Point) -> dict:
    """The answer's form of one option.

    Parameters
    ----------
    estimate : Estimate
    point : lattice.Point with an equilibrium

    Returns
    -------
    dict
        As in the contract, with ``stopped_by`` naming every limit that forbids it.
    """
    stopped: list[str] = []
    cautions: list[str] = []
    rest = point.rest or estimate.now
    sides = [_side(estimate, point, rest, side, stopped, cautions) for side in (0, 1)]
    now = estimate.now
    vl, vr, vlr = point.variance
    carried = (rest.force[0] - rest.force[1] - now.force[0] + now.force[1]) / GRAVITY
    if point.odds < 0.5 and point.ends() and not stopped:
        cautions.append("More likely than not this needs a second teardown; measure first what is advised")
    frequency = ride_hz(estimate, rest)
    if frequency > 2.2 or frequency < 0.8:
        cautions.append("A ride frequency of %.1f Hz is outside the usual 0.8 to 2.2 Hz" % frequency)
    return {
        "label": label(point.teeth),
        "recommended": False,
        "odds": point.odds,
        "ends_disturbed": point.ends(),
        "left": sides[0],
        "right": sides[1],
        "lean_mm": {
            "value": (point.mean[0] - point.mean[1]) / MM,
            "sd": math.sqrt(max(0.0, vl + vr - 2.0 * vlr)) / MM,
        },
        "cross_weight_kg": carried,
        "ride_hz": frequency,
        "mm_per_deg": slope(rest),
        "stopped_by": stopped,
        "cautions": cautions,
    }
