"""Rows of a sheet: one for each reading and move that still holds, and what a person must settle about them.

Owns the shape of rows and of questions. Runs on the phone as well.
"""

from bothends.model.teeth import POSITIONS

from .chains import Chain, Link, chains, corrections
from .kinds import SIDES, own_axle, work_name
from .order import canonical, in_order
from .question import question, said_by
from .ruling import Ruling
from .settlements import Said
from .unaware import Unaware, unaware
from .writers import writer_of

__all__ = [
    "Rows",
    "by_teardown",
    "corrected",
    "done",
    "one_a_teardown",
    "row_of",
    "same_done",
    "same_turns",
    "teardown_of",
    "turned",
    "turns",
]

LINKS = ("corrects", "plan", "why", "method")
"""Fields that say where an entry comes from rather than what it says."""


class Rows:
    """What the entries of a kind come to, each in order.

    ``rows``; ``conflicts``, what a person must settle about them; ``waiting``, {id, for} of corrections whose
    other end has not arrived.
    """

    def __init__(self) -> None:
        self.rows: list = []
        self.conflicts: list = []
        self.waiting: list = []


def row_of(entry: dict) -> dict:
    """An entry's body with id, at, device and writer beside it; they win over fields of that name in the body.

    >>> row = row_of({"id": "r", "at": "2026", "body": {"value": 214.0, "id": "no"}})
    >>> row["id"], row["at"], row["device"], row["value"]
    ('r', '2026', None, 214.0)
    """
    out = {}
    for name in entry["body"]:
        out[name] = entry["body"][name]
    for name in ("id", "at", "device"):
        out[name] = entry.get(name)
    out["writer"] = writer_of(entry)
    return out


def teardown_of(row: dict) -> int:
    """The number of the teardown that a row speaks of, 0 for as found."""
    return row.get("teardown") or 0


def turned(row: dict) -> tuple:
    """Teeth of a move or of a plan in teeth: left inner, left outer, right inner, right outer.

    >>> turned({"left": {"inner": -3, "outer": 4}})
    (-3, 4, 0, 0)
    """
    return tuple([(row.get(side) or {}).get(end) or 0 for side in SIDES for end in ("inner", "outer")])


def turns(row: dict) -> tuple:
    """Turns of the adjusters of a move or of a plan, left and right, raising positive.

    >>> turns({"left": {"turns": 2.25}})
    (2.25, 0.0)
    """
    return tuple([(row.get(side) or {}).get("turns") or 0.0 for side in SIDES])


def done(row: dict) -> list:
    """All that a move turned, or a plan turns: the teeth as ``turned``, then the turns of both adjusters."""
    return list(turned(row) + turns(row))


def same_done(one: dict, other: dict) -> bool:
    """Whether two say that the same was turned. Turns are made to a position, and typed as near as one likes.

    >>> same_done({"left": {"turns": 2.08}}, {"left": {"turns": 2.0833333}}), same_done({"left": {"turns": 2}}, {})
    (True, False)
    """
    return turned(one) == turned(other) and same_turns(one, other)


def same_turns(one: dict, other: dict) -> bool:
    """Whether two say the same turns of the adjusters, to a position."""
    return _positions(one) == _positions(other)


def _positions(row: dict) -> list:
    return [round(value * POSITIONS) for value in turns(row)]


def by_teardown(rows: list) -> list:
    """Rows by teardown; within one in the order they had."""
    return [rows[key[1]] for key in in_order([(teardown_of(rows[i]), i) for i in range(len(rows))])]


def _content(entry: dict) -> str:
    """What an entry says, wherever it comes from, as a text that entries share which say the same.

    >>> _content({"body": {"value": 1.0, "why": "typed twice"}}) == _content({"body": {"value": 1}})
    True
    """
    body = {}
    for name in entry["body"]:
        if name not in LINKS:
            body[name] = entry["body"][name]
    return canonical(body)


def _said_by_links(links: list) -> list:
    """What each of these says: a reading its figure, a move what was turned."""
    return [said_by(link.entry, _figure(link.entry["body"])) for link in links]


def _said_by_row(row: dict) -> dict:
    out = {"entry": row["id"], "value": _figure(row)}
    for name in ("at", "device", "writer"):
        out[name] = row[name]
    return out


def _figure(said: dict) -> object:
    """The figure of a reading; of a move what was turned, as ``done``.

    >>> _figure({"what": "body-height", "value": 214.0}), _figure({"left": {"inner": -3}})
    (214.0, [-3, 0, 0, 0, 0.0, 0.0])
    """
    return said["value"] if "what" in said else done(said)


