"""Readings as evidence: what each should read for given constants, and what its noise shares with others.

Repeats of one reading (same kind, side, teardown and pose) are averaged into one observation (`observation`): that
shrinks the gauge's or tape's own spread, not the model's error. Owns the observation equations and their
derivatives; the fit is `estimate`'s business. SI, radians.
"""

import math

from .beliefs import SETTLING_SIDE_MM
from .case import Case
from .fields import FRONT
from .fittings import BY_ANGLE, FORCE, HEIGHT, PHI, Fittings, settled
from .moves import wheel_turns_of
from .noise import Whitener
from .observation import Observation, Stand, grouped
from .statics import ARM, BUSH, CONSTANTS, LOAD_LEFT, LOAD_RIGHT, UNEVEN, Equilibrium, equilibrium
from .units import DEG, MM

__all__ = ["MARKS_ALIKE", "MARK_LEFT", "PITCH", "Evidence", "carrying"]

PITCH = 2.5 * DEG
"""Spread of the body's pitch in a pose where no datum was read, [rad]. Common practice, no source."""
MARKS_ALIKE = 10.0 * MM
"""Spread of the left mark's height on the body against the right one's, [m]. Common practice, no source."""
OFF_CENTRE = 0.015
"""What this axle alone may have to carry across, once the other one is carried on one block: a shift of load from
one side to the other, as a share of both sides' loads. A block 10 mm off the middle, with a half track of 0.65 m
and as much weight there as here, makes 0.008; a car a little heavier on one side at that axle the rest. Common
practice, no source."""
OFF_LINE = 0.04
"""The block may stand ahead of that axle's line or behind it, and the car stands nose up or down: a share of this
axle's load, both sides alike. 0.1 m of a wheelbase of 2.4 m. Common practice, no source."""

MARK_LEFT = CONSTANTS
HUB_LEFT = CONSTANTS + 2
SETTLING_SIDE = SETTLING_SIDE_MM * MM / math.sqrt(2.0)
"""What one side settles by itself after hand-over, [m]: the difference of two such is side to side."""


def carrying(by_load: list, theta: list) -> tuple:
    """What two unit-normal unknowns do to a reading with the other axle on one block: (off-centre, off-line).

    Parameters
    ----------
    by_load : (2,) derivatives of the reading by both sides' loads
    theta : (>= CONSTANTS,) with these loads, [N]
    """
    left, right = theta[LOAD_LEFT], theta[LOAD_RIGHT]
    across = OFF_CENTRE * (left + right) * (by_load[0] - by_load[1])
    return across, OFF_LINE * (left * by_load[0] + right * by_load[1])


