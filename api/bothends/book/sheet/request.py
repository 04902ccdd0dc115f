"""From a sheet to the solve request, and back from a place in the request's log to its entry.

Owns which of the sheet's facts the solver gets. Does not check bounds: the model does, and names the field; a
path such as ``$.log[3].value`` leads back to an entry by ``entry_at``. Runs on the phone as well.
"""

from bothends.model import fields

from .aim import form
from .kinds import SIDES, SUPPORTS
from .rows import by_teardown, turned, turns

__all__ = ["entry_at", "request", "with_entries"]

# A field the solver does not know would be refused by the server; what a newer phone added stays in the book.
READING = ("value", "sd") + fields.names("log") + fields.told("log")
POSE = SUPPORTS + fields.told("log.pose")


def _picked(source: dict, names: tuple) -> dict:
    out = {}
    for name in names:
        if source.get(name) is not None:
            out[name] = source[name]
    return out


def _part(source: dict, path: str) -> dict:
    """What a solve request has of a part of the car, with parts of its own."""
    out = _picked(source, fields.names(path) + fields.told(path))
    for name in fields.parts(path):
        if isinstance(source.get(name), dict):
            inner = _part(source[name], path + "." + name)
            if inner:
                out[name] = inner
    return out


def _car(sheet: dict) -> dict:
    out = _part(sheet["car"], "car")
    if len(out.get("load_kg", {})) == 1:
        # One wheel weighed: the best guess for the other is the same.
        loads = out["load_kg"]
        one = loads.get("left", loads.get("right"))
        out["load_kg"] = {"left": one, "right": one}
    if isinstance(sheet["car"].get("other"), dict):
        # Nothing said of that axle is enough for its readings to count.
        out.setdefault("other", {})
    known = sheet["known"]
    if known.get("use", True) and isinstance(known.get("posterior"), dict):
        out["known"] = known["posterior"]
    return out


def _target(card: dict, both: bool) -> dict:
    """The target in its own form: a tolerance that only another form has stays on the card alone.

    What is wanted of the other axle goes along where the car says of that axle (``both``), and only beside a form
    that can be planned with it.
    """
    said = fields.form(form(card))
    out = _picked(card, ("as",) + said.needs + said.may)
    there = card.get("other")
    forms = {each.name: each for each in fields.OTHER_FORMS}
    if not both or said.name not in forms or not isinstance(there, dict) or not there:
        return out
    wanted = forms[form(there)]
    out["other"] = _picked(there, ("as",) + wanted.needs + wanted.may)
    return out


def _moves(sheet: dict) -> list:
    """Moves of either axle, which are numbered together."""
    return by_teardown(sheet["moves"] + sheet["other"]["moves"])


def _stops(sheet: dict) -> list:
    """What a person must do before a plan can be trusted: {code, text, entries}."""
    out = []
    for conflict in sheet["conflicts"]:
        if conflict["kind"] == "move":
            out.append({"code": "unsettled-move", "text": conflict["text"], "entries": conflict["entries"]})
    number = 0
    for move in _moves(sheet):
        number += 1
        if move["teardown"] != number:
            out.append(
                {
                    "code": "missing-move",
                    "text": "teardown %d is here, %d is not; enter it, or wait for the phone that has it"
                    % (move["teardown"], number),
                    "entries": [move["id"]],
                }
            )
            break
    every = sheet["readings"] + sheet["other"]["readings"]
    ahead = [r["id"] for r in every if (r.get("teardown") or 0) > number]
    if ahead and not out:
        out.append(
            {
                "code": "missing-move",
                "text": "readings follow a teardown that is not here; enter it, or wait for the other phone",
                "entries": ahead,
            }
        )
    if not sheet["target"]:
        out.append({"code": "missing-target", "text": "the job has no target yet; enter it", "entries": []})
    return out


def request(sheet: dict) -> dict:
    """The solve request of a sheet.

    Parameters
    ----------
    sheet : dict
        As from ``fold.fold``.

    Returns
    -------
    dict
        request : dict, a solve request (``model.request``); ids : the entry at each place of its log; stops :
        what has to be settled or entered first, {code, text, entries} each, empty when a plan can be made.
    """
    log = []
    ids = []
    for reading in sheet["readings"] + sheet["other"]["readings"]:
        item = _picked(reading, READING)
        item["kind"] = "reading"
        if isinstance(reading.get("pose"), dict):
            pose = _picked(reading["pose"], POSE)
            if pose:
                item["pose"] = pose
        log.append(item)
        ids.append(reading["id"])
    for move in _moves(sheet):
        log.append(_move(move))
        ids.append(move["id"])
    car = _car(sheet)
    return {
        "request": {"car": car, "target": _target(sheet["target"], "other" in car), "log": log},
        "ids": ids,
        "stops": _stops(sheet),
    }


def _move(move: dict) -> dict:
    """A move as the solver has it; turns only of a side that has some, for one adjuster may serve both."""
    teeth = turned(move)
    screws = turns(move)
    out = {"kind": "move", "teardown": move["teardown"]}
    if move.get("axle") is not None:
        out["axle"] = move["axle"]
    for i in range(2):
        ends = {"inner": teeth[2 * i], "outer": teeth[2 * i + 1]}
        if screws[i]:
            ends["turns"] = screws[i]
        out[SIDES[i]] = ends
    return out


def entry_at(path: str, ids: list) -> str | None:
    """The entry that a problem's path is about, or None where it is not about the log.

    >>> entry_at("$.log[1].value", ["a", "b"])
    'b'
    """
    if not path.startswith("$.log["):
        return None
    digits = path[6:].split("]")[0]
    if not digits.isdigit() or int(digits) >= len(ids):
        return None
    return ids[int(digits)]


def with_entries(answer: dict, ids: list) -> dict:
    """The answer with each doubt naming its entry (field ``entry``), so that it can be shown there."""
    out = dict(answer)
    doubts = []
    for doubt in answer.get("doubts", []):
        named = dict(doubt)
        index = doubt.get("log_index")
        named["entry"] = ids[index] if isinstance(index, int) and 0 <= index < len(ids) else None
        doubts.append(named)
    out["doubts"] = doubts
    return out
