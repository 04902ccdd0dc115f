"""Rows of a sheet: one for each reading and move that still holds, and what a person must settle about them."""

from .heads import alike, heads, spared
from .kinds import SIDES

__all__ = ["by_teardown", "corrected", "moves", "row_of", "rules", "teardown_of", "turned"]


def row_of(entry: dict) -> dict:
    """An entry's body with id, at and device beside it; they win over fields of that name in the body."""
    out = {}
    for name in entry["body"]:
        out[name] = entry["body"][name]
    for name in ("id", "at", "device"):
        out[name] = entry.get(name)
    return out


def teardown_of(row: dict) -> int:
    """The number of the teardown that a row speaks of, 0 for as found."""
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


def corrected(of_kind: list, ruled: dict, sheet: dict, kind: str) -> list:
    """One row per chain of corrections that still holds; says where corrections or strikes stand side by side."""
    rows = []
    gone = ruled["chains"]
    present = {}
    for e in of_kind:
        present[e["id"]] = True
    for group in heads(of_kind, gone, ruled["said"], ruled["strikes"], ruled["place"]):
        for name in group["members"]:
            if group["root"] not in present and name not in gone:
                sheet["waiting"].append({"id": name, "for": group["root"]})
        found = group["heads"]
        if group["contested"]:
            _conflict(
                sheet,
                ruled["said"],
                {
                    "about": "strike",
                    "kind": kind,
                    "teardown": teardown_of(row_of(group["contested"][-1])),
                    "entries": group["against"] + [e["id"] for e in group["contested"]],
                    "used": found[-1]["id"] if found else group["against"][0],
                },
                "this %s was both removed and corrected; choose one" % kind,
            )
        if not found:
            continue
        row = row_of(found[-1])
        row["root"] = group["root"]
        row["corrected"] = [name for name in group["members"] if name != row["id"]]
        row["unsettled"] = group["contested"] != []
        differing = [e for e in found if not alike(e, found[-1])]
        if differing:
            row["unsettled"] = True
            _conflict(
                sheet,
                ruled["said"],
                {
                    "about": "correction",
                    "kind": kind,
                    "teardown": teardown_of(row),
                    "entries": [e["id"] for e in found],
                    "used": row["id"],
                },
                "this %s was corrected in two ways; choose one" % kind,
            )
        rows.append(row)
    return rows


def moves(rows: list, ruled: dict, sheet: dict) -> list:
    """One row per teardown, ascending; says where two moves bear the same number and differ."""
    by_number: dict = {}
    for row in rows:
        number = teardown_of(row)
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
                ruled["said"],
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


def rules(entries: list, gone: dict, said: dict) -> dict:
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


def by_teardown(rows: list) -> list:
    """Rows by teardown; within one in the order they had."""
    keyed = [(teardown_of(rows[i]), i) for i in range(len(rows))]
    return [rows[key[1]] for key in sorted(keyed)]
