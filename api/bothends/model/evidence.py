"""Readings as evidence: what each should read for given constants, and what its noise shares with others.

Repeats of one reading (same kind, side, teardown and pose) are averaged into one observation: that shrinks the
gauge's or tape's own spread, not the model's error. Owns the observation equations and their derivatives; the
fit is `estimate`'s business. SI, radians.
"""

import math

from .beliefs import SETTLING_KM, SETTLING_SIDE_MM
from .fields import KINDS
from .noise import Whitener
from .request import Case, Reading
from .statics import ARM, BUSH, CONSTANTS, UNEVEN, equilibrium
from .units import DEG, MM, SIZE

__all__ = ["MARKS_ALIKE", "MARK_LEFT", "MODEL_ERROR", "PITCH", "Evidence", "Observation", "settled"]

PITCH = 2.5 * DEG
"""Spread of the body's pitch in a pose where no datum was read, [rad]. Common practice, no source."""
MODEL_ERROR = {k.name: k.error * SIZE[k.unit] for k in KINDS}
"""What the model itself leaves out, per kind, [rad, m, N]; friction and clamping come on top, shared."""
MARKS_ALIKE = 10.0 * MM
"""Spread of the left mark's height on the body against the right one's, [m]. Common practice, no source."""

MARK_LEFT = CONSTANTS
HUB_LEFT = CONSTANTS + 2
SETTLING_SIDE = SETTLING_SIDE_MM * MM / math.sqrt(2.0)
"""What one side settles by itself after hand-over, [m]: the difference of two such is side to side."""


def settled(after: float) -> float:
    """Share of a car's settling that is reached after driving so far, [km].

    >>> round(settled(100.0), 3)
    0.632
    """
    return 1.0 - math.exp(-after / SETTLING_KM)


class Observation:
    """Repeats of one reading, averaged.

    ``value`` their weighted mean, ``spread`` the standard deviation of that mean by gauge or tape alone,
    ``members`` the readings, ``pose`` an index into the evidence's poses (None where the arm hangs),
    ``hung`` the arm's angle read in the same hang test, itself an Observation, or None.
    """

    def __init__(self, first: Reading) -> None:
        self.kind = first.kind
        self.side = first.side
        self.teardown = first.teardown
        self.place = first.pose
        self.hanging = first.hanging
        self.gravity = first.gravity
        self.spot = first.spot
        self.after = first.after
        self.resettled = first.resettled
        self.members: list[Reading] = []
        self.pose: int | None = None
        self.hung: Observation | None = None
        self.extra = 0.0
        self.value = 0.0
        self.spread = 0.0

    def average(self) -> None:
        weight = 0.0
        total = 0.0
        for reading in self.members:
            w = 1.0 / (reading.sd * reading.sd)
            weight += w
            total += w * reading.value
        self.value = total / weight
        self.spread = 1.0 / math.sqrt(weight)

    def model_error(self) -> float:
        """Standard deviation of what no repeat removes, [rad, m or N]."""
        return math.sqrt(MODEL_ERROR[self.kind] ** 2 + self.extra)


def _grouped(readings: list) -> list:
    """Observations of the readings, in the order their first members were logged."""
    groups = {}
    order = []
    for reading in readings:
        key = (
            reading.kind, reading.side, reading.teardown, reading.pose, reading.hanging, reading.gravity,
            reading.spot, reading.after, reading.resettled,
        )  # fmt: skip
        if key not in groups:
            groups[key] = Observation(reading)
            order.append(groups[key])
        groups[key].members.append(reading)
    for observation in order:
        observation.average()
    return order


