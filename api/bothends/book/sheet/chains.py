"""Chains of corrections: a reading or a move, whatever has corrected it since, and what holds of that now.

- A correction holds in place of what it corrects, and of everything that had corrected before.
- Striking the first of a chain takes out the whole chain; striking a correction brings back what it had
  corrected.
- Two corrections of one entry that neither corrects the other both hold until a settlement keeps one and
  drops the
  others.

Owns what holds. What strikes and settlements come to is ``ruling``'s business, whether a strike and a
correction knew of each other ``unaware``'s. Knows nothing of what a reading or a move is about. Runs on the
phone as well.
"""

from .ruling import Ruling

__all__ = ["Chain", "Link", "chains", "corrections"]


class Link:
    """One entry of a chain: ``corrects`` the id it corrects or None, ``place`` where it stands in the
    order."""

    def __init__(self, entry: dict, place: int) -> None:
        self.entry = entry
        self.id = entry["id"]
        self.corrects = entry["body"].get("corrects")
        self.device = entry.get("device")
        self.place = place


class Chain:
    """One entry with all that corrects it.

    ``root`` the id of the first, whether it has arrived or not; ``links`` its entries, in order; ``standing``
    those that nothing supersedes, in order; ``struck`` whether the first of it is, and with it all.
    """

    def __init__(self, root: str, struck: bool) -> None:
        self.root = root
        self.struck = struck
        self.links: list = []
        self.standing: list = []

    @property
    def heads(self) -> list:
        """Links that hold, in order; none where the first is struck."""
        return [] if self.struck else self.standing


def corrections(links: list) -> dict:
    """What each entry corrects, by id; None where it stands for itself."""
    out = {}
    for link in links:
        out[link.id] = link.corrects
    return out


def _roots(links: list, corrects: dict) -> dict:
    """The first of each one's chain, by id: one that corrects nothing, or has not arrived.

    Of entries that correct one another in a circle, the smallest id stands for the first.

    >>> corrects = {"b": "a", "c": "b", "y": "x", "x": "y", "z": "y"}
    >>> links = [Link({"id": name, "body": {}}, 0) for name in corrects]
    >>> roots = _roots(links, corrects)
    >>> [roots[name] for name in "bcxyz"]
    ['a', 'a', 'x', 'x', 'x']
    """
    roots: dict = {}
    for link in links:
        path: list = []
        on_path: dict = {}
        name = link.id
        while name not in roots and name not in on_path and corrects.get(name) is not None:
            on_path[name] = len(path)
            path.append(name)
            name = corrects[name]
        end = min(path[on_path[name] :]) if name in on_path else roots.get(name, name)
        roots[name] = end
        for step in path:
            roots[step] = end
    return roots


def _behind(links: list, corrects: dict) -> dict:
    """Everything that these correct, directly or through others, as the keys of a dict; each is walked over
    once.

    In a circle the first of them that is looked at stays in front.

    >>> corrects = {"b": "a", "c": "b", "x": "y", "y": "x"}
    >>> def links(*names):
    ...     return [Link({"id": name, "body": {}}, 0) for name in names]
    >>> sorted(_behind(links("c", "x"), corrects))
    ['a', 'b', 'y']
    """
    out: dict = {}
    for link in links:
        name = corrects.get(link.id)
        while name is not None and name not in out and name != link.id:
            out[name] = True
            name = corrects.get(name)
    return out


def _standing(chain: Chain, corrects: dict, ruling: Ruling) -> list:
    """Links of a chain that nothing supersedes, in order.

    What a settlement dropped does not bring back what it had corrected: that was as little meant. It does
    where the chain would be left with nothing, unless it was dropped for an entry of another chain.
    """
    live = []
    dropped = []
    for link in chain.links:
        if ruling.said.dropped(link.id):
            dropped.append(link)
        elif link.id == chain.root or link.id not in ruling.struck_links:
            live.append(link)
    superseded = _behind(live, corrects)
    # Where all correct one another in a circle, the last in order holds.
    found = [link for link in live if link.id not in superseded] or live[-1:]
    behind = _behind(dropped, corrects)
    meant = [link for link in found if link.id not in behind or link.id in ruling.said.keeps]
    return meant if meant or _dropped_for_others(chain, dropped, ruling) else found


def _dropped_for_others(chain: Chain, dropped: list, ruling: Ruling) -> bool:
    """Whether one of these was dropped for an entry that is neither of this chain nor a strike."""
    own = {}
    for link in chain.links:
        own[link.id] = True
    for link in dropped:
        for name in ruling.said.kept_instead(link.id):
            if name not in own and name not in ruling.strikes:
                return True
    return False


def chains(links: list, ruling: Ruling) -> list:
    """The chains that these make, with what holds of each.

    Parameters
    ----------
    links : list of Link
        All of one kind, struck ones included, in order.
    ruling : Ruling

    Returns
    -------
    list of Chain
        In the order of their first link.

    >>> def entry(name, kind="reading", **body):
    ...     return {"id": name, "kind": kind, "body": body}
    >>> def heads(*entries):
    ...     links = [Link(e, i) for i, e in enumerate(entries) if e["kind"] == "reading"]
    ...     return [[link.id for link in chain.heads] for chain in chains(links, Ruling(list(entries)))]
    >>> first, second, third = entry("a"), entry("b", corrects="a"), entry("c", corrects="a")
    >>> heads(first, entry("x")), heads(first, second), heads(first, second, third)
    ([['a'], ['x']], [['b']], [['b', 'c']])
    >>> heads(first, second, entry("s", "strike", entry="b")), heads(first, second, entry("s", "strike", entry="a"))
    ([['a']], [[]])
    >>> heads(first, second, third, entry("t", "settle", keeps="c", drops=["b"]))
    [['c']]
    """
    corrects = corrections(links)
    roots = _roots(links, corrects)
    by_root: dict = {}
    out = []
    for link in links:
        root = roots[link.id]
        if root not in by_root:
            by_root[root] = Chain(root, root in ruling.struck_links)
            out.append(by_root[root])
        by_root[root].links.append(link)
    for chain in out:
        chain.standing = _standing(chain, corrects, ruling)
    return out
