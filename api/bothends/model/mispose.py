"""Slips of a pose: a board under the other tyre, its thickness in inches, or a block under the other axle that was
not said, or was said and not there, for all readings made so.

A pose's readings may be only part of those that carry its name: of two board tests, the second may have been
written down as another round of the first. So beside all of a pose, its single rounds, its first and its last ones
are tried. Common practice, no source.
"""

from .fields import field
from .misfit import Misfits
from .misread import LOUD_ENOUGH
from .observation import Stand
from .reading import Reading
from .slip import Slip, scatter_change
from .statics import equilibrium
from .units import INCH, MM

__all__ = ["misposes"]

BLOCK = "other axle on a block"
NO_BLOCK = "other axle not on a block"
PART = 2.0
"""What a slip in part of a pose's readings must explain more than one in all of them, in sums of squares."""
THINNEST = 6.5 * MM
"""Boards up to this thickness, [m], are hardly ever laid under a tyre: a quarter of an inch lifts nothing."""
NO_BOARD = -8.0
"""What inches must explain less where the board typed in millimetres would be as thin as that."""
MOST_ROUNDS = 8
"""Rounds of readings in one pose that are told apart."""
UNHEARD_OF = 4.0
"""What a block that nobody speaks of anywhere in the log must explain more than one that some readings have."""
THIN = 13.0 * MM
"""Thickest board that may have been typed in inches: half a metre high otherwise, [m]."""


class _Meant:
    """What a pose may have been instead: board left less right, [m], and whether the other axle was on a block."""

    def __init__(self, guess: str, lift: float, centred: bool, rarity: float) -> None:
        self.guess = guess
        self.lift = lift
        self.centred = centred
        self.rarity = rarity

    def moved(self, reading: Reading) -> Reading:
        """A reading as if it had been made so."""
        _, left, right, _ = reading.pose
        pose = (self.lift, left, right, self.centred)
        return reading.but(
            value=reading.value, sd=reading.sd, pose=pose, raw=reading.raw, datum=reading.datum
        )


def _meant(stand: Stand, spoken: bool) -> list:
    """What a stand may have been instead; ``spoken``: whether any reading has the other axle on a block."""
    lift = stand.lift
    if stand.centred:
        # With the other axle on a block a board tells nothing, under whichever tyre.
        return [_Meant(NO_BLOCK, lift, False, 0.0)]
    if not lift:
        return [_Meant(BLOCK, 0.0, True, 0.0 if spoken else UNHEARD_OF)]
    out = [_Meant("board under the other tyre", -lift, False, 0.0)]
    if abs(lift) <= THIN and abs(lift) * INCH <= field("log.pose.board_left_mm").high * MM:
        rarity = NO_BOARD if abs(lift) <= THINNEST else 0.0
        out.append(_Meant("board in inches", lift * INCH, False, rarity))
    return out


def _rounds(observations: list, there: list) -> list:
    """Rounds of a pose: the first readings of every kind and side, the second ones, and so on : list of dicts."""
    out: list[dict] = []
    for i in there:
        members = observations[i].members
        for k in range(len(members)):
            number = min(k, MOST_ROUNDS - 1)
            while len(out) <= number:
                out.append({})
            out[number].setdefault(i, []).append(members[k])
    return out


def _stands(rounds: list) -> list:
    """Sets of rounds that may be one stand of the car: all, the last ones, the first ones, each one."""
    count = len(rounds)
    out = [rounds]
    for k in range(1, count):
        out += [rounds[k:], rounds[:k]]
    for k in range(1, count - 1):
        out.append(rounds[k : k + 1])
    return out


def _single(figures: Misfits, rounds: list) -> list:
    """Single readings of a pose that do not fit, each as a set of rounds."""
    return [[{i: one[i]}] for one in rounds for i in sorted(one) if figures.heard[i] >= LOUD_ENOUGH]