class Evidence:
    """All observations of a case.

    Attributes
    ----------
    observations : list of Observation
    poses : list of (teardown, lift, ballast left, ballast right, spot, km since hand-over, settling)
    size : number of unknowns; the statics' constants, two marks, then two hub marks and the unsprung load where
        such readings are there, then the settling after hand-over and the floor's twist at other spots where such
        readings are there, then both bushes' clamping for each teardown after which the car was read standing
    hub, unsprung : index of their unknowns, or None
    settling : index of how far both sides settle after hand-over, [m], or None
    spots : index of the floor's twist against the first spot that was read on, by name, [m]; None for that one
    clamps : index of the left bush's clamping by teardown, the right one's follows; as a change of hanging angle
    turns : turn since the first hanging angle by teardown, (2,) each, [rad]
    """

    def __init__(self, case: Case, turns: list) -> None:
        self.rest = case.car.rest
        self.turns = turns
        found = _grouped(case.readings)
        hung = [o for o in found if o.kind == "riding-angle" and o.hanging]
        # The arm's angle in a hang test is not evidence by itself: it says where the hub was measured.
        self.observations = [o for o in found if o not in hung]
        self.poses: list[tuple] = []
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
            if not o.hanging:
                pose = (o.teardown,) + o.place + (o.spot, o.after, o.resettled)
                if pose not in numbers:
                    numbers[pose] = len(self.poses)
                    self.poses.append(pose)
                o.pose = numbers[pose]
        self.size = CONSTANTS + 2
        if self.hub is not None:
            self.size += 2
        if [o for o in self.observations if o.kind == "wheel-load"]:
            self.unsprung = self.size
            self.size += 1
        self.settling: int | None = None
        self.spots: dict = {}
        for pose in self.poses:
            spot, after = pose[4], pose[5]
            if after and self.settling is None:
                self.settling = self.size
                self.size += 1
            if spot not in self.spots:
                self.spots[spot] = self.size if self.spots else None
                self.size += 1 if self.spots[spot] is not None else 0
        # The last teardown's first: of all clampings, predictions need those alone.
        for teardown in range(len(turns))[::-1]:
            if [pose for pose in self.poses if pose[0] == teardown]:
                self.clamps[teardown] = self.size
                self.size += 2

    def rests(self, theta: list, near: list | None) -> list | None:
        """Equilibria of all poses, or None where one has none; ``near`` (equilibria or None) starts them."""
        out: list = []
        for i in range(len(self.poses)):
            teardown, lift, ballast_l, ballast_r, spot = self.poses[i][:5]
            turn = self.turns[teardown]
            if self.spots[spot] is not None:
                lift += theta[self.spots[spot]]
            k = self.clamps[teardown]
            first = None
            if near:
                first = near[i].phi
            elif i and self.poses[i - 1][0] == teardown:
                first = out[-1].phi
            # The last iterate may lie outside the region Newton converges from; then it starts afresh.
            for start in (first, None) if first else (None,):
                rest = equilibrium(
                    constants=theta,
                    turn=(turn[0] + theta[k], turn[1] + theta[k + 1]),
                    rest=self.rest,
                    lift=lift,
                    ballast=(ballast_l, ballast_r),
                    near=start,
                )
                if rest is not None:
                    break
            if rest is None:
                return None
            out.append(rest)
        return out

    def expected(self, o: Observation, theta: list, rests: list) -> tuple:
        """What observation ``o`` should read, and its derivatives by the unknowns : (size,)."""
        side = o.side
        row = [0.0] * self.size
        if o.kind == "hanging-angle":
            row[side] = 1.0
            return theta[side] + self.turns[o.teardown][side], row
        if o.kind == "hub-to-body":
            return self._hub(o, theta, rests, row)
        rest = rests[o.pose]  # type: ignore[index] # whatever does not hang stands in a pose
        if o.kind == "riding-angle":
            row[:CONSTANTS] = rest.d_phi[side]
            value = rest.phi[side]
        elif o.kind == "body-height":
            row[:CONSTANTS] = rest.d_height[side]
            row[MARK_LEFT + side] = 1.0
            value = theta[MARK_LEFT + side] + rest.height[side]
        else:
            row[:CONSTANTS] = rest.d_force[side]
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
                row[ARM] -= moved / theta[ARM]
            value += share * theta[self.settling]
            row[self.settling] = share
        self._placed(o, row)
        return value, row

    def _placed(self, o: Observation, row: list) -> None:
        """A clamping moves a standing reading as the hanging angle of its side does, a twist of the floor as a
        board does, against the unevenness of the front.
        """
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
            row[:CONSTANTS] = [lever * d for d in rest.d_phi[side]]
            self._placed(o, row)
        else:
            # No arm reading in a hang test: the arm is taken to hang relaxed.
            if o.hung is not None:
                phi = o.hung.value
            else:
                phi = theta[side] + self.turns[o.teardown][side]
                row[side] = arm * math.cos(phi)
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
                add(("friction", o.pose, o.side), i, friction * reach)
                if o.after:
                    add(("settling", o.teardown, o.side), i, settled(o.after) * SETTLING_SIDE * reach)
        self.rubbed = [(key[1], key[2], shared[key]) for key in order if key[0] == "friction"]
        return Whitener(deviations, [shared[key] for key in order])