def _struck_and_corrected(chain: Chain, apart: Unaware, kind: str, said: Said) -> dict:
    """The question where some struck what others corrected, neither knowing of the other."""
    holding = _last(chain.heads)
    latest = apart.heads[len(apart.heads) - 1]
    return question(
        said,
        about="strike",
        kind=kind,
        teardown=teardown_of(latest.entry["body"]),
        values=[said_by(s.entry, None) for s in apart.strikes] + _said_by_links(apart.heads),
        used=apart.strikes[0].id if holding is None else holding.id,
        text="this %s was both removed and corrected; choose one" % kind,
    )


def _corrected_in_two_ways(chain: Chain, used: Link, kind: str, said: Said) -> dict:
    """The question where corrections that differ stand side by side."""
    return question(
        said,
        about="correction",
        kind=kind,
        teardown=teardown_of(used.entry["body"]),
        values=_said_by_links(chain.heads),
        used=used.id,
        text="this %s was corrected in two ways; choose one" % kind,
    )


def _last(links: list) -> Link | None:
    """The last of some links, which is the one that is used; None where there is none."""
    return links[len(links) - 1] if links else None


def _differ(links: list) -> bool:
    """Whether some of these entries say another thing than the others."""
    if len(links) < 2:
        return False
    first = _content(links[0].entry)
    return any(_content(link.entry) != first for link in links)


def _row(chain: Chain, used: Link, unsettled: bool) -> dict:
    """The row of a chain, as its last head says it."""
    row = row_of(used.entry)
    row["root"] = chain.root
    row["corrected"] = [link.id for link in chain.links if link.id != used.id]
    row["unsettled"] = unsettled
    return row


def corrected(entries: list, ruling: Ruling, kind: str) -> Rows:
    """One row per chain of corrections that still holds; says where corrections or strikes stand side by
    side.

    Parameters
    ----------
    entries : list of dict
        Of one kind, struck ones included, in order.
    ruling : Ruling
    kind : str
        "reading" or "move".
    """
    links = [Link(e, ruling.place[e["id"]]) for e in entries]
    corrects = corrections(links)
    out = Rows()
    for chain in chains(links, ruling):
        if chain.root not in corrects:
            for link in chain.links:
                if link.id not in ruling.struck_links:
                    out.waiting.append({"id": link.id, "for": chain.root})
        apart = unaware(chain, corrects, ruling.struck_links)
        if apart.heads:
            out.conflicts.append(_struck_and_corrected(chain, apart, kind, ruling.said))
        used = _last(chain.heads)
        if used is None:
            continue
        differ = _differ(chain.heads)
        if differ:
            out.conflicts.append(_corrected_in_two_ways(chain, used, kind, ruling.said))
        out.rows.append(_row(chain, used, differ or apart.heads != []))
    return out


def _twice(number: int, same: list) -> str:
    """What is asked of moves that bear one number.

    >>> _twice(1, [{"left": {"turns": 2.0}}, {"right": {"turns": 1.0}}])
    'adjustment 1 is entered twice and the turns differ; choose one'
    """
    teeth = [row for row in same if turned(row) != turned(same[0])] != []
    screws = [row for row in same if not same_turns(row, same[0])] != []
    axles = [row for row in same if row.get("axle") != same[0].get("axle")] != []
    what = "teeth and turns" if teeth and screws else "turns" if screws else "teeth"
    if axles and not teeth and not screws:
        what = "axles"
    return "%s %d is entered twice and the %s differ; choose one" % (work_name(*same), number, what)


def one_a_teardown(moves: list, said: Said, axle: str) -> Rows:
    """One row per teardown, ascending, the last move of each; says where moves bear the same number and
    differ.

    Parameters
    ----------
    moves : list
        Rows as from ``corrected``, in order. A row that is used says in ``also`` which others bear its
        number.
    axle : the one that the job is of; moves of either axle are numbered together
    """
    by_number: dict = {}
    for row in moves:
        number = teardown_of(row)
        if number not in by_number:
            by_number[number] = []
        by_number[number].append(row)
    out = Rows()
    for number in in_order(list(by_number)):
        same = by_number[number]
        used = dict(same[len(same) - 1])
        used["also"] = [row["id"] for row in same if row["id"] != used["id"]]
        here = own_axle(used, axle)
        differ = [row for row in same if not same_done(row, used) or own_axle(row, axle) != here] != []
        used["unsettled"] = used["unsettled"] or differ
        if used["unsettled"] and len(same) > 1:
            out.conflicts.append(
                question(
                    said,
                    about="teardown",
                    kind="move",
                    teardown=number,
                    values=[_said_by_row(row) for row in same],
                    used=used["id"],
                    text=_twice(number, same),
                )
            )
        out.rows.append(used)
    return out