def misposes(figures: Misfits, parts: bool = True) -> list:
    """Every slip of a pose worth trying on an estimate's log, as Slip; ``parts``: of part of its readings too."""
    ev = figures.estimate.evidence
    there: dict = {}
    for i in range(len(ev.observations)):
        pose = ev.observations[i].pose
        if pose is not None:
            there.setdefault(pose, []).append(i)
    spoken = len([stand for stand in ev.poses if stand.centred]) > 0
    out = []
    for pose in sorted(there):
        heard = 0.0
        for i in there[pose]:
            heard += figures.heard[i]
        if heard < LOUD_ENOUGH:
            continue
        rounds = _rounds(ev.observations, there[pose])
        stands = _stands(rounds) if parts else [rounds]
        for meant in _meant(ev.poses[pose], spoken):
            change = _change(figures, pose, meant, there[pose])
            if change is None:
                continue
            tried = stands
            if parts and meant.centred != ev.poses[pose].centred:
                # It is said of each reading for itself, so that it may be left out of one.
                tried = stands + _single(figures, rounds)
            for number in range(len(tried)):
                rarity = meant.rarity + (PART if number else 0.0)
                slip = _slip(
                    figures, ev.poses[pose], meant, change=change, stand=tried[number], rarity=rarity
                )
                if slip is not None:
                    out.append(slip)
    return out


def _change(figures: Misfits, pose: int, meant: _Meant, there: list) -> dict | None:
    """Each observation in the pose as typed less the same in another one; None where that has no rest."""
    estimate = figures.estimate
    ev = estimate.evidence
    stand = ev.poses[pose]
    k = ev.clamps[stand.teardown]
    turn = ev.turn_at(estimate.theta, stand.teardown)
    rest = equilibrium(
        constants=estimate.theta,
        turn=(turn[0] + estimate.theta[k], turn[1] + estimate.theta[k + 1]),
        rest=ev.rest,
        lift=meant.lift,
        ballast=stand.ballast,
        near=estimate.rests[pose].phi,
        anti=ev.anti(estimate.theta),
        wound=estimate.rests[pose].wound,
        carried=ev.fit.carried,
        free=meant.centred,
    )
    if rest is None:
        return None
    rests = estimate.rests[:]
    rests[pose] = rest
    out = {}
    for i in there:
        o = ev.observations[i]
        out[i] = ev.expected(o, estimate.theta, estimate.rests)[0] - ev.expected(o, estimate.theta, rests)[0]
    return out


def _slip(
    figures: Misfits, was: Stand, meant: _Meant, *, change: dict, stand: list, rarity: float
) -> Slip | None:
    """The slip in some rounds of a pose's readings; None where it would change none of them noticeably."""
    observations = figures.estimate.evidence.observations
    shifts = []
    within = 0.0
    most = 0.0
    replace = {}
    members: dict = {}
    for one in stand:
        for i in one:
            members.setdefault(i, []).extend(one[i])
    for i in sorted(members):
        o = observations[i]
        shift = 0.0
        turned = {}
        for reading in members[i]:
            shift += change[i] * (o.spread / reading.sd) ** 2
            most = max(most, abs(change[i]) / reading.sd)
            replace[reading.index] = meant.moved(reading)
            turned[reading.index] = _Shifted(reading.value + change[i])
        shifts.append((i, shift))
        within += scatter_change(o, shift, turned)
    if most < 1.0:
        return None
    told = _told(was, meant, len(replace))
    return Slip(
        meant.guess, min(replace), told["value"], [(shifts, 1.0)], within=within, rarity=rarity, replace=replace,
        field=told["field"], side=told["side"], gaps=told["gaps"],
    )  # fmt: skip


def _told(was: Stand, meant: _Meant, count: int) -> dict:
    """What a doubt says of the pose: field, side and value it should have, and the gaps of its sentence."""
    if meant.centred != was.centred:
        return {"field": "pose.centred", "side": "both", "value": None, "gaps": {"count": count}}
    side = "left" if was.lift > 0.0 else "right"
    under = side
    if meant.lift * was.lift < 0.0:
        under = "right" if was.lift > 0.0 else "left"
    value = abs(meant.lift) / MM
    gaps = {"side": under, "value": (value, "mm"), "count": count}
    return {"field": "pose.board_%s_mm" % side, "side": under, "value": value, "gaps": gaps}


class _Shifted:
    """A value only, for the repeats' scatter."""

    def __init__(self, value: float) -> None:
        self.value = value
