"""Settlements: a person's word on which of several entries to keep, and what all those words come to.

A settlement speaks of each entry it names by itself: that it is kept, or dropped for the one that is. Its
word on an entry no longer counts where a later one of the same device speaks of that entry again, or where
any other one names it in ``replaces`` and speaks of that entry. Where one word keeps what another drops, and
neither knew of the other, nothing is dropped: the question is open again. Runs on the phone as well.
"""

__all__ = ["Said", "Settlement", "said"]


class Settlement:
    """One settlement, as its entry says it.

    ``keeps`` the id of the entry kept; ``about`` what it says of every entry it names, {id: kept or not};
    ``replaces`` the ids of settlements it was made in the knowledge of, as the keys of a dict.
    """

    def __init__(self, entry: dict) -> None:
        body = entry["body"]
        self.entry = entry
        self.id = entry["id"]
        self.device = str(entry.get("device"))
        self.keeps = body["keeps"]
        self.about = {}
        for name in body["drops"]:
            self.about[name] = False
        self.about[self.keeps] = True
        self.replaces = {}
        replaces = body.get("replaces")
        for name in replaces if isinstance(replaces, list) else []:
            if isinstance(name, str) and name != self.id:
                self.replaces[name] = True


class Said:
    """What settlements say of entries: ``keeps`` and ``drops`` are {id: [settlement, ...]}, in order."""

    def __init__(self) -> None:
        self.keeps: dict = {}
        self.drops: dict = {}

    def add(self, name: str, settlement: Settlement) -> None:
        """Take in what a settlement says of an entry."""
        by_name = self.keeps if settlement.about[name] else self.drops
        if name not in by_name:
            by_name[name] = []
        by_name[name].append(settlement)

    def speaking_of(self, name: str) -> list:
        """Settlements whose word on an entry counts."""
        return self.keeps.get(name, []) + self.drops.get(name, [])

    def contradicts(self, name: str) -> bool:
        """Whether one keeps the entry and another drops it."""
        return name in self.keeps and name in self.drops

    def dropped(self, name: str) -> bool:
        """Whether an entry is out: dropped by somebody and kept by nobody."""
        return name in self.drops and name not in self.keeps

    def kept_instead(self, name: str) -> list:
        """The ids that an entry was dropped for."""
        return [s.keeps for s in self.drops.get(name, [])]


def _last_words(settlements: list) -> dict:
    """The last settlement of each device that speaks of an entry: {(device, id of the entry): id}."""
    last = {}
    for s in settlements:
        for name in s.about:
            last[(s.device, name)] = s.id
    return last


def _replaced(settlements: list) -> dict:
    """Words for which a later one stands: keys (id of the settlement, id of the entry).

    Whoever replaces a settlement says nothing of the entries it does not name; its word on those stays.

    >>> def settle(name, keeps, drops, *replaces):
    ...     return Settlement({"id": name, "body": {"keeps": keeps, "drops": drops, "replaces": list(replaces)}})
    >>> sorted(_replaced([settle("first", "a", ["b", "c"]), settle("second", "b", ["a"], "first")]))
    [('first', 'a'), ('first', 'b')]
    """
    by_id = {}
    for s in settlements:
        by_id[s.id] = s
    out = {}
    for s in settlements:
        for other_id in s.replaces:
            other = by_id.get(other_id)
            if other is None:
                continue
            # The shorter of the two lists: a long one that is replaced a thousand times must not be read as often.
            few, many = s.about, other.about
            if len(many) < len(few):
                few, many = many, few
            for name in few:
                if name in many:
                    out[(other_id, name)] = True
    return out


def said(settlements: list) -> Said:
    """What settlements say of the entries they name, as far as nothing later stands in its place.

    Parameters
    ----------
    settlements : list of Settlement
        Those not struck, in order.

    >>> def settle(name, device, keeps, drops, *replaces):
    ...     body = {"keeps": keeps, "drops": drops, "replaces": list(replaces)}
    ...     return Settlement({"id": name, "device": device, "body": body})
    >>> one, other = settle("s1", "phone", "a", ["b"]), settle("s2", "shop", "b", ["a"])
    >>> said([one]).dropped("b"), said([one, other]).dropped("b"), said([one, other]).contradicts("b")
    (True, False, True)
    >>> third = settle("s3", "home", "a", ["b"], "s1", "s2")
    >>> said([one, other, third]).dropped("b")
    True
    >>> said([one, settle("s4", "phone", "b", ["a"])]).dropped("a")
    True
    """
    last = _last_words(settlements)
    replaced = _replaced(settlements)
    found = Said()
    for s in settlements:
        for name in s.about:
            if last[(s.device, name)] == s.id and (s.id, name) not in replaced:
                found.add(name, s)
    return found
