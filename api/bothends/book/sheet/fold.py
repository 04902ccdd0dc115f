"""The sheet of a job: what its entries come to, a pure function of the set of entries.

Any order of arrival and any repetition gives the same sheet, on the phone, the shop PC and at home. Owns the
sheet's shape. Stores nothing, draws nothing, and never fails on an entry: what it cannot take into account is
listed on the sheet. Runs on the phone as well.
"""

from bothends.model import fields

from .aim import Means, after_km, as_found, found_first, judged_by, resolved, verdict
from .cards import Cards
from .erased import alone, erasure_of
from .kinds import KINDS, SIDES, own_axle, puzzle, sprung, stands
from .order import in_order, ordered, whole
from .rows import by_teardown, corrected, one_a_teardown, row_of, teardown_of
from .ruling import Ruling
from .unsure import unsure
from .writers import name_rows, names

__all__ = ["fold"]

STATES = ("measuring", "planned", "torn down", "checked", "closed")


def _steps(entries: list) -> list:
    """The last tick of every step; by teardown, side and name."""
    last = {}
    for e in entries:
        body = e["body"]
        number = body.get("teardown")
        last[(number if whole(number) else 0, str(body.get("side") or ""), body["step"])] = row_of(e)
    return [last[key] for key in in_order(list(last))]


def _state(sheet: dict) -> str:
    """Where the job stands: one of STATES."""
    if sheet["closed"]:
        return "closed"
    moves = sheet["moves"] + sheet["other"]["moves"]
    if not moves:
        return "planned" if sheet["plans"] else "measuring"
    latest = max([move["teardown"] for move in moves])
    if not _read_after(sheet, latest):
        return "torn down"
    return "planned" if [p for p in sheet["plans"] if p["teardown"] > latest] else "checked"


def _read_after(sheet: dict, teardown: int) -> bool:
    """Whether both sides were read on hand-over day of a teardown, by what the target is judged by."""
    what = judged_by(sheet["target"])
    axle = sprung(sheet["car"])
    read = {}
    for r in sheet["readings"]:
        if r["what"] != what or teardown_of(r) != teardown or after_km(r) is not None:
            continue
        if not own_axle(r, axle):
            continue
        if what == "hanging-angle" or stands(r):
            read[r["side"]] = True
    return [side for side in SIDES if side not in read] == []


def _hit_there(sheet: dict) -> bool | None:
    """Whether the other axle as it stands meets what is wanted of it.

    By its heights read on hand-over day since the last move of either axle; None where nothing is wanted of it, or
    where that cannot be told.
    """
    wanted = sheet["target"].get("other")
    if not isinstance(wanted, dict) or not wanted:
        return None
    axle = fields.OF_CAR[1 - fields.OF_CAR.index(sprung(sheet["car"]))]
    readings = sheet["other"]["readings"]
    found = as_found(found_first(readings, axle), wanted)
    latest = [r for r in readings if teardown_of(r) == sheet["teardowns"] and after_km(r) is None]
    return verdict(Means(latest, axle), resolved(wanted, found), found)


class _Understood:
    """The entries that this version can take into account, in order, and by kind; the others in
    ``puzzles``."""

    def __init__(self, entries: list) -> None:
        self.entries: list = []
        self.puzzles: list = []
        self.by_kind: dict = {}
        for kind in KINDS:
            self.by_kind[kind] = []
        for e in entries:
            text = puzzle(e)
            if text:
                self.puzzles.append({"id": e["id"], "kind": str(e.get("kind")), "text": text})
            else:
                self.entries.append(e)
                self.by_kind[e["kind"]].append(e)


class _Apart:
    """Rows of readings and moves by the axle that they are of: ``own`` with loads of the other axle's wheels, which
    count for cross-weight, and ``other``; what is of the other axle while the car says nothing of it becomes a
    puzzle."""

    def __init__(self, rows: list, kind: str, car: dict, puzzles: list) -> None:
        self.own: list = []
        self.other: list = []
        axle = sprung(car)
        for row in rows:
            if own_axle(row, axle) or row.get("what") == "wheel-load":
                self.own.append(row)
            elif isinstance(car.get("other"), dict):
                self.other.append(row)
            else:
                text = "not used: %s of the %s axle in a job of the %s; only wheel loads are read there" % (
                    row.get("what", "move"),
                    row["axle"],
                    axle,
                )
                puzzles.append({"id": row["id"], "kind": kind, "text": text})


