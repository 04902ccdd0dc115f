"""What was entered on a device that went by something which a person did not choose in the end.

Two devices say different things of a teardown's teeth, of the bar or of the target, each not knowing of the other,
and a person picks one. What the other device entered until then may speak of another car than the one that was
picked: a height read after three teeth is none of a car turned by four. So each such reading is a question, until
somebody says that it holds (a note with ``checked``), corrects or removes it. Nothing is left out of the fit
meanwhile: the reading may well be right.

- Teeth turned: the readings of that teardown and of later ones.
- A fact of the bar (size, teeth): all its readings, for it may have had another bar before it.
- The target: readings that tell whether it is met, and only where the two are met by another kind of reading or
  with another load in the car. A height stays a height, whatever it was to become.

"Until then" is the order of the entries: what the device entered after the choice in that order is taken to know
of it. Runs on the phone as well.
"""

from .aim import ballast, judged_by
from .kinds import work_name
from .order import in_order
from .question import said_by
from .rows import done, same_done, teardown_of, turned
from .ruling import Ruling

__all__ = ["unsure"]

MOST = 20
"""Latest choices that are looked at: a job has a few, and none must make the fold slow."""


def _answered(notes: list) -> dict:
    """Ids, as keys, of what somebody has looked at since and found right."""
    out = {}
    for note in notes:
        if isinstance(note.get("checked"), str) and isinstance(note.get("about"), str):
            out[note["about"]] = True
    return out


def _moves_lost(moves: list, ruling: Ruling) -> list:
    """Teeth that a person dropped for others, as ``Cards.choices``, with the ``teardown`` they speak of."""
    by_id = {}
    for e in moves:
        by_id[e["id"]] = e
    out = []
    for e in moves:
        if not ruling.said.dropped(e["id"]):
            continue
        settlement = ruling.said.drops[e["id"]][len(ruling.said.drops[e["id"]]) - 1]
        kept = by_id.get(settlement.keeps)
        if kept is None or kept.get("device") == e.get("device") or same_done(kept["body"], e["body"]):
            continue
        choice = {"kind": "move", "field": "", "pick": settlement.entry}
        choice["kept"] = said_by(kept, done(kept["body"]))
        choice["lost"] = [said_by(e, done(e["body"]))]
        choice["name"] = work_name(kept["body"], e["body"])
        choice["what"] = "turns" if turned(kept["body"]) == turned(e["body"]) else "teeth"
        choice["teardown"] = min(teardown_of(kept["body"]), teardown_of(e["body"]))
        out.append(choice)
    return out


def _rests(choice: dict, lost: dict, reading: dict) -> bool:
    """Whether a reading of the device that had it otherwise may speak of another car, or not of the target."""
    if choice["kind"] == "move":
        return teardown_of(reading) >= choice["teardown"]
    if choice["kind"] == "car":
        return choice["field"].startswith("bar.")
    kept = choice["kept"]["value"]
    other = lost["value"]
    if judged_by(kept) == judged_by(other) and ballast(kept) == ballast(other):
        return False
    return reading["what"] == judged_by(other)


_WORDS = {
    "move": "read while its device had other %s for %s %d than those chosen",
    "car": "read while its device had another %s than the one chosen",
    "target": "read for a target that is met otherwise than the one chosen",
}


def _text(choice: dict) -> str:
    if choice["kind"] == "move":
        return _WORDS["move"] % (choice["what"], choice["name"], choice["teardown"])
    if choice["kind"] == "car":
        return _WORDS["car"] % choice["field"]
    return _WORDS["target"]


def unsure(*, readings: list, moves: list, notes: list, choices: list, ruling: Ruling) -> list:
    """What is to be looked at again since something else was chosen.

    Parameters
    ----------
    readings, notes : rows of the sheet
    moves : entries
    choices : of the cards, as ``Cards.choices``

    Returns
    -------
    list of dict
        One for each choice and device that had it otherwise: ``choice`` (id of the entry that says it), kind
        (car, move, target), field, teardown, device, writer, ``kept`` and ``lost`` (what was chosen, what the
        device had), ``readings`` (ids) and text.
    """
    answered = _answered(notes)
    by_device: dict = {}
    for row in readings:
        if row["id"] not in answered:
            device = str(row["device"])
            if device not in by_device:
                by_device[device] = []
            by_device[device].append(row)
    all_of_them = _moves_lost(moves, ruling) + choices
    order = in_order([(ruling.place[all_of_them[i]["pick"]["id"]], i) for i in range(len(all_of_them))])
    out: list = []
    for until, i in order[max(0, len(order) - MOST) :]:
        choice = all_of_them[i]
        last = {}
        for lost in choice["lost"]:
            last[str(lost["device"])] = lost
        for device in in_order(list(last)):
            lost = last[device]
            since = 0 if choice["kind"] == "move" else ruling.place[lost["entry"]]
            found = []
            for row in by_device.get(device, []):
                if since <= ruling.place[row["id"]] < until and _rests(choice, lost, row):
                    found.append(row["id"])
            if found:
                out.append(_question(choice, lost, found))
    return out


def _question(choice: dict, lost: dict, found: list) -> dict:
    asked = {"choice": choice["pick"]["id"], "teardown": choice.get("teardown", 0), "readings": found}
    for name in ("kind", "field", "kept"):
        asked[name] = choice[name]
    asked["lost"] = lost
    asked["device"] = lost["device"]
    asked["writer"] = lost["writer"]
    asked["text"] = _text(choice)
    return asked
