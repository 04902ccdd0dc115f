"""What each entry of a card had seen of that card, and who of them stands side by side.

A card's entry says in ``saw`` which entries were its card's latest when it was written; through them it has
seen all that these had seen. One that does not say, from an older phone, has seen all that stands before it
in the order. Nobody has seen what stands later, whatever is said. Owns who has seen whom. Knows nothing of
what a card is about. Linear in the entries and the ids that they name: no pair is looked at. Runs on the
phone as well.
"""

from .order import in_order

__all__ = ["chosen", "heads", "parents"]

STEPS = 4000
"""Most entries that are looked at to find what was chosen between: a log that needs more is no person's, and
is not asked about."""


def _seen(entry: dict, place: int, at: dict) -> list | None:
    """Places of the entries that an entry names as seen; None where it does not say and so has seen all before it.

    Parameters
    ----------
    at : where each entry of the card stands, by id
    """
    saw = entry.get("saw")
    if not isinstance(saw, list):
        return None
    out = []
    for name in saw:
        found = at.get(name) if isinstance(name, str) else None
        if found is not None and found < place:
            out.append(found)
    return out


def _places(entries: list) -> dict:
    at = {}
    for i in range(len(entries)):
        at[entries[i]["id"]] = i
    return at


def heads(entries: list, said: dict) -> dict:
    """By field, the entries that say it and that no other entry which says it again has seen, in order.

    Parameters
    ----------
    entries : list of dict
        All of one card, whether they count or not, in order.
    said : dict
        What those that count say: {id: {field: value}}.

    Returns
    -------
    dict
        {field: [entry, ...]}.

    >>> def entry(name, *saw):
    ...     return {"id": name, "saw": list(saw)}
    >>> both = {"a": {"arm_mm": 1}, "b": {"arm_mm": 2}, "c": {"arm_mm": 3}}
    >>> def names(*entries):
    ...     return [e["id"] for e in heads(list(entries), both)["arm_mm"]]
    >>> names(entry("a"), entry("b")), names(entry("a"), entry("b", "a")), names(entry("a"), {"id": "b"})
    (['a', 'b'], ['b'], ['b'])
    >>> names(entry("a"), entry("b"), entry("c", "a", "b"))
    ['c']
    >>> names(entry("a"), entry("b"), entry("x", "a"), entry("c", "x"))
    ['b', 'c']
    """
    at = _places(entries)
    bits: dict = {}
    # For each entry, which fields are said by those that have seen it: a bit for each field.
    above = [0] * len(entries)
    # The same of those that have seen all before them.
    above_all = 0
    found: dict = {}
    for i in range(len(entries) - 1, -1, -1):
        entry = entries[i]
        known = above[i]
        known |= above_all
        own = 0
        for field in said.get(entry["id"], ()):
            if field not in bits:
                bits[field] = 1 << len(bits)
            own |= bits[field]
            if not known & bits[field]:
                if field not in found:
                    found[field] = []
                found[field].append(entry)
        known |= own
        seen = _seen(entry, i, at)
        if seen is None:
            above_all |= known
        else:
            for place in seen:
                above[place] |= known
    for field in found:
        found[field].reverse()
    return found


def parents(entries: list, counts: dict, dropped: dict) -> list:
    """For each entry, which one its writer had in front of it: the latest that counts of those it has seen.

    Parameters
    ----------
    entries : list of dict
        All of one card, whether they count or not, in order.
    counts : dict
        Ids of those that count, as keys.
    dropped : dict
        Ids, as keys, of those that a person dropped for another: they go behind others that were seen beside them.

    Returns
    -------
    list of int or None
        Places in ``entries``.

    >>> a, b, c = {"id": "a", "saw": []}, {"id": "b", "saw": []}, {"id": "c", "saw": ["a", "b"]}
    >>> parents([a, b, c], {"a": 1, "b": 1, "c": 1}, {}), parents([a, b, c], {"a": 1, "b": 1, "c": 1}, {"b": 1})
    ([None, None, 1], [None, None, 0])
    >>> parents([a, b, c], {"a": 1, "c": 1}, {}), parents([a, b, {"id": "d"}], {"a": 1, "b": 1, "d": 1}, {})
    ([None, None, 0], [None, None, 1])
    """
    at = _places(entries)
    out: list = []
    # The latest that counts of an entry and those it has seen.
    tips: list = []
    last = None
    for i in range(len(entries)):
        seen = _seen(entries[i], i, at)
        best = last
        if seen is not None:
            best = None
            for place in seen:
                best = _later(best, tips[place], entries, dropped)
        out.append(best)
        if entries[i]["id"] in counts:
            last = i
        tips.append(i if entries[i]["id"] in counts else best)
    return out


