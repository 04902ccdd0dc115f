"""The cards of a job: what is said of job, car, target and what is known, as it adds up, and what is in dispute.

Every entry of a card adds to what earlier ones said. Two that had not seen each other and say different things
of one field are a question for a person; a target is one field, the whole of it. Until somebody picks, the later
in the order holds. A later entry that says the field again and has seen both ends it, and so does a settlement.
Owns what is a field of which card. Who has seen whom is ``seen``'s business. Runs on the phone as well.
"""

from bothends.model import fields

from .aim import aimed
from .kinds import CARDS
from .order import canonical
from .question import question, said_by
from .ruling import Ruling
from .seen import chosen, heads, parents

__all__ = ["ABOUT", "TARGET", "TAUGHT", "Cards", "merged"]

ABOUT = (
    "by_name",
    "car",
    "car_id",
    "chassis",
    "hidden",
    "odometer",
    "other_than",
    "owner",
    "plate",
    "title",
    "wish",
)
"""Fields of a job's card; a test holds them to the entry's own."""
TAUGHT = ("at", "car", "job", "learned", "posterior")
"""What a car's last visit left: one field, for half of one visit and half of another are no car."""
TARGET = ("as",) + tuple([name for name in fields.names("target") + fields.told("target") if name != "as"])
OTHER = fields.names(fields.AIM) + fields.told(fields.AIM)
"""Fields of what a target wants of the other axle."""
WHOLE = ""
"""The field where the whole of a card is meant."""
COUNTED = ("bar.inner_teeth", "bar.outer_teeth")
"""Fields of a car that no teardown may begin without being agreed on."""


def merged(into: dict, patch: dict) -> dict:
    """JSON merge patch (RFC 7396): a later card adds to what earlier ones said; null takes a value back.

    >>> merged({"bar": {"length_mm": 600.0, "bore_mm": 8.0}}, {"bar": {"bore_mm": None}, "arm_mm": 415.0})
    {'bar': {'length_mm': 600.0}, 'arm_mm': 415.0}
    """
    return _patched(_owned(into), patch)


def _owned(card: dict) -> dict:
    """A copy with dicts of its own."""
    out = {}
    for name in card:
        out[name] = _owned(card[name]) if isinstance(card[name], dict) else card[name]
    return out


def _patched(card: dict, patch: dict) -> dict:
    """The card with a patch merged into it, in place: a job's thousandth card must not copy all before it.

    The card is the caller's own, with every dict in it; of the patch no dict is taken over.
    """
    for name in patch:
        value = patch[name]
        if value is None:
            card.pop(name, None)
        elif isinstance(value, dict):
            inner = card.get(name)
            card[name] = _patched(inner if isinstance(inner, dict) else {}, value)
        else:
            card[name] = value
    return card


def _said_of_car(body: dict) -> dict:
    """What an entry says of each field of a car; what takes a whole part back takes back each field of it.

    >>> said = _said_of_car({"arm_mm": 415.0, "load_kg": None, "bar": {"length_mm": 600.0, "colour": "red"}})
    >>> [(name, said[name]) for name in sorted(said)]
    [('arm_mm', 415.0), ('bar.length_mm', 600.0), ('load_kg.left', None), ('load_kg.right', None)]
    """
    out: dict = {}
    _said_of_part(body, "", out)
    return out


def _said_of_part(said: object, at: str, out: dict) -> None:
    """Put what is said of a part of the car and of its parts into ``out``; ``at`` is "" or its path and a dot."""
    path = "car." + at
    path = path[: len(path) - 1]
    for name in fields.names(path) + fields.told(path):
        if not isinstance(said, dict):
            out[at + name] = None
        elif name in said:
            out[at + name] = said[name]
    for part in fields.parts(path):
        if not isinstance(said, dict):
            _said_of_part(None, at + part + ".", out)
        elif part in said:
            _said_of_part(said[part], at + part + ".", out)


def _said(kind: str, body: dict) -> dict:
    """What an entry says of each field of its card: {field: value}. What a newer version added is not compared."""
    if kind == "target":
        return {WHOLE: None}
    if kind == "car":
        return _said_of_car(body)
    if kind == "job":
        return _picked(body, ABOUT)
    out = _picked(body, ("use",))
    taught = _picked(body, TAUGHT)
    if taught:
        out["posterior"] = taught
    return out


def _picked(source: dict, names: tuple) -> dict:
    out = {}
    for name in names:
        if name in source:
            out[name] = source[name]
    return out


def _words(kind: str, field: str) -> str:
    """What is in dispute, in words.

    >>> _words("target", ""), _words("car", "bar.inner_teeth"), _words("job", "owner")
    ('the target', 'inner_teeth of the bar', 'owner of the job')
    >>> _words("car", "adjuster.raise_turns.left")
    'left raise_turns of the adjuster'
    """
    if kind == "target":
        return "the target"
    if kind == "known":
        return "what is known of the car from its last visit"
    parts = [kind] + field.split(".")
    if len(parts) > 3:
        return "%s %s of the %s" % (parts[3], parts[2], parts[1])
    return "%s of the %s" % (parts[len(parts) - 1], parts[len(parts) - 2])