class Evidence:
    """All observations of a case.

    Attributes
    ----------
    observations : list of Observation
    poses : list of Stand
    size : number of unknowns; the statics' constants, two marks, then two hub marks and the unsprung load where
        such readings are there, then the settling after hand-over and the floor's twist at other spots where such
        readings are there, then what `fittings` has, then both bushes' clamping for each teardown after which the
        car was read standing
    hub, unsprung : index of their unknowns, or None
    settling : index of how far both sides settle after hand-over, [m], or None
    spots : index of the floor's twist against the first spot that was read on, by name, [m]; None for that one
    clamps : index of the left bush's clamping by teardown, the right one's follows; as a change of hanging angle
    turns : turn since the first hanging angle by teardown and by teeth alone, (2,) each, [rad]
    wheel_turns, wound : what adjusters were turned since the car was found, by teardown, (2,) each, revolutions or
        notches; and what that adds to the hanging angles by what lever and pitch say, [rad]
    """

    def __init__(self, case: Case, turns: list) -> None:
        self.rest = case.car.rest
        self.turns = turns
        adjuster = case.car.adjuster
        self.wheel_turns = wheel_turns_of(case)
        self.wound = [tuple([adjuster.angle(t[s], s) for s in (0, 1)]) for t in self.wheel_turns]
        self.uneven_pose = case.car.uneven_pose
        found = grouped(case.readings)
        hung = [o for o in found if o.kind == "riding-angle" and o.hanging]
        # The arm's angle in a hang test is not evidence by itself: it says where the hub was measured.
        self.observations = [o for o in found if o not in hung]
        self.poses: list[Stand] = []
        self.clamps: dict = {}
        numbers: dict = {}
        self.hub: int | None = None
        self.unsprung: int | None = None
        for o in self.observations:
            if o.kind == "hub-to-body":
                self.hub = HUB_LEFT
                if o.hanging:
                    for h in hung:
                        if (h.side, h.teardown) == (o.side, o.teardown):
                            o.hung = h
                            tilt = PITCH if h.gravity else 0.0
                            spread = h.spread**2 + h.model_error() ** 2 + tilt**2
                            o.extra = (case.car.arm * math.cos(h.value)) ** 2 * spread
                    if o.hung is None and case.car.sprung == FRONT:
                        # There the bar still holds an arm that hangs: where it hangs nobody read.
                        o.extra = case.car.arm**2
            if not o.hanging:
                stand = Stand(o)
                if stand.key not in numbers:
                    numbers[stand.key] = len(self.poses)
                    self.poses.append(stand)
                o.pose = numbers[stand.key]
        self.size = CONSTANTS + 2
        if self.hub is not None:
            self.size += 2
        if [o for o in self.observations if o.kind == "wheel-load"]:
            self.unsprung = self.size
            self.size += 1
        self.settling: int | None = None
        self.spots: dict = {}
        for pose in self.poses:
            if pose.after and self.settling is None:
                self.settling = self.size
                self.size += 1
            if pose.spot not in self.spots:
                self.spots[pose.spot] = self.size if self.spots else None
                self.size += 1 if self.spots[pose.spot] is not None else 0
        self.fit = Fittings(case, [o.kind for o in self.observations], self.size)
        self.size = self.fit.size
        # The last teardown's first: of all clampings, predictions need those alone.
        read: dict = {}
        for pose in self.poses:
            read[case.opened(pose.teardown)] = True
        for teardown in range(len(turns))[::-1]:
            if case.opened(teardown) == teardown and teardown in read:
                self.clamps[teardown] = self.size
                self.size += 2
        for teardown in case.elsewhere:
            # What is turned at the other axle leaves these bushes as they were clamped.
            if case.opened(teardown) in self.clamps:
                self.clamps[teardown] = self.clamps[case.opened(teardown)]
        self.felt = case.felt

    def turn_at(self, theta: list, teardown: int) -> tuple:
        """Turn since the first hanging angle, teeth and adjusters together : (2,) [rad]."""
        turn = self.turns[teardown]
        if self.fit.gain is None:
            return turn
        wound = self.wound_at(theta, teardown)
        return (turn[0] + wound[0], turn[1] + wound[1])

    def wound_at(self, theta: list, teardown: int) -> tuple:
        """What of it the adjusters added : (2,) [rad]."""
        factor = self.fit.factor(theta)
        left, right = self.wound[teardown]
        return (factor * left, factor * right)

    def wide(self, rest: Equilibrium, what: int, side: int) -> list:
        """Derivatives of one of a rest's quantities by all unknowns : (size,), the clampings' left out.

        ``what`` is PHI, FORCE or HEIGHT of `fittings`.
        """
        row = [0.0] * self.size
        self.fit.standing(row, rest, what, side)
        self.fit.geared(row, rest.felt)
        return row

    def rests(self, theta: list, near: list | None) -> list | None:
        """Equilibria of all poses, or None where one has none; ``near`` (equilibria or None) starts them."""
        out: list = []
        for i in range(len(self.poses)):
            stand = self.poses[i]
            teardown = stand.teardown
            lift = stand.lift
            turn = self.turn_at(theta, teardown)
            twist = self.spots[stand.spot]
            if twist is not None:
                lift += theta[twist]
            if self.felt is not None:
                lift += self.felt.lifts[teardown]
            k = self.clamps[teardown]
            first = None
            if near:
                first = near[i].phi
            elif i and self.poses[i - 1].teardown == teardown:
                first = out[-1].phi
            # The last iterate may lie outside the region Newton converges from; then it starts afresh.
            for start in (first, None) if first else (None,):
                rest = equilibrium(
                    constants=theta,
                    turn=(turn[0] + theta[k], turn[1] + theta[k + 1]),
                    rest=self.rest,
                    lift=lift,
                    ballast=stand.ballast,
                    near=start,
                    anti=self.anti(theta),
                    wound=self.wound_at(theta, teardown),
                    carried=self.fit.carried,
                    free=stand.centred,
                )
                if rest is not None:
                    break
            if rest is None:
                return None
            out.append(rest)
        return out

    def anti(self, theta: list) -> float | None:
        """Logarithm of the anti-roll bar's rate, [N/m]; None without one."""
        return None if self.fit.anti is None else theta[self.fit.anti]

    def expected(self, o: Observation, theta: list, rests: list) -> tuple:
        """What observation ``o`` should read, and its derivatives by the unknowns : (size,)."""
        side = o.side
        row = [0.0] * self.size
        if o.kind == "hanging-angle":
            row[side] = 1.0
            self.fit.geared(row, self.wound_at(theta, o.teardown))
            return theta[side] + self.turn_at(theta, o.teardown)[side], row
        if o.kind == "bolt-length":
            return self.fit.bolt(side, theta, self.wheel_turns[o.teardown][side], row), row
        if o.kind == "hub-to-body":
            return self._hub(o, theta, rests, row)
        rest = rests[o.pose]  # type: ignore[index] # whatever does not hang stands in a pose
        if o.kind in BY_ANGLE:
            share = 0.0
            if o.after and self.settling is not None:
                share = settled(o.after) * theta[self.settling]
                row[self.settling] = settled(o.after) * self.fit.reach(o.kind, theta)
            value = self.fit.by_angle(o.kind, side, theta, rest, row, share)
            self._placed(o, row, rest)
            return value, row
        if o.kind == "riding-angle":
            self.fit.standing(row, rest, PHI, side)
            value = rest.phi[side]
        elif o.kind == "body-height":
            self.fit.standing(row, rest, HEIGHT, side)
            row[MARK_LEFT + side] = 1.0
            value = theta[MARK_LEFT + side] + rest.height[side]
        else:
            self.fit.standing(row, rest, FORCE, side)
            value = rest.force[side]
            if self.unsprung is not None:
                row[self.unsprung] = 1.0
                value += theta[self.unsprung]
        if o.after and self.settling is not None and o.kind != "wheel-load":
            share = settled(o.after)
            if o.kind == "riding-angle":
                share /= theta[ARM] * math.cos(rest.phi[side])
                # By the lever, which changes with the arm and its angle.
                moved = share * theta[self.settling]
                bend = moved * math.tan(rest.phi[side])
                row[:CONSTANTS] = [d + bend * d for d in row[:CONSTANTS]]
                if self.fit.anti is not None:
                    row[self.fit.anti] *= 1.0 + bend
                row[ARM] -= moved / theta[ARM]
            value += share * theta[self.settling]
            row[self.settling] = share
        self._placed(o, row, rest)
        return value, row

    def _placed(self, o: Observation, row: list, rest: Equilibrium) -> None:
        """A clamping moves a standing reading as the hanging angle of its side does, and so does an adjuster; a
        twist of the floor as a board does, against the unevenness of the other axle.
        """
        self.fit.geared(row, rest.felt)
        k = self.clamps[o.teardown]
        row[k] = row[0]
        row[k + 1] = row[1]
        twist = self.spots[o.spot]
        if twist is not None:
            row[twist] = -row[UNEVEN]

    def _hub(self, o: Observation, theta: list, rests: list, row: list) -> tuple:
        side = o.side
        arm = theta[ARM]
        if o.pose is not None:
            rest = rests[o.pose]
            phi = rest.phi[side]
            lever = arm * math.cos(phi)
            self.fit.standing(row, rest, PHI, side, lever)
            self._placed(o, row, rest)
        else:
            # No arm reading in a hang test: the arm is taken to hang relaxed.
            if o.hung is not None:
                phi = o.hung.value
            else:
                phi = theta[side] + self.turn_at(theta, o.teardown)[side]
                row[side] = arm * math.cos(phi)
                self.fit.geared(row, self.wound_at(theta, o.teardown))
        row[ARM] += math.sin(phi)
        row[HUB_LEFT + side] = 1.0
        value = theta[HUB_LEFT + side] + arm * math.sin(phi)
        if o.after and self.settling is not None and o.pose is not None:
            row[self.settling] = settled(o.after)
            value += row[self.settling] * theta[self.settling]
        return value, row

    def clamp_spread(self, theta: list, rest_sd: float) -> float:
        """Spread of a bush's clamping angle as a change of hanging angle, [rad]: ratio times its own spread."""
        return max(0.0, theta[BUSH]) * rest_sd

    def whitener(self, theta: list, rests: list, friction: float) -> Whitener:
        """The noise that readings of one pose share, with its footprints taken at ``theta``.

        ``friction`` is the standard deviation of the height a side settles at, [m]. Sets ``rubbed``: list of (pose,
        side, {observation: coefficient}), what friction does at each settling.
        """
        deviations = []
        shared: dict = {}
        order = []

        def add(key: tuple, i: int, coefficient: float) -> None:
            if key not in shared:
                shared[key] = {}
                order.append(key)
            shared[key][i] = coefficient

        for i in range(len(self.observations)):
            o = self.observations[i]
            deviations.append(math.sqrt(o.spread**2 + o.model_error() ** 2))
            if o.gravity:
                add(("pitch", o.teardown, o.place, o.hanging, o.spot, o.after), i, PITCH)
            if o.pose is not None and o.kind != "wheel-load":
                # A height as it is, an angle by its lever.
                reach = 1.0
                if o.kind == "riding-angle":
                    reach = 1.0 / (theta[ARM] * math.cos(rests[o.pose].phi[o.side]))
                elif o.kind in BY_ANGLE:
                    reach = self.fit.reach(o.kind, theta)
                add(("friction", o.pose, o.side), i, friction * reach)
                if o.after:
                    add(("settling", o.teardown, o.side), i, settled(o.after) * SETTLING_SIDE * reach)
            if o.pose is not None and o.centred:
                by_load = self.expected(o, theta, rests)[1][LOAD_LEFT : LOAD_LEFT + 2]
                across, along = carrying(by_load, theta)
                add(("off-centre", o.pose), i, across)
                add(("off-line", o.pose), i, along)
            if o.pose is not None and self.uneven_pose:
                # The other axle's unevenness is not quite the same each time that the car settles.
                by = self.expected(o, theta, rests)[1][UNEVEN]
                add(("uneven", o.pose), i, by * self.uneven_pose)
            if o.pose is not None and self.felt is not None:
                for move in self.felt.spreads:
                    if o.teardown < move:
                        # How far the other axle has shifted this one since is known only so well.
                        by = self.expected(o, theta, rests)[1][UNEVEN]
                        add(("other", move), i, by * self.felt.spreads[move])
        self.rubbed = [(key[1], key[2], shared[key]) for key in order if key[0] == "friction"]
        return Whitener(deviations, [shared[key] for key in order])