def _later(one: int | None, other: int | None, entries: list, dropped: dict) -> int | None:
    """The later of two places, one that a person dropped only where both are."""
    if one is None or other is None:
        return other if one is None else one
    out = [entries[place]["id"] in dropped for place in (one, other)]
    if out[0] != out[1]:
        return other if out[0] else one
    return max(one, other)


def chosen(entries: list, said: dict) -> list:
    """What ended a question: the last entry of each field that had seen several side by side which say it.

    Parameters
    ----------
    entries : list of dict
        All of one card, whether they count or not, in order.
    said : dict
        What those that count say: {id: {field: value}}.

    Returns
    -------
    list of tuple
        (field, the entry, [those side by side, in order]).

    >>> a, b = {"id": "a", "saw": []}, {"id": "b", "saw": []}
    >>> c, d = {"id": "c", "saw": ["a", "b"]}, {"id": "d", "saw": ["c"]}
    >>> both = {"a": {"arm_mm": 1}, "b": {"arm_mm": 2}, "c": {"arm_mm": 2}, "d": {"arm_mm": 3}}
    >>> [(field, pick["id"], [e["id"] for e in sides]) for field, pick, sides in chosen([a, b, c, d], both)]
    [('arm_mm', 'c', ['a', 'b'])]
    >>> chosen([a, {"id": "b", "saw": ["a"]}, c], both)
    []
    """
    walk = _Walk(entries)
    done = {}
    out = []
    for i in range(len(entries) - 1, -1, -1):
        entry = entries[i]
        seen = _seen(entry, i, walk.at)
        if seen is None or len(seen) < 2:
            continue
        for field in in_order(list(said.get(entry["id"], ()))):
            if field in done or walk.left <= 0:
                continue
            sides = walk.sides(seen, said, field)
            if walk.left > 0 and len(sides) > 1:
                done[field] = True
                out.append((field, entry, [entries[place] for place in sides]))
    return out


class _Walk:
    """Walks back from entries along what they had seen, in so many steps altogether."""

    def __init__(self, entries: list) -> None:
        self.entries = entries
        self.at = _places(entries)
        self.left = STEPS

    def _before(self, place: int) -> list:
        seen = _seen(self.entries[place], place, self.at)
        if seen is None:
            return [place - 1] if place else []
        return seen

    def _reached(self, start: list, least: int, says: dict | None = None, field: str = "") -> dict:
        """Places reached from some, as keys, none before ``least``; no further from one that says a field."""
        found: dict = {}
        stack = list(start)
        while stack and self.left > 0:
            place = stack.pop()
            if place in found or place < least:
                continue
            self.left -= 1
            found[place] = True
            if says is None or field not in says.get(self.entries[place]["id"], ()):
                stack.extend(self._before(place))
        return found

    def sides(self, seen: list, said: dict, field: str) -> list:
        """Of what somebody had in front of them, the entries that say a field and have not seen one another."""
        reached = self._reached(seen, 0, said, field)
        tips = [place for place in reached if field in said.get(self.entries[place]["id"], ())]
        if len(tips) < 2:
            return []
        least = min(tips)
        behind: dict = {}
        for tip in tips:
            behind.update(self._reached(self._before(tip), least))
        return in_order([tip for tip in tips if tip not in behind])
