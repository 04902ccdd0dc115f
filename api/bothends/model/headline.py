"""The answer in a few words: what to do, where, and what comes of it.

The same words on screen, in print and on the command line. `code` is for programs: as-wished, turn, turn-degrees,
read-first, forbidden, out-of-reach.
"""

import math

from . import figures
from .case import Case
from .choose import Choice
from .doubt_words import READINGS
from .fields import FRONT, REAR, SIDES
from .lattice import HOPELESS, Search
from .miswound import GUESSES
from .sentences import HEADLINES, MOVES, WHERE
from .turning import NOUNS
from .units import DEG, MM

__all__ = ["headline"]

FORBIDDEN = {
    "droop": "forbidden-lower",
    "bump": "forbidden-higher",
    "stop": "forbidden-stop",
    "stress": "forbidden-bars",
    "joint": "forbidden-joint",
    "steep": "forbidden-steep",
    "slack": "forbidden-slack",
}
"""The headline of each limit that somebody knows."""


def _ends(side: dict) -> str:
    if side["inner"]:
        return "both" if side["outer"] else "inner"
    return "outer" if side["outer"] else "none"


def _turned(degrees: float) -> str:
    """How far an arm is turned, and which way."""
    if degrees == 0.0:
        return MOVES["none"]
    gaps = {"angle": figures.angle(abs(degrees) * DEG)}
    return MOVES["degrees-down" if degrees > 0.0 else "degrees-up"] % gaps


def _comes_of(search: Search, option: dict) -> dict:
    """What comes of an option, by side: the target's own figure, or the change where a height was not read."""
    units = search.case.units
    if search.aim.angles is not None:
        return {side: figures.angle(option[side]["hanging_deg"] * DEG) for side in SIDES}
    mark = search.aim.wish.measured.replace("-", "_") + "_mm"
    out = {}
    if option["left"][mark] is not None and option["right"][mark] is not None:
        for side in SIDES:
            out[side] = figures.length(option[side][mark]["value"] * MM, units)
        return out
    for side in SIDES:
        rise = option[side]["rise_mm"]["value"]
        by = figures.length(abs(rise) * MM, units)
        out[side] = by
        if by == figures.length(0.0, units):
            out[side] = MOVES["none"]
        else:
            out[side] = MOVES["up" if rise > 0.0 else "down"] % {"by": by}
    return out


def _said(code: str, name: str, **gaps: object) -> dict:
    return {"code": code, "words": HEADLINES[name] % gaps}


def _forbidden(option: dict, units: str) -> dict:
    """What forbids it, and what would lift that: other bars, or another target."""
    stops = [o for o in option["obstacles"] if o["given"]]
    worst = stops[0]
    for stop in stops:
        further = (stop["by_mm"] or 0.0) > (worst["by_mm"] or 0.0)
        # Degrees beyond all reach have no millimetres to be told by.
        if further or (stop["what"] == "reach" and worst["by_mm"] is None):
            worst = stop
    by = ""
    if worst["by_mm"] is not None:
        # Up to a whole millimetre: a target moved by less would still be forbidden.
        whole = math.ceil(worst["by_mm"]) if worst["what"] in ("droop", "bump") else worst["by_mm"]
        by = figures.length(whole * MM, units)
    elif worst["by_deg"] is not None:
        by = figures.angle(worst["by_deg"] * DEG)
    elif worst["by_mpa"] is not None:
        by = figures.stress(worst["by_mpa"] * 1e6, units)
    if worst["what"] == "reach":
        return _said("out-of-reach", "out-of-reach", by=by)
    return _said("forbidden", FORBIDDEN[worst["what"]], by=by, side=worst["side"])


def _first(entered: Case, doubt: dict) -> dict:
    """What is to be looked at before anything is turned: the reading or the move of the loudest doubt."""
    pair = entered.pair
    for reading in entered.readings + ([] if pair is None else pair.readings):
        if reading.index == doubt["log_index"]:
            words = READINGS[(reading.kind, SIDES[reading.side])]
            if reading.axle != entered.car.sprung:
                words = "%s at the %s" % (words, reading.axle)
            return _said("read-first", "read-first", reading=words)
    doubted = [t for t in entered.moves if entered.moves[t][0] == doubt["log_index"]]
    if doubt["guess"] in GUESSES:
        return _said("read-first", "read-first-turns", teardown=doubted[0])
    return _said("read-first", "read-first-move", teardown=doubted[0])


