"""The sheet of a job: what its entries come to, a pure function of the set of entries.

Any order of arrival and any repetition gives the same sheet, on the phone, the shop PC and at home. Owns the
sheet's shape. Stores nothing, draws nothing, and never fails on an entry: what it cannot take into account is
listed on the sheet. Runs on the phone as well.
"""

from .aim import after_km, aimed, judged_by
from .heads import settled, struck
from .kinds import SIDES, puzzle
from .order import ordered, whole
from .rows import by_teardown, corrected, moves, row_of, rules, teardown_of

__all__ = ["fold", "merged"]

CARDS = ("car", "job", "known", "target")
STATES = ("measuring", "planned", "torn down", "checked", "closed")


def merged(into: dict, patch: dict) -> dict:
    """JSON merge patch (RFC 7396): a later card adds to what earlier ones said; null takes a value back."""
    out = {}
    for name in into:
        out[name] = into[name]
    for name in patch:
        value = patch[name]
        if value is None:
            out.pop(name, None)
        elif isinstance(value, dict):
            inner = out.get(name)
            out[name] = merged(inner if isinstance(inner, dict) else {}, value)
        else:
            out[name] = value
    return out


def _steps(entries: list) -> list:
    """The last tick of every step; by teardown, side and name."""
    last = {}
    for e in entries:
        body = e["body"]
        number = body.get("teardown")
        last[(number if whole(number) else 0, str(body.get("side") or ""), body["step"])] = row_of(e)
    return [last[key] for key in sorted(last)]


def _state(sheet: dict) -> str:
    """Where the job stands: one of STATES."""
    if sheet["closed"]:
        return "closed"
    done = sheet["teardowns"]
    if done:
        what = judged_by(sheet["target"])
        read = [
            r
            for r in sheet["readings"]
            if r["what"] == what
            and teardown_of(r) == sheet["moves"][-1]["teardown"]
            and after_km(r) is None
            and not (what == "hub-to-body" and (r.get("pose") or {}).get("hanging"))
        ]
        if not [side for side in SIDES if not [r for r in read if r["side"] == side]]:
            if not [p for p in sheet["plans"] if p["teardown"] > sheet["moves"][-1]["teardown"]]:
                return "checked"
            return "planned"
        return "torn down"
    return "planned" if sheet["plans"] else "measuring"


def _understood(rows: list, sheet: dict) -> list:
    """Entries that this version can take into account; the others are listed on the sheet."""
    out = []
    for e in rows:
        text = puzzle(e)
        if text:
            sheet["puzzles"].append({"id": e["id"], "kind": str(e.get("kind")), "text": text})
        else:
            out.append(e)
    return out


def _take_cards(live: dict, sheet: dict) -> None:
    """Put the cards on the sheet, each as its entries by kind come to, and the words of the job's own."""
    cards: dict = {}
    for kind in CARDS:
        cards[kind] = {}
        for e in live.get(kind, []):
            said = e["body"]
            if kind == "target":
                cards[kind] = merged(aimed(cards[kind], said), said)
            else:
                cards[kind] = merged(cards[kind], said)
    sheet["about"] = cards["job"]
    for name, field in (("title", "title"), ("owner", "owner"), ("wish", "wish"), ("car_name", "car")):
        said = cards["job"].get(field)
        sheet[name] = said if isinstance(said, str) else ""
    for kind in ("car", "target", "known"):
        sheet[kind] = cards[kind]


def fold(job: str, entries: list) -> dict:
    """The sheet of one job.

    Parameters
    ----------
    job : str
        The job's id; entries of other jobs are left out.
    entries : list of dict
        In any order, repeated or not.

    Returns
    -------
    dict
        job, title, owner, wish, car_name : str ("" where nobody has said);
        about, car, target, known : dict, the cards as merged (a target that says a form begins anew);
        readings, moves, plans, notes, steps : rows, each the entry's body with id, at and device; readings
        and moves also with root (the first entry of the chain, the one to strike), corrected (ids behind
        it) and unsettled; a move also with also (ids of other moves that bear its number); teardowns : int,
        how many moves; state : measuring, planned, torn down, checked or closed; closed : the closing row
        or None; conflicts : what a person must settle: about (correction, teardown, strike), kind, teardown,
        entries, used, text, settlements (those that speak of these entries; a new one names them in
        replaces) and contradicted; settlements : rows of those not struck; struck : rows taken out, with
        kind and by (ids of the strikes); waiting : {id, for}, entries whose other end has not arrived;
        puzzles : {id, kind, text}, what this version cannot take into account; clocks :
        {id, device, text}, where a device's clock went back; entries : int.
    """
    rows, clocks = ordered([e for e in entries if isinstance(e, dict) and e.get("job") == job])
    sheet = {
        "job": job,
        "conflicts": [],
        "struck": [],
        "waiting": [],
        "puzzles": [],
        "clocks": clocks,
        "entries": len(rows),
    }
    understood = _understood(rows, sheet)
    present = {}
    for e in rows:
        present[e["id"]] = True
    gone = struck(understood)
    settlements = [e for e in understood if e["kind"] == "settle" and e["id"] not in gone]
    ruled = rules(understood, gone, settled(settlements))
    gone = ruled["gone"]
    live: dict = {}
    every: dict = {}
    for e in understood:
        kind = e["kind"]
        if kind not in every:
            every[kind] = []
            live[kind] = []
        every[kind].append(e)
        if e["id"] not in gone:
            live[kind].append(e)
        else:
            row = row_of(e)
            row["kind"] = kind
            row["by"] = gone[e["id"]]
            sheet["struck"].append(row)
        if kind == "strike" and e["body"]["entry"] not in present:
            sheet["waiting"].append({"id": e["id"], "for": e["body"]["entry"]})
    _take_cards(live, sheet)
    readings = corrected(every.get("reading", []), ruled, sheet, "reading")
    sheet["readings"] = by_teardown(readings)
    sheet["moves"] = moves(corrected(every.get("move", []), ruled, sheet, "move"), ruled, sheet)
    sheet["settlements"] = [row_of(e) for e in settlements]
    sheet["plans"] = by_teardown([row_of(e) for e in live.get("plan", [])])
    sheet["notes"] = [row_of(e) for e in live.get("note", [])]
    sheet["steps"] = _steps(live.get("step", []))
    sheet["teardowns"] = len(sheet["moves"])
    closing = live.get("close", [])
    sheet["closed"] = row_of(closing[-1]) if closing else None
    sheet["state"] = _state(sheet)
    return sheet
