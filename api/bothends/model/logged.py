"""The log of a request: every entry checked, readings and moves apart, moves numbered without a gap."""

from .car import Car
from .field import choice, needed, part, take_whole
from .fields import ENDS, MOST_ENTRIES, OF_CAR, SIDES
from .problem import ModelProblem
from .reading import reading_of

__all__ = ["logged"]


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


def logged(source: dict, car: Car) -> tuple:
    """(readings, moves, numbers of moves at the other axle) of the log.

    Raises
    ------
    ModelProblem
        "out-of-range", "bad-log", "missing-reading" or "too-many-readings", with the field's path.
    """
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
            readings.append(reading_of(entry, index, car))
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
    _numbered(readings, moves)
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
