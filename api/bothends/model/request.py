"""A solve request, checked and turned into SI: the only door between the outside's names and the model.

Checks what every caller must obey (bounds, teardown numbers, the few readings a target cannot do without) and fills
in the documented defaults. Unknown fields are not this module's business: the server's schema refuses them.
"""

from .car import Car
from .felt import Felt
from .field import choice, flag, needed, part, take, take_whole, text
from .fields import (
    ANGLE_SD_WITH_DATUM,
    ENDS,
    FREE,
    KINDS,
    LONGEST_SPOT,
    MOST_ENTRIES,
    OF_CAR,
    ON_WHEELS,
    REAR,
    REFERENCES,
    SIDES,
    UNITS,
    kind,
)
from .problem import ModelProblem
from .units import DEG, GRAVITY, MM
from .wish import Wish

__all__ = ["Case", "Reading", "beyond", "read", "required", "stands"]

SI = {"°": DEG, "mm": MM, "kg": GRAVITY}
NOTHING = ((0, 0, 0.0), (0, 0, 0.0))
"""A move of neither side."""
AS_IT_IS = {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0}
"""The target of an axle of which nothing is asked."""


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


class Case:
    """A whole request: ``car``, ``wish``, ``readings``, ``moves``, ``units`` for figures in sentences.

    ``readings`` are those of the axle that the bars spring; ``other`` are loads of the other axle's wheels, which
    these springs know nothing of: they stand apart, so that nothing takes them for evidence of them. ``moves`` maps
    teardown number to (log index, ((inner, outer, turns) left, right)), teeth and turns of the adjuster;
    ``teardowns`` is how many have been done. Where the car says of the other axle too, ``pair`` is that axle's
    own Case, ``elsewhere`` are numbers of moves made there, at which this axle turns nothing, and ``felt`` is what
    this axle feels of that one (`felt`), once that is worked out.
    """

    def __init__(
        self,
        car: Car,
        wish: Wish,
        readings: list,
        moves: dict,
        units: str = "metric",
        other: list | None = None,
    ) -> None:
        self.car = car
        self.wish = wish
        self.readings = readings
        self.moves = moves
        self.teardowns = len(moves)
        self.units = units
        self.other = other or []
        self.pair: Case | None = None
        self.elsewhere: dict = {}
        self.felt: Felt | None = None
        self._read: dict | None = None

    def opened(self, teardown: int) -> int:
        """Number of the last move up to that one that was made at this axle, 0 for none."""
        while teardown in self.elsewhere:
            teardown -= 1
        return teardown

    def beside(self, base: "Case") -> "Case":
        """This case, with what another one of the same axle has of the other axle."""
        self.pair = base.pair
        self.elsewhere = base.elsewhere
        self.felt = base.felt
        return self

    def read(self, kind_name: str, side: int) -> bool:
        """Whether the log has a reading of that kind on that side."""
        if self._read is None:
            self._read = {(r.kind, r.side): True for r in self.readings}
        return (kind_name, side) in self._read


def _reading(entry: dict, index: int, car: Car) -> Reading:
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


def _move(entry: dict, index: int, car: Car) -> tuple:
    at = "$.log[%d]" % index
    teardown = take_whole(entry, "log.teardown", at)
    if not teardown:
        raise ModelProblem(
            "out-of-range", at + ".teardown", "teardowns are numbered from 1, got %s" % entry.get("teardown")
        )
    turned: list[list] = []
    for side in SIDES:
        ends = part(entry, side, at)
        pair: list = []
        for end in ENDS:
            teeth = take_whole(ends, "log.%s.%s" % (side, end), at + "." + side) or 0
            if teeth and (car.inner_teeth if end == "inner" else car.outer_teeth) is None:
                raise ModelProblem(
                    "missing-reading",
                    "$.car.bar.%s_teeth" % end,
                    "teeth were turned at the %s end (%s.%s.%s): count the teeth of that end and enter them"
                    % (end, at, side, end),
                )
            pair.append(teeth)
        turned.append(pair)
    for pair, turns in zip(turned, _turns(entry, at, car)):
        pair.append(turns)
    return teardown, (index, tuple([tuple(side) for side in turned]))


def _turns(entry: dict, at: str, car: Car) -> list:
    """Turns of both wheels' adjusters, (2,); of one that serves both, what was said of either."""
    out: list = []
    for side in SIDES:
        path = "log.%s.turns" % side
        ends = part(entry, side, at)
        turns = None if ends.get("turns") is None else needed(ends, path, at + "." + side)
        if turns and not car.adjuster.there:
            raise ModelProblem(
                "missing-reading",
                "$.car.adjuster.kind",
                "an adjuster was turned (%s.%s.turns): say what kind it is, screw, eccentric or notch"
                % (at, side),
            )
        if turns and car.adjuster.whole and turns != int(turns):
            raise ModelProblem(
                "out-of-range",
                at + "." + side + ".turns",
                "turns must be a whole number of notches, got %s" % turns,
            )
        out.append(turns)
    if not car.adjuster.shared:
        return [turns or 0.0 for turns in out]
    both = [turns for turns in out if turns is not None] or [0.0]
    if both[0] != both[len(both) - 1]:
        raise ModelProblem(
            "bad-log",
            at,
            "one adjuster serves both wheels: enter the same turns left and right, got %g and %g"
            % (both[0], both[1]),
        )
    return [both[0], both[0]]