def _degrees(option: dict, held: bool) -> dict:
    """Arms to be turned before their teeth are counted."""
    turn = [option[side]["turn_deg"] for side in SIDES]
    gaps = {"left": _turned(turn[0]), "right": _turned(turn[1])}
    if held:
        return _said("turn-degrees", "turn-degrees-held", **gaps)
    if not turn[0] or not turn[1]:
        name = "turn-degrees-left" if turn[0] else "turn-degrees-right"
        return _said("turn-degrees", name, **gaps)
    if (turn[0] > 0.0) == (turn[1] > 0.0):
        # The same way: it is said once.
        gaps["right"] = figures.angle(abs(turn[1]) * DEG)
    return _said("turn-degrees", "turn-degrees", **gaps)


def _wound(turns: float, kind: str) -> str:
    """How far an adjuster is turned, and which way."""
    if not turns:
        return MOVES["none"]
    return MOVES["raise" if turns > 0.0 else "lower"] % {"turns": figures.turns_text(abs(turns), kind)}


def _adjusted(search: Search, option: dict, hopeless: bool) -> dict:
    """Adjusters to be turned, alone or beside teeth."""
    kind = search.case.car.adjuster.kind
    gaps = {side: _wound(option[side]["turns"], kind) for side in SIDES}
    gaps["what"] = NOUNS[kind][1]
    if option["ends_disturbed"]:
        gaps["where"] = WHERE["%s-%s" % (_ends(option["left"]), _ends(option["right"]))]
        return _said("turn", "adjust-teeth", **gaps)
    name = "adjust-shared" if search.case.car.adjuster.shared else "adjust"
    return _said("turn", name + "-short" if hopeless else name, **gaps)


def headline(
    search: Search, choice: Choice, *, entered: Case, doubts: list, pounds: bool, withheld: bool
) -> dict:
    """Code and words.

    Parameters
    ----------
    search : Lattice or Degrees
    choice : its options
    entered : the log as it was entered, which the doubts are about
    doubts : readings that disagree, loudest first
    pounds : whether the loads given look like pounds
    withheld : whether any of that changes the plan
    """
    units = search.case.units
    option = choice.options[0]
    if withheld:
        return _said("read-first", "read-first-loads") if pounds else _first(entered, doubts[0])
    held = [end for side in search.case.car.held for end in side if end]
    turns = choice.first.turns
    if choice.first.still():
        if choice.as_wished and search.estimate.shift:
            there = REAR if search.case.car.sprung == FRONT else FRONT
            return _said("as-wished", "as-wished-then", axle=there)
        if choice.as_wished:
            return _said("as-wished", "as-wished")
        if search.case.car.adjuster.there:
            return _said("out-of-reach", "adjusted-out")
        return _said("out-of-reach", "held" if len(held) == 4 else "nothing-better")
    if not option["stopped_by"] and option["odds"] < HOPELESS:
        # A way that no limit forbids but that cannot land says less than the limit that stops the one that would.
        for other in choice.options:
            if other["stopped_by"] and other["odds"] >= HOPELESS:
                option = other
                break
    if option["stopped_by"]:
        return _forbidden(option, units)
    hopeless = option["odds"] < HOPELESS
    if turns is not None:
        return _adjusted(search, option, hopeless)
    if option["left"]["inner"] is None:
        return _degrees(option, bool(held) and hopeless)
    where = WHERE["%s-%s" % (_ends(option["left"]), _ends(option["right"]))]
    if hopeless and held:
        return _said("turn", "turn-held", where=where)
    if hopeless:
        jump = abs(option["mm_per_deg"]) * search.fine / DEG * MM
        angles = search.aim.angles is not None
        # Half a step that is within the tolerance is not what it fails by.
        if 0.5 * (search.fine if angles else jump) > search.aim.tolerance:
            step = figures.angle(search.fine) if angles else figures.length(jump, units)
            return _said("turn", "turn-coarse", where=where, step=step)
    return _said("turn", "turn", where=where, **_comes_of(search, option))
