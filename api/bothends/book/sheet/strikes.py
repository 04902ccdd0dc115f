"""Strikes: entries that take out another one, and which of them hold.

A strike takes out what it names, if the strike itself is not struck. Strikes are not corrected; whoever
struck by mistake strikes the strike. Knows nothing of chains or settlements (``chains``, ``settlements``).
Runs on the phone as well.
"""

__all__ = ["Strike", "holding", "upon"]


class Strike:
    """One strike, as its entry says it.

    ``entry`` itself; ``target`` the id it takes out, there or not; ``device`` who struck; ``place`` where it
    stands in the order of the job's entries; ``saw`` the ids of the chain that stood there when it was
    written, as the keys of a dict, or None where it does not say.
    """

    def __init__(self, entry: dict, place: int) -> None:
        body = entry["body"]
        self.entry = entry
        self.id = entry["id"]
        self.target = body["entry"]
        self.device = entry.get("device")
        self.place = place
        self.saw = None
        if isinstance(body.get("saw"), list):
            self.saw = {}
            for name in body["saw"]:
                if isinstance(name, str):
                    self.saw[name] = True


def holding(strikes: list) -> list:
    """Those of the strikes that are not themselves struck, in the order given.

    Worked out from the ends backwards: what nobody strikes holds, what a strike that holds names does not,
    and what only strikes name that do not hold, holds. Strikes that go round in a circle have no end to start
    from, and take out nothing.

    >>> def strike(name, target):
    ...     return Strike({"id": name, "body": {"entry": target}}, 0)
    >>> [s.id for s in holding([strike("s1", "reading"), strike("s2", "s1"), strike("s3", "s2")])]
    ['s1', 's3']
    >>> holding([strike("s1", "s2"), strike("s2", "s1")])
    []
    """
    by_id = {}
    undecided: dict = {}
    for s in strikes:
        by_id[s.id] = s
    for s in strikes:
        if s.target in by_id:
            undecided[s.target] = undecided.get(s.target, 0) + 1
    holds = {}
    decided = []
    for s in strikes:
        if s.id not in undecided:
            holds[s.id] = True
            decided.append(s)
    while decided:
        s = decided.pop()
        target = by_id.get(s.target)
        if target is None or target.id in holds:
            continue
        if holds[s.id]:
            holds[target.id] = False
        else:
            undecided[target.id] -= 1
            if undecided[target.id]:
                continue
            holds[target.id] = True
        decided.append(target)
    return [s for s in strikes if holds.get(s.id)]


def upon(strikes: list) -> dict:
    """Strikes by what they take out: {id: [strike, ...]}, each list in the order given."""
    out: dict = {}
    for s in strikes:
        if s.target not in out:
            out[s.target] = []
        out[s.target].append(s)
    return out