def _log(source: dict, car: Car) -> tuple:
    """(readings, moves, numbers of moves at the other axle) of the log, each entry checked by itself."""
    log = source.get("log") or []
    if not isinstance(log, (list, tuple)):
        raise ModelProblem("out-of-range", "$.log", "the log must be a list of readings and moves")
    if len(log) > MOST_ENTRIES:
        raise ModelProblem(
            "too-many-readings",
            "$.log",
            "a log may have %d readings and moves, got %d; remove what no longer matters"
            % (MOST_ENTRIES, len(log)),
        )
    readings = []
    moves: dict = {}
    elsewhere: dict = {}
    for index in range(len(log)):
        entry = log[index]
        at = "$.log[%d]" % index
        if not isinstance(entry, dict):
            raise ModelProblem("out-of-range", at, "an entry must be an object with a kind")
        if choice(entry, "kind", at, ("reading", "move")) == "reading":
            readings.append(_reading(entry, index, car))
            continue
        axle = choice(entry, "axle", at, OF_CAR, car.sprung)
        turned: Car | None = car if axle == car.sprung else car.other
        if turned is None:
            raise ModelProblem(
                "bad-log",
                at + ".axle",
                "a move at the %s, while nothing is said of that axle; enter its facts (car.other), {} will do"
                % axle,
            )
        if turned is car.other:
            elsewhere[take_whole(entry, "log.teardown", at)] = True
        teardown, move = _move(entry, index, turned)
        if teardown in moves:
            raise ModelProblem(
                "bad-log", at + ".teardown", "teardown %d has two moves; remove one of them" % teardown
            )
        moves[teardown] = move
    return readings, moves, elsewhere


def _numbered(readings: list, moves: dict) -> None:
    """Teardowns must be numbered without a gap, and readings follow one that is there."""
    for teardown in moves:
        if teardown > len(moves):
            raise ModelProblem(
                "bad-log",
                "$.log[%d].teardown" % moves[teardown][0],
                "moves are numbered 1, 2, 3 without a gap; got teardown %d of %d" % (teardown, len(moves)),
            )
    for reading in readings:
        if reading.teardown > len(moves):
            raise ModelProblem(
                "bad-log",
                "$.log[%d].teardown" % reading.index,
                "this reading follows teardown %d, but the log has %d; enter the move first"
                % (reading.teardown, len(moves)),
            )


def required(case: Case, of: str = "") -> None:
    """What a target cannot do without: heights and a level need that height read once on each side.

    ``of`` names the axle in the error where both are planned, " at the front".

    Raises
    ------
    ModelProblem
        "missing-reading", naming kind and side.
    """
    if case.wish.heights is None and case.wish.level is None:
        return
    for side in (0, 1):
        if not case.read(case.wish.measured, side):
            raise ModelProblem(
                "missing-reading",
                "$.log",
                "No %s on the %s%s: measure it. Or ask for a rise, which needs none"
                % (kind(case.wish.measured).words, SIDES[side], of),
            )


def read(source: dict) -> Case:
    """Check a request and return it as a Case.

    Raises
    ------
    ModelProblem
        "out-of-range" or "bad-log" with the field's path; "missing-reading" where the target needs a height that
        was not read, or teeth were turned at an end whose teeth nobody has counted; "too-many-readings".
    """
    if not isinstance(source, dict):
        raise ModelProblem("out-of-range", "$", "a request must be an object")
    car = Car(source)
    if source.get("target") is None:
        raise ModelProblem("out-of-range", "$.target", "target is required")
    wish = Wish(part(source, "target", "$"))
    readings, moves, elsewhere = _log(source, car)
    _numbered(readings, moves)
    units = choice(source, "units", "$", UNITS, "metric")
    case = _of_axle(car, wish, readings, moves, units, elsewhere)
    if car.other is not None:
        there = {t: True for t in moves if t not in elsewhere}
        case.pair = _of_axle(car.other, Wish(AS_IT_IS), readings, moves, units, there)
    required(case)
    beyond(case, wish)
    return case


def beyond(case: Case, wish: Wish) -> None:
    """What a target of both axles cannot do without: that axle's facts, and its heights where they are wanted.

    Raises
    ------
    ModelProblem
        "out-of-range" where nothing is said of the other axle; "missing-reading", naming axle, kind and side.
    """
    if wish.other is None:
        return
    if case.pair is None:
        raise ModelProblem(
            "out-of-range",
            "$.target.other",
            "a target for the other axle, while nothing is said of that axle; enter its facts (car.other), {} will"
            " do",
        )
    pair = case.pair
    required(Case(pair.car, wish.other, pair.readings, pair.moves), " at the " + pair.car.sprung)


def _of_axle(car: Car, wish: Wish, readings: list, moves: dict, units: str, elsewhere: dict) -> Case:
    """The case of one axle: its readings and moves, and loads of the other one's wheels.

    A move at the other axle stands among its own as one in which nothing was turned, so that teardowns are numbered
    alike at both.
    """
    own = [r for r in readings if r.axle == car.sprung]
    loads = [r for r in readings if r.axle != car.sprung and r.kind == "wheel-load"]
    done = {}
    for teardown in moves:
        done[teardown] = (moves[teardown][0], NOTHING) if teardown in elsewhere else moves[teardown]
    case = Case(car, wish, own, done, units, loads)
    case.elsewhere = elsewhere
    return case
