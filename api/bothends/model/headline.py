"""The answer in one sentence: the best attempt, and the one reason that matters.

The same words on screen, in print and on the command line. `code` is for programs: as-wished, turn, turn-degrees,
read-first, forbidden, out-of-reach.
"""

from . import figures
from .choose import Choice
from .lattice import HOPELESS, Search
from .sentences import HEADLINES, MOVES, TEST_NAMES
from .units import DEG, MM

__all__ = ["headline"]


def _teeth(count: int) -> str:
    if abs(count) == 1:
        return MOVES["tooth-down" if count > 0 else "tooth-up"]
    return MOVES["teeth-down" if count > 0 else "teeth-up"] % {"n": abs(count)}


def _turned(side: dict) -> str:
    """What one side is turned by, in words: teeth where they are counted, else degrees."""
    if side["inner"] is None:
        turn = side["turn_deg"]
        if turn == 0.0:
            return MOVES["degrees-none"]
        return MOVES["degrees-down" if turn > 0.0 else "degrees-up"] % {
            "angle": figures.angle(abs(turn) * DEG)
        }
    inner, outer = side["inner"], side["outer"]
    if not inner and not outer:
        return MOVES["none"]
    gaps = {"inner": _teeth(inner), "outer": _teeth(outer)}
    return MOVES["both" if inner and outer else "inner" if inner else "outer"] % gaps


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
    words = worst["words"]
    if worst["what"] == "reach":
        return _said("out-of-reach", "out-of-reach", words=words)
    if worst["what"] == "stress":
        return _said("forbidden", "forbidden-bars", words=words)
    if worst["what"] in ("droop", "bump") and worst["by_mm"]:
        name = "forbidden-lower" if worst["what"] == "droop" else "forbidden-higher"
        return _said("forbidden", name, words=words, by=figures.length(worst["by_mm"] * MM, units))
    return _said("forbidden", "forbidden", words=words)


def headline(search: Search, choice: Choice, advice: list, doubts: list, withheld: bool) -> dict:
    """Code and words.

    Parameters
    ----------
    search : Lattice or Degrees
    choice : its options
    advice : what to measure next, best first
    doubts : what is said of readings that disagree, loudest first
    withheld : whether they change the plan
    """
    units = search.case.units
    option = choice.options[0]
    if withheld:
        return _said("read-first", "read-first", doubt=doubts[0])
    odds = figures.odds(option["odds"])
    if option["ends_disturbed"] == 0:
        if choice.as_wished:
            return _said("as-wished", "as-wished", odds=odds)
        if not [end for side in search.case.car.held for end in side if not end]:
            return _said("out-of-reach", "held")
        return _said("out-of-reach", "nothing-better", odds=odds)
    if not option["stopped_by"] and option["odds"] < HOPELESS:
        # A way that no limit forbids but that cannot land says less than the limit that stops the one that would.
        for other in choice.options:
            if other["stopped_by"] and other["odds"] >= HOPELESS:
                option = other
                break
    if option["stopped_by"]:
        return _forbidden(option, units)
    code = "turn" if option["left"]["inner"] is not None else "turn-degrees"
    gaps = {"left": _turned(option["left"]), "right": _turned(option["right"]), "odds": odds}
    if option["odds"] < HOPELESS:
        held = [end for side in search.case.car.held for end in side if end]
        if held:
            return _said(code, code + "-held", **gaps)
        step = search.fine
        jump = abs(option["mm_per_deg"]) * step / DEG * MM
        # Half a step that is within the tolerance is not what it fails by.
        if code == "turn" and 0.5 * (jump if search.aim.angles is None else step) > search.aim.tolerance:
            said = figures.length(jump, units)
            return _said(code, "turn-coarse", step=figures.angle(step), jump=said, **gaps)
    for test in advice:
        if test["what"] in TEST_NAMES and test["odds_after"] is not None:
            after = figures.odds(test["odds_after"])
            return _said(code, code + "-test", test=TEST_NAMES[test["what"]], after=after, **gaps)
    return _said(code, code, **gaps)