class Cards:
    """The cards of a job.

    Parameters
    ----------
    rows : list of dict
        All entries of the job, understood or not, in order.
    live : dict
        Those that count, by kind.
    ruling : Ruling

    Attributes
    ----------
    merged : dict
        By kind, what its entries come to.
    conflicts : list of dict
        What a person must pick, as from ``question``.
    choices : list of dict
        What a person has picked of car and target: kind, field, the entry of the ``pick``, what it and each of
        those it was picked from say (``kept``, ``lost``: as from ``said_by``).
    """

    def __init__(self, rows: list, live: dict, ruling: Ruling) -> None:
        self.merged: dict = {}
        self.conflicts: list = []
        self.choices: list = []
        self._said = ruling.said
        by_kind: dict = {}
        for kind in CARDS:
            by_kind[kind] = []
        for e in rows:
            # By loop, since a kind may be anything at all.
            for kind in CARDS:
                if e.get("kind") == kind:
                    by_kind[kind].append(e)
        for kind in CARDS:
            if kind == "target":
                self._target(by_kind[kind], live[kind])
            else:
                self._card(kind, by_kind[kind], live[kind])

    def _standing(self, entries: list) -> list:
        """Those of several entries side by side that no person dropped; all of them where none is left."""
        return [e for e in entries if not self._said.dropped(e["id"])] or entries

    def _card(self, kind: str, entries: list, live: list) -> None:
        """Merge a card of several fields, and ask about each that is in dispute."""
        card: dict = {}
        says = {}
        for e in live:
            card = _patched(card, e["body"])
            says[e["id"]] = _said(kind, e["body"])
        found = heads(entries, says)
        for field in sorted(found):
            if len(found[field]) < 2:
                continue
            standing = self._standing(found[field])
            used = standing[len(standing) - 1]
            if used is not found[field][len(found[field]) - 1]:
                # A person picked an earlier one.
                card = _patched(card, _at(field, says[used["id"]][field]))
            values = [said_by(e, says[e["id"]][field]) for e in standing]
            self._ask(kind, field, values, field in COUNTED)
        self.merged[kind] = card
        if kind == "car":
            self._chosen(kind, chosen(entries, says), says)

    def _chosen(self, kind: str, picks: list, values: dict) -> None:
        """Note what was picked, and what differs from it of those it was picked from."""
        for field, pick, sides in picks:
            kept = said_by(pick, values[pick["id"]][field])
            lost = [said_by(e, values[e["id"]][field]) for e in sides]
            differ = [one for one in lost if canonical(one["value"]) != canonical(kept["value"])]
            if differ:
                self.choices.append(
                    {"kind": kind, "field": field, "pick": pick, "kept": kept, "lost": differ}
                )

    def _target(self, entries: list, live: list) -> None:
        """The target as the last one's writer had it in front of them, and the question where others differ."""
        counts = {}
        dropped = {}
        says = {}
        for e in live:
            counts[e["id"]] = True
            says[e["id"]] = _said("target", e["body"])
            if self._said.dropped(e["id"]):
                dropped[e["id"]] = True
        found = heads(entries, says).get(WHOLE, [])
        behind = parents(entries, counts, dropped)
        standing = self._standing(found)
        if len(standing) > 1:
            values = _targets(entries, behind, counts)
            self._ask("target", WHOLE, [said_by(e, values[e["id"]]) for e in standing], True)
        self.merged["target"] = _followed(entries, behind, standing[len(standing) - 1]) if standing else {}
        picks = chosen(entries, says)
        if picks:
            whole = _targets(entries, behind, counts)
            values = {}
            for name in whole:
                values[name] = {WHOLE: whole[name]}
            self._chosen("target", picks, values)

    def _ask(self, kind: str, field: str, values: list, before_teardown: bool) -> None:
        """Ask about a field, if those side by side differ in it."""
        first = canonical(values[0]["value"])
        if not [value for value in values if canonical(value["value"]) != first]:
            return
        text = "%s was entered in two ways; the later is used until one is chosen" % _words(kind, field)
        used = values[len(values) - 1]["entry"]
        self.conflicts.append(
            question(
                self._said,
                about="card",
                kind=kind,
                field=field,
                values=values,
                used=used,
                before_teardown=before_teardown,
                text=text,
            )
        )


def _at(field: str, value: object) -> dict:
    """A patch of one field.

    >>> _at("bar.length_mm", 600.0), _at("posterior", {"job": "a"})
    ({'bar': {'length_mm': 600.0}}, {'job': 'a'})
    """
    if field == "posterior" and isinstance(value, dict):
        return value
    parts = field.split(".")
    patch: dict = {parts[len(parts) - 1]: value}
    return {parts[0]: patch} if len(parts) == 2 else patch


def _targets(entries: list, behind: list, counts: dict) -> dict:
    """By id, the whole target as each entry's writer left it: the fields this version knows."""
    values: dict = {}
    for i in range(len(entries)):
        if entries[i]["id"] not in counts:
            continue
        body = entries[i]["body"]
        before: dict = {} if behind[i] is None else values[entries[behind[i]]["id"]]
        patch = _picked(body, TARGET)
        if "other" in body:
            there = body["other"]
            patch["other"] = _picked(there, OTHER) if isinstance(there, dict) else None
        values[entries[i]["id"]] = merged(aimed(before, body), patch)
    return values


def _followed(entries: list, behind: list, last: dict) -> dict:
    """The target of an entry, from the first that it follows on."""
    place: int | None = None
    for i in range(len(entries)):
        if entries[i] is last:
            place = i
    path = []
    while place is not None:
        path.append(entries[place]["body"])
        place = behind[place]
    card: dict = {}
    for i in range(len(path) - 1, -1, -1):
        card = _patched(aimed(card, path[i]), path[i])
    return card
