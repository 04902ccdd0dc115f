"""The true car: what it is made of and where it comes to rest. Knows nothing of the product's model.

Owns the car's statics, and its scatter from teardown to teardown. Does not own the draw of a car
(``fleet``), readings, requests or plans. The statics are written for the two wheel forces and one load
carried across the car, not for the two angles, and are checked against a minimisation of
``energy.potential_energy``. Only the words of the requests are shared with the product.

More physics here than in the product's model: each side has its own bar, arm, tyre and bush; the bush is
clamped anew at each teardown, never twice at the same angle, and may stiffen as it is twisted; the arms
settle a little off their rest, by friction; the marks sit at different heights, which the roll support does
not feel; tyre and bush differ from the rest of the car's halves. Not simulated, for want of any figure to
draw from: play in the splines (the arm is lifted lightly before it is read), give of the body, tyre
pressures that change during the job.
"""

import math
from dataclasses import dataclass, field

import numpy as np

__all__ = [
    "Car",
    "Pose",
    "Side",
    "State",
    "as_found",
    "clamped_anew",
    "needed_hanging_deg",
    "rest",
    "settling_mm",
    "stream",
    "turned",
]

GRAVITY = 9.80665


@dataclass(frozen=True)
class Side:
    """One side of the car as it truly is; SI and radians."""

    bar: float
    """Bar rate, [N m/rad]."""
    bush: float
    """Bush rate, [N m/rad]."""
    clamp: float
    """Angle about which this side's bush is clamped, [rad]."""
    arm: float
    load: float
    """Weight carried by the spring, [N]."""
    tyre: float
    mark: float
    """Height of the body mark over the board with the arm level and the tyre round, [m]."""
    hub_mark: float
    unsprung: float
    """Mass below the spring, [kg]."""
    hanging: float
    """Hanging angle as found, [rad]."""
    stiffens: float = 0.0
    """How the bush stiffens: twisted by x its torque is bush * x * (1 + stiffens * x^2), [1/rad^2]."""

    def bush_torque(self, twist: float) -> float:
        """Torque of the bush twisted by an angle from where it is clamped, [N m]."""
        return self.bush * twist * (1.0 + self.stiffens * twist * twist)

    def stiffness(self, twist: float) -> float:
        """Bar and bush together, about an arm whose bush is twisted so far, [N m/rad]."""
        return self.bar + self.bush * (1.0 + 3.0 * self.stiffens * twist * twist)


@dataclass(frozen=True)
class Car:
    """One car of the season: its two true sides, what ties them, and what its papers say."""

    seed: int
    sides: tuple[Side, Side]
    roll: float
    """Roll support, [N/m]."""
    uneven: float
    """Front unevenness as a height difference at the rear, left high positive, [m]."""
    friction: float
    """Half the width of the band in which a settled height may be held, [m]."""
    clamp_scatter: float
    teeth: tuple[int, int]
    diameter_mm: float
    length_mm: float
    arm_mm: float
    """As measured."""
    load_kg: float
    """As guessed, the same both sides."""
    stop_deg: float
    bump_mm: float
    droop_mm: float
    target_mm: float
    tolerance_mm: float
    lean_mm: float
    job: str
    drawn: dict = field(default_factory=dict, hash=False, compare=False)
    """Standardised draws by name, for finding what drives the misses."""

    @property
    def step_deg(self) -> float:
        """Fine step, [deg]."""
        return 360.0 / math.lcm(*self.teeth)


@dataclass(frozen=True)
class State:
    """The car between two teardowns: hanging angles and where its bushes are clamped now, [rad]."""

    hanging: tuple[float, float]
    clamped: tuple[float, float]
    teardown: int = 0


@dataclass(frozen=True)
class Pose:
    """Where both sides stand, [rad], [N], [m]: the arm, the force at the wheel, mark above the board, hub
    to mark.
    """

    riding: tuple[float, float]
    force: tuple[float, float]
    height: tuple[float, float]
    hub: tuple[float, float]


def stream(seed: int, *which: int) -> np.random.Generator:
    """A stream of its own for each purpose, so that every planner meets the same car and the same
    settling.
    """
    return np.random.default_rng((seed, *which))


def _arm_angle(side: Side, hanging: float, clamped: float, force: float) -> float:
    """Riding angle at a known wheel force, [rad], by Newton's method on the moment about the bar."""
    phi = hanging - force * side.arm / side.bar
    for _ in range(60):
        twist = clamped - phi
        moment = side.bar * (hanging - phi) + side.bush_torque(twist) - force * side.arm * math.cos(phi)
        step = moment / (side.stiffness(twist) - force * side.arm * math.sin(phi))
        phi += max(-0.2, min(0.2, step))
        if abs(step) < 1e-13:
            return phi
    raise ArithmeticError("the arm finds no rest")


