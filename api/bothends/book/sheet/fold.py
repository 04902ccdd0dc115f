"""The sheet of a job: what its entries come to, a pure function of the set of entries.

Any order of arrival and any repetition gives the same sheet, on the phone, the shop PC and at home. Owns the
sheet's shape. Stores nothing, draws nothing, and never fails on an entry: what it cannot take into account is
listed on the sheet. Runs on the phone as well.
"""

from .aim import after_km, aimed, judged_by
from .heads import alike, heads, settled, spared, struck
from .kinds import SIDES, puzzle
from .order import ordered, whole

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


def _row(entry: dict) -> dict:
    """An entry's body with id, at and device beside it; they win over fields of that name in the body."""
    out = {}
    for name in entry["body"]:
        out[name] = entry["body"][name]
    for name in ("id", "at", "device"):
        out[name] = entry.get(name)
    return out


def _teardown(row: dict) -> int:
    return row.get("teardown") or 0


def _conflict(sheet: dict, said: dict, found: dict, text: str) -> None:
    """Put a question on the sheet, with the settlements that speak of it and whether they contradict."""
    spoken: dict = {}
    found["contradicted"] = False
    for name in found["entries"]:
        for s in said["keeps"].get(name, []) + said["drops"].get(name, []):
            spoken[s] = True
        if name in said["keeps"] and name in said["drops"]:
            found["contradicted"] = True
    found["settlements"] = sorted(spoken)
    found["text"] = text + ("; it was resolved in two ways" if found["contradicted"] else "")
    sheet["conflicts"].append(found)


def _corrected(of_kind: list, rules: dict, sheet: dict, kind: str) -> list:
    """One row per chain of corrections that still holds; says where corrections or strikes stand side by side."""
    rows = []
    gone = rules["chains"]
    present = {}
    for e in of_kind:
        present[e["id"]] = True
    for group in heads(of_kind, gone, rules["said"], rules["strikes"], rules["place"]):
        for name in group["members"]:
            if group["root"] not in present and name not in gone:
                sheet["waiting"].append({"id": name, "for": group["root"]})
        found = group["heads"]
        if group["contested"]:
            _conflict(
                sheet,
                rules["said"],
                {
                    "about": "strike",
                    "kind": kind,
                    "teardown": _teardown(_row(group["contested"][-1])),
                    "entries": group["against"] + [e["id"] for e in group["contested"]],
                    "used": found[-1]["id"] if found else group["against"][0],
                },
                "this %s was both removed and corrected; choose one" % kind,
            )
        if not found:
            continue
        row = _row(found[-1])
        row["root"] = group["root"]
        row["corrected"] = [name for name in group["members"] if name != row["id"]]
        row["unsettled"] = group["contested"] != []
        differing = [e for e in found if not alike(e, found[-1])]
        if differing:
            row["unsettled"] = True
            _conflict(
                sheet,
                rules["said"],
                {
                    "about": "correction",
                    "kind": kind,
                    "teardown": _teardown(row),
                    "entries": [e["id"] for e in found],
                    "used": row["id"],
                },
                "this %s was corrected in two ways; choose one" % kind,
            )
        rows.append(row)
    return rows


def _moves(rows: list, rules: dict, sheet: dict) -> list:
    """One row per teardown, ascending; says where two moves bear the same number and differ."""
    by_number: dict = {}
    for row in rows:
        number = _teardown(row)
        if number not in by_number:
            by_number[number] = []
        by_number[number].append(row)
    out = []
    for number in sorted(by_number):
        same = by_number[number]
        row = same[-1]
        row["also"] = [other["id"] for other in same[:-1]]
        for other in same:
            if turned(other) != turned(row):
                row["unsettled"] = True
        if row["unsettled"] and len(same) > 1:
            _conflict(
                sheet,
                rules["said"],
                {
                    "about": "teardown",
                    "kind": "move",
                    "teardown": number,
                    "entries": [other["id"] for other in same],
                    "used": row["id"],
                },
                "teardown %d is entered twice and the teeth differ; choose one" % number,
            )
        out.append(row)
    return out


def turned(row: dict) -> tuple:
    """Teeth of a move or of a plan in teeth: left inner, left outer, right inner, right outer."""
    return tuple([(row.get(side) or {}).get(end) or 0 for side in SIDES for end in ("inner", "outer")])


def _steps(entries: list) -> list:
    """The last tick of every step; by teardown, side and name."""
    last = {}
    for e in entries:
        body = e["body"]
        number = body.get("teardown")
        last[(number if whole(number) else 0, str(body.get("side") or ""), body["step"])] = _row(e)
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
            and _teardown(r) == sheet["moves"][-1]["teardown"]
            and after_km(r) is None
            and not (what == "hub-to-body" and (r.get("pose") or {}).get("hanging"))
        ]
        if not [side for side in SIDES if not [r for r in read if r["side"] == side]]:
            if not [p for p in sheet["plans"] if p["teardown"] > sheet["moves"][-1]["teardown"]]:
                return "checked"
            return "planned"
        return "torn down"
    return "planned" if sheet["plans"] else "measuring"


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
    understood = []
    present = {}
    for e in rows:
        present[e["id"]] = True
        text = puzzle(e)
        if text:
            sheet["puzzles"].append({"id": e["id"], "kind": str(e.get("kind")), "text": text})
        else:
            understood.append(e)
    gone = struck(understood)
    settlements = [e for e in understood if e["kind"] == "settle" and e["id"] not in gone]
    rules = _rules(understood, gone, settled(settlements))
    gone = rules["gone"]
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
            row = _row(e)
            row["kind"] = kind
            row["by"] = gone[e["id"]]
            sheet["struck"].append(row)
        if kind == "strike" and e["body"]["entry"] not in present:
            sheet["waiting"].append({"id": e["id"], "for": e["body"]["entry"]})
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
    readings = _corrected(every.get("reading", []), rules, sheet, "reading")
    sheet["readings"] = _by_teardown(readings)
    sheet["moves"] = _moves(_corrected(every.get("move", []), rules, sheet, "move"), rules, sheet)
    sheet["settlements"] = [_row(e) for e in settlements]
    sheet["plans"] = _by_teardown([_row(e) for e in live.get("plan", [])])
    sheet["notes"] = [_row(e) for e in live.get("note", [])]
    sheet["steps"] = _steps(live.get("step", []))
    sheet["teardowns"] = len(sheet["moves"])
    closing = live.get("close", [])
    sheet["closed"] = _row(closing[-1]) if closing else None
    sheet["state"] = _state(sheet)
    return sheet


def _rules(entries: list, gone: dict, said: dict) -> dict:
    """What strikes and settlements come to, with what is needed to tell who knew of whom."""
    kinds = {}
    strikes = {}
    place = {}
    for i in range(len(entries)):
        e = entries[i]
        kinds[e["id"]] = e["kind"]
        place[e["id"]] = i
        if e["kind"] == "strike":
            strikes[e["id"]] = e
    return {
        "gone": spared(gone, kinds, said["dropped"]),
        # A correction may name anything, a settlement too: the root of a chain is spared whatever it is.
        "chains": spared(gone, {}, said["dropped"]),
        "said": said,
        "strikes": strikes,
        "place": place,
    }


def _by_teardown(rows: list) -> list:
    """Rows by teardown; within one in the order they had."""
    keyed = [(_teardown(rows[i]), i) for i in range(len(rows))]
    return [rows[key[1]] for key in sorted(keyed)]
