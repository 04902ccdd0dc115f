"""Slips of a pose: a board under the other tyre, or its thickness in inches, for all readings made on it.

A pose's readings may be only part of those that carry its name: of two board tests, the second may have been
written down as another round of the first. So beside all of a pose, its single rounds, its first and its last ones
are tried. Common practice, no source.
"""

from .fields import field
from .misfit import Misfits
from .misread import LOUD_ENOUGH
from .request import Reading
from .slip import Slip, scatter_change
from .statics import equilibrium
from .units import INCH, MM

__all__ = ["misposes"]

PART = 2.0
"""What a slip in part of a pose's readings must explain more than one in all of them, in sums of squares."""
THINNEST = 6.5 * MM
"""Boards up to this thickness, [m], are hardly ever laid under a tyre: a quarter of an inch lifts nothing."""
NO_BOARD = -8.0
"""What inches must explain less where the board typed in millimetres would be as thin as that."""
MOST_ROUNDS = 8
"""Rounds of readings in one pose that are told apart."""
THIN = 13.0 * MM
"""Thickest board that may have been typed in inches: half a metre high otherwise, [m]."""


def _moved(reading: Reading, lift: float) -> Reading:
    pose = (lift,) + reading.pose[1:]
    return reading.but(value=reading.value, sd=reading.sd, pose=pose, raw=reading.raw, datum=reading.datum)


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


def misposes(figures: Misfits, parts: bool = True) -> list:
    """Every slip of a pose worth trying on an estimate's log, as Slip; ``parts``: of part of its readings too."""
    ev = figures.estimate.evidence
    there: dict = {}
    for i in range(len(ev.observations)):
        pose = ev.observations[i].pose
        # With the other axle on a block a board tells nothing, under whichever tyre.
        if pose is not None and ev.poses[pose].lift and not ev.poses[pose].centred:
            there.setdefault(pose, []).append(i)
    out = []
    for pose in sorted(there):
        heard = 0.0
        for i in there[pose]:
            heard += figures.heard[i]
        if heard < LOUD_ENOUGH:
            continue
        lift = ev.poses[pose].lift
        rounds = _rounds(ev.observations, there[pose])
        tries = [("board under the other tyre", -lift, 0.0)]
        if abs(lift) <= THIN and abs(lift) * INCH <= field("log.pose.board_left_mm").high * MM:
            tries.append(("board in inches", lift * INCH, NO_BOARD if abs(lift) <= THINNEST else 0.0))
        for guess, meant, rarity in tries:
            change = _change(figures, pose, meant, there[pose])
            if change is None:
                continue
            stands = _stands(rounds) if parts else [rounds]
            for number in range(len(stands)):
                rare = rarity + (PART if number else 0.0)
                out.append(
                    _slip(
                        figures,
                        guess=guess,
                        lift=lift,
                        meant=meant,
                        change=change,
                        stand=stands[number],
                        rarity=rare,
                    )
                )
    return out


def _change(figures: Misfits, pose: int, lift: float, there: list) -> dict | None:
    """Each observation with the board as typed less the same with another one; None where that has no rest."""
    estimate = figures.estimate
    ev = estimate.evidence
    stand = ev.poses[pose]
    k = ev.clamps[stand.teardown]
    turn = ev.turn_at(estimate.theta, stand.teardown)
    rest = equilibrium(
        constants=estimate.theta,
        turn=(turn[0] + estimate.theta[k], turn[1] + estimate.theta[k + 1]),
        rest=ev.rest,
        lift=lift,
        ballast=stand.ballast,
        near=estimate.rests[pose].phi,
        anti=ev.anti(estimate.theta),
        wound=estimate.rests[pose].wound,
        carried=ev.fit.carried,
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
    figures: Misfits, *, guess: str, lift: float, meant: float, change: dict, stand: list, rarity: float
) -> Slip:
    observations = figures.estimate.evidence.observations
    shifts = []
    within = 0.0
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
            replace[reading.index] = _moved(reading, meant)
            turned[reading.index] = _Shifted(reading.value + change[i])
        shifts.append((i, shift))
        within += scatter_change(o, shift, turned)
    side = "left" if lift > 0.0 else "right"
    under = side
    if meant * lift < 0.0:
        under = "right" if lift > 0.0 else "left"
    return Slip(
        guess, min(replace), abs(meant) / MM, [(shifts, 1.0)], within=within, rarity=rarity, replace=replace,
        field="pose.board_%s_mm" % side, side=under,
        gaps={"side": under, "value": (abs(meant) / MM, "mm"), "count": len(replace)},
    )  # fmt: skip


class _Shifted:
    """A value only, for the repeats' scatter."""

    def __init__(self, value: float) -> None:
        self.value = value