def rest(
    car: Car,
    state: State,
    *,
    board_mm=(0.0, 0.0),
    ballast_kg=(0.0, 0.0),
    settle_mm=(0.0, 0.0),
    hung: bool = False,
) -> Pose:
    """Where the car comes to rest.

    Solved for the load carried across the car: with it both wheel forces are known, so both arms, both
    tyres, and the lean that carries it. ``settle_mm`` is how far friction holds each side off its rest;
    it moves arm and mark together and leaves the forces. ``hung``: body lifted, everything bolted up,
    wheels hanging; the arm lies on its stop or hangs from bar and bush by the wheel's own weight.
    """
    hub, riding, height, force = [], [], [], [0.0, 0.0]
    if hung:
        for s, side in enumerate(car.sides):
            weight = side.unsprung * GRAVITY
            free = _arm_angle(side, state.hanging[s], state.clamped[s], -weight)
            riding.append(min(free, math.radians(car.stop_deg)))
            hub.append(side.hub_mark + side.arm * math.sin(riding[s]))
            height.append(math.nan)
        return Pose(tuple(riding), tuple(force), tuple(height), tuple(hub))
    across = 0.0
    for _ in range(80):
        phis, lift, slope = [], [], []
        for s, sign in ((0, 1.0), (1, -1.0)):
            side = car.sides[s]
            force[s] = side.load + ballast_kg[s] * GRAVITY + sign * across
            phi = _arm_angle(side, state.hanging[s], state.clamped[s], force[s])
            stiff = side.stiffness(state.clamped[s] - phi) - force[s] * side.arm * math.sin(phi)
            give = -side.arm * math.cos(phi) / stiff
            phis.append(phi)
            lift.append(board_mm[s] * 1e-3 + side.arm * math.sin(phi) - force[s] / side.tyre)
            slope.append(side.arm * math.cos(phi) * give - 1.0 / side.tyre)
        miss = across - 0.5 * car.roll * (lift[0] - lift[1] - car.uneven)
        step = miss / (1.0 - 0.5 * car.roll * (slope[0] + slope[1]))
        across -= step
        if abs(step) < 1e-9:
            break
    else:
        raise ArithmeticError("the car finds no rest")
    for s, side in enumerate(car.sides):
        stands = side.arm * math.sin(phis[s]) + settle_mm[s] * 1e-3
        riding.append(math.asin(stands / side.arm))
        hub.append(side.hub_mark + stands)
        height.append(side.mark + stands - force[s] / side.tyre)
    return Pose(tuple(riding), tuple(force), tuple(height), tuple(hub))


def needed_hanging_deg(
    car: Car, clamped, heights_mm, *, board_mm=(0.0, 0.0), ballast_kg=(0.0, 0.0)
) -> tuple[float, float]:
    """Hanging angles that bring both marks to the given heights, [deg]; in closed form, from the heights
    back.
    """
    lift = [heights_mm[s] * 1e-3 - car.sides[s].mark for s in (0, 1)]
    across = 0.5 * car.roll * (lift[0] - lift[1] + (board_mm[0] - board_mm[1]) * 1e-3 - car.uneven)
    found = []
    for s, sign in ((0, 1.0), (1, -1.0)):
        side = car.sides[s]
        force = side.load + ballast_kg[s] * GRAVITY + sign * across
        phi = math.asin((lift[s] + force / side.tyre) / side.arm)
        moment = force * side.arm * math.cos(phi)
        found.append(math.degrees(phi + (moment - side.bush_torque(clamped[s] - phi)) / side.bar))
    return found[0], found[1]


def clamped_anew(car: Car, teardown: int) -> tuple[float, float]:
    """Where the two bushes end up clamped after so many teardowns, [rad]."""
    scatter = stream(car.seed, 2, teardown).normal(0.0, car.clamp_scatter, 2)
    return car.sides[0].clamp + float(scatter[0]), car.sides[1].clamp + float(scatter[1])


def settling_mm(car: Car, teardown: int, which: int = 0) -> tuple[float, float]:
    """How far off its rest each side settles, [mm]; ``which`` 0 is the settling that is judged."""
    off = stream(car.seed, 3, teardown, which).uniform(-car.friction * 1e3, car.friction * 1e3, 2)
    return float(off[0]), float(off[1])


def as_found(car: Car) -> State:
    """The car as it came in."""
    return State((car.sides[0].hanging, car.sides[1].hanging), clamped_anew(car, 0))


def turned(car: Car, state: State, turn_deg) -> State:
    """The car after a teardown in which both sides were turned, tail down positive, and clamped up again."""
    hanging = tuple(state.hanging[s] + math.radians(turn_deg[s]) for s in (0, 1))
    return State(hanging, clamped_anew(car, state.teardown + 1), state.teardown + 1)