def _words(about: dict) -> dict:
    """The words of a job that lists show, "" where nobody has said."""
    out = {}
    for name, field in (("title", "title"), ("owner", "owner"), ("wish", "wish"), ("car_name", "car")):
        said = about.get(field)
        out[name] = said if isinstance(said, str) else ""
    return out


def _struck_rows(entries: list, ruling: Ruling) -> list:
    """A row for each entry that is taken out, with its kind and the ids of the strikes."""
    out = []
    for e in entries:
        if e["id"] in ruling.struck:
            row = row_of(e)
            row["kind"] = e["kind"]
            row["by"] = [strike.id for strike in ruling.struck[e["id"]]]
            out.append(row)
    return out


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
        readings, moves, plans, notes, photos, steps : rows, each the entry's body with id, at, device and
        writer (a name, "" where its device was asked and none was given, else None); readings and moves
        also with root (the first entry of the chain, the one to strike), corrected (ids behind it) and
        unsettled; a move also with also (ids of other moves that bear its number); teardowns : int,
        how many moves; state : measuring, planned, torn down, checked or closed; closed : the closing row
        or None; conflicts : what a person must settle: about (correction, teardown, strike, card), kind,
        field (of a card; "" for the whole), teardown, entries, values ({entry, value, at, device} of each),
        used, before_teardown (whether none may begin until then), text, settlements (those that speak of
        these entries; a new one names them in replaces) and contradicted; unsure : what was entered on a device
        that went by something else than what was chosen, as from ``unsure``; writers : by device, the first name
        given on it; settlements : rows of those not
        struck; struck : rows taken out, with kind and by (ids of the strikes); waiting : {id, for}, entries
        whose other end has not arrived; puzzles : {id, kind, text}, what this version cannot take into
        account; clocks : {id, device, text}, where a device's clock went back; erased : that the customer was
        erased, as from ``erasure_of``, or None; entries : int.
    """
    rows, clocks = ordered([e for e in entries if isinstance(e, dict) and e.get("job") == job])
    arrived = {}
    for e in rows:
        arrived[e["id"]] = True
    understood = _Understood(rows)
    ruling = Ruling(understood.entries)
    live: dict = {}
    for kind in KINDS:
        live[kind] = [e for e in understood.by_kind[kind] if e["id"] not in ruling.struck]
    readings = corrected(understood.by_kind["reading"], ruling, "reading")
    turns = corrected(understood.by_kind["move"], ruling, "move")
    cards = Cards(rows, live, ruling)
    car = cards.merged["car"]
    moves = one_a_teardown(turns.rows, ruling.said, sprung(car))
    turned = _Apart(moves.rows, "move", car, understood.puzzles)
    read = _Apart(by_teardown(readings.rows), "reading", car, understood.puzzles)
    early = [s for s in ruling.strikes_in_order if s.target not in arrived]
    sheet = {
        "job": job,
        "conflicts": readings.conflicts + turns.conflicts + moves.conflicts + cards.conflicts,
        "struck": _struck_rows(understood.entries, ruling),
        "waiting": [{"id": s.id, "for": s.target} for s in early] + readings.waiting + turns.waiting,
        "puzzles": understood.puzzles,
        "clocks": clocks,
        "erased": erasure_of(rows),
        "entries": len(rows),
        "about": cards.merged["job"],
        "readings": read.own,
        "moves": turned.own,
        "other": {"readings": read.other, "moves": turned.other, "hit": None},
        "settlements": [row_of(s.entry) for s in ruling.settlements],
        "plans": by_teardown([row_of(e) for e in live["plan"]]),
        "notes": [row_of(e) for e in live["note"]],
        "photos": [row_of(e) for e in live["photo"] if e.get("erased") is not True],
        "steps": _steps(live["step"]),
        "teardowns": len(turned.own) + len(turned.other),
        "closed": None,
    }
    for kind in ("car", "target", "known"):
        sheet[kind] = cards.merged[kind]
    if alone(rows) and sheet["about"].get("hidden") is None:
        # A job that is only known to have been erased is no job to look at, until its records come again.
        sheet["about"]["hidden"] = True
    sheet.update(_words(sheet["about"]))
    for e in live["close"]:
        sheet["closed"] = row_of(e)
    sheet["other"]["hit"] = _hit_there(sheet)
    sheet["state"] = _state(sheet)
    sheet["unsure"] = unsure(
        readings=read.own + read.other,
        moves=live["move"],
        notes=sheet["notes"],
        choices=cards.choices,
        ruling=ruling,
    )
    sheet["writers"] = names(rows)
    name_rows(sheet, sheet["writers"])
    return sheet
