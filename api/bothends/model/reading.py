"""One reading of the log: checked, in SI, with the pose it was made in.

Fills in the documented defaults. What a reading tells is `evidence`'s business.
"""

from .car import Car
from .field import choice, flag, needed, part, take, take_whole, text
from .fields import (
    ANGLE_SD_WITH_DATUM,
    FREE,
    KINDS,
    LONGEST_SPOT,
    OF_CAR,
    ON_WHEELS,
    REAR,
    REFERENCES,
    SIDES,
    kind,
)
from .problem import ModelProblem
from .units import DEG, GRAVITY, MM

__all__ = ["Reading", "reading_of", "stands"]

SI = {"°": DEG, "mm": MM, "kg": GRAVITY}


class Reading:
    """One reading in SI: ``value`` has its datum subtracted.

    ``pose`` is (lift, ballast left, ballast right, centred) with lift = board left - board right, [m] and [N], and
    ``centred`` whether the other axle was carried on one block amidships; readings taken with the wheels hanging
    have ``hanging``. ``level`` says whether the car stood on all its wheels and no board. ``raw`` and ``datum``
    keep what was typed, in its own unit. ``spot`` is where the car stood, ``after`` how far it was driven since
    hand-over, [km], 0 before that; ``resettled`` which settling of the pose it was, None where not said; ``axle``
    the one it is of.
    """

    def __init__(
        self,
        *,
        index: int,
        kind: str,
        side: int,
        value: float,
        sd: float,
        teardown: int,
        pose: tuple,
        hanging: bool,
        gravity: bool,
        raw: float,
        datum: float | None,
        spot: str = "",
        after: float = 0.0,
        resettled: int | None = None,
        axle: str = REAR,
    ) -> None:
        self.index = index
        self.kind = kind
        self.side = side
        self.value = value
        self.sd = sd
        self.teardown = teardown
        self.pose = pose
        self.hanging = hanging
        self.gravity = gravity
        self.raw = raw
        self.datum = datum
        self.spot = spot
        self.after = after
        self.resettled = resettled
        self.axle = axle

    @property
    def level(self) -> bool:
        return not self.hanging and stands(self.pose)

    def but(self, *, value: float, sd: float, pose: tuple, raw: float, datum: float | None) -> "Reading":
        """The same reading, as if it had read another value or been taken in another pose."""
        return Reading(
            index=self.index,
            kind=self.kind,
            side=self.side,
            value=value,
            sd=sd,
            teardown=self.teardown,
            pose=pose,
            hanging=self.hanging,
            gravity=self.gravity,
            raw=raw,
            datum=datum,
            spot=self.spot,
            after=self.after,
            resettled=self.resettled,
            axle=self.axle,
        )


def stands(pose: tuple, loaded: bool = True) -> bool:
    """Whether a pose is that of the car as it stands: on all its wheels, none on a board.

    Parameters
    ----------
    pose : (lift, ballast left, ballast right, centred) as a Reading has it
    loaded : whether ballast may lie in the car; else it is as it was found in the yard

    >>> stands((0.0, 600.0, 0.0, False)), stands((0.0, 0.0, 0.0, True)), stands((0.0, 600.0, 0.0, False), False)
    (True, False, False)
    """
    lift, left, right, centred = pose
    return lift == 0.0 and not centred and (loaded or left == right == 0.0)


def reading_of(entry: dict, index: int, car: Car) -> Reading:
    """The reading at ``index`` of the log; ModelProblem "out-of-range" or "bad-log" with the field's path."""
    sprung = car.sprung
    at = "$.log[%d]" % index
    name = choice(entry, "what", at, tuple([k.name for k in KINDS]))
    what = kind(name)
    side = SIDES.index(choice(entry, "side", at, SIDES))
    axle = choice(entry, "axle", at, OF_CAR, sprung)
    if axle != sprung and name != "wheel-load" and car.other is None:
        raise ModelProblem(
            "bad-log",
            at + ".axle",
            "at the %s only wheel loads are read, for cross-weight, while nothing is said of that axle (car.other);"
            " leave axle out of a %s" % (axle, what.words),
        )
    teardown = take_whole(entry, "log.teardown", at) or 0
    gravity = choice(entry, "reference", at, REFERENCES, "body") == "gravity"
    pose = part(entry, "pose", at)
    hanging = flag(pose, "hanging", at + ".pose")
    centred = flag(pose, "centred", at + ".pose")
    raw = needed(entry, "log.value." + name, at, "value")
    sd = take(entry, "log.sd." + name, at, "sd")
    datum = None
    if what.angle:
        datum = take(entry, "log.datum", at)
        if datum is not None:
            gravity = False
        if sd is None:
            sd = what.sd if datum is None else ANGLE_SD_WITH_DATUM
    elif entry.get("datum") is not None:
        raise ModelProblem("bad-log", at + ".datum", "a datum goes with an angle; leave it out of " + name)
    else:
        gravity = False
    unit = SI[what.unit]
    after = take(entry, "log.after_km", at)
    resettled = take_whole(entry, "log.resettled", at)
    spot = text(entry, "spot", at, LONGEST_SPOT)
    at += ".pose"
    boards = [needed(pose, "log.pose.board_%s_mm" % s, at) * MM for s in SIDES]
    ballast = [needed(pose, "log.pose.ballast_%s_kg" % s, at) * GRAVITY for s in SIDES]
    if hanging and what.pose == ON_WHEELS:
        raise ModelProblem(
            "bad-log", at + ".hanging", "a %s is read with the car on its wheels; take hanging off" % name
        )
    if centred and hanging:
        raise ModelProblem(
            "bad-log",
            at + ".centred",
            "with the other axle on a block this axle stands on its wheels; take hanging or centred off",
        )
    if what.pose == FREE:
        # The arm is free, or a bolt is as long as it is: boards and ballast cannot matter to it.
        boards, ballast, hanging, centred = [0.0, 0.0], [0.0, 0.0], True, False
    if hanging:
        # Nor does the floor, or how the car settled on it.
        spot, resettled = "", None
    place = (boards[0] - boards[1], ballast[0], ballast[1], centred)
    value = (raw - (datum or 0.0)) * unit
    spread = (what.sd if sd is None else sd) * unit
    return Reading(
        index=index,
        kind=name,
        side=side,
        value=value,
        sd=spread,
        teardown=teardown,
        pose=place,
        hanging=hanging,
        gravity=gravity,
        raw=raw,
        datum=datum,
        spot=spot,
        after=after or 0.0,
        resettled=resettled,
        axle=axle,
    )
