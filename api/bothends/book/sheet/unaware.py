"""Strikes and corrections that were made without knowing of each other.

One person strikes a reading, another corrects it meanwhile: neither may win by having come later, so both are
shown. Owns who knew of whom. A strike may say in ``saw`` which entries of the chain stood there; then it knew
of those and of no others. One that says nothing knew of what stood before it in the order, and a correction
that comes after it was made in the knowledge of it only on the device that struck.

The rule is about a pair (``knew_nothing``), and a thousand strikes on the first entry of a thousand
corrections are a million pairs. So pairs are not looked at: along a chain it is enough to know how many
strikes there are above an entry, how many of these name it in ``saw``, and the earliest of the others from
two different devices. That takes one walk down the chain's tree of corrections and one up. Runs on the phone
as well.
"""

from .chains import Chain, Link
from .order import in_order
from .strikes import Strike

__all__ = ["Unaware", "knew_nothing", "unaware"]


class Unaware:
    """Those that did not know of each other: ``heads`` (links) and ``strikes``, both in order."""

    def __init__(self, heads: list, strikes: list) -> None:
        self.heads = heads
        self.strikes = strikes


class _Earliest:
    """The earliest place that was taken in, and the earliest of any other device."""

    def __init__(self) -> None:
        self.device: object = None
        self.place: int | None = None
        self.next_device: object = None
        self.next_place: int | None = None

    def take(self, device: object, place: int | None) -> None:
        """Take in a place; None says that there is none."""
        if place is None:
            return
        if self.place is None or place < self.place:
            if self.place is not None and device != self.device:
                self.next_device, self.next_place = self.device, self.place
            self.device, self.place = device, place
        elif device != self.device and (self.next_place is None or place < self.next_place):
            self.next_device, self.next_place = device, place

    def take_all(self, other: "_Earliest") -> None:
        """Take in what another one has."""
        self.take(other.device, other.place)
        self.take(other.next_device, other.next_place)

    def not_by(self, device: object) -> int | None:
        """The earliest place of another device than this one, None where there is none.

        >>> found = _Earliest()
        >>> for device, place in (("b", 7), ("a", 5), ("b", 3), ("a", 4)):
        ...     found.take(device, place)
        >>> found.not_by("a"), found.not_by("b"), found.not_by("c")
        (3, 4, 3)
        """
        return self.place if device != self.device else self.next_place


_NOTHING = _Earliest()


class _Node:
    """One entry in the tree of a chain, or all of those that correct each other in a ring.

    ``enter`` to ``leave`` are the numbers of the node and of all that correct it, itself first, when the tree
    is walked through. ``told_above`` how many strikes above it say what they saw, ``silent_above`` the
    earliest of those that do not; ``told_here`` and ``silent_here`` the same with the strikes on it.
    ``heads_below`` how many heads correct it; ``latest_below`` the latest of these, as negative places, so
    that latest is earliest. ``head`` the link, where it is one, and ``named`` how many strikes above it say
    that they saw it.
    """

    def __init__(self) -> None:
        self.parent: _Node | None = None
        self.children: list = []
        self.head: Link | None = None
        self.named = 0
        self.strikes: list = []
        self.enter = self.leave = 0
        self.told_above = self.told_here = self.heads_below = 0
        self.silent_above = self.silent_here = _NOTHING
        self.latest_below = _Earliest()

    def is_above(self, other: "_Node") -> bool:
        """Whether the other one corrects this one, directly or through others."""
        return self.enter < other.enter < self.leave

    def look_up(self) -> None:
        """Work out what is above, and what will be above those below."""
        if self.parent is not None:
            self.told_above = self.told_here = self.parent.told_here
            self.silent_above = self.silent_here = self.parent.silent_here
        if self.strikes:
            self.silent_here = _Earliest()
            self.silent_here.take_all(self.silent_above)
        for s in self.strikes:
            if s.saw is None:
                self.silent_here.take(s.device, s.place)
            else:
                self.told_here += 1

    def tell_up(self) -> None:
        """Add what is here and below to the parent's."""
        above = self.parent
        if above is None:
            return
        above.leave = max(above.leave, self.leave)
        above.heads_below += self.heads_below
        above.latest_below.take_all(self.latest_below)
        if self.head is not None:
            above.heads_below += 1
            above.latest_below.take(self.head.device, -self.head.place)

    def has_later_head(self, strike: Strike) -> bool:
        """Whether a head below it, by another device than the strike's, comes later in the order."""
        latest = self.latest_below.not_by(strike.device)
        return latest is not None and -latest > strike.place

    def head_is_overlooked(self) -> bool:
        """Whether some strike above knew nothing of the head that stands here."""
        head = self.head
        if head is None:
            return False
        silent = self.silent_above.not_by(head.device)
        return self.told_above > self.named or (silent is not None and silent < head.place)


def knew_nothing(strike: Strike, head: Link) -> bool:
    """Whether a strike and a correction of what it struck were made without knowing of each other.

    >>> def strike(device, place, **more):
    ...     return Strike({"id": "s", "device": device, "body": dict(entry="r", **more)}, place)
    >>> head = Link({"id": "c", "device": "phone-b", "body": {"corrects": "r"}}, 5)
    >>> knew_nothing(strike("phone-a", 4), head), knew_nothing(strike("phone-a", 6), head)
    (True, False)
    >>> knew_nothing(strike("phone-b", 4), head)
    False
    >>> knew_nothing(strike("phone-a", 6, saw=["r"]), head), knew_nothing(strike("phone-a", 4, saw=["c"]), head)
    (True, False)
    """
    if strike.saw is not None:
        return head.id not in strike.saw
    return strike.device != head.device and head.place > strike.place


def _ring(root: str, corrects: dict) -> list:
    """The ids that correct each other in a circle, where the chain ends in one; else the root alone.

    >>> _ring("a", {"a": "b", "b": "a", "c": "b"}), _ring("a", {"b": "a"})
    (['a', 'b'], ['a'])
    """
    ring = [root]
    name = corrects.get(root)
    while name is not None and name != root:
        ring.append(name)
        name = corrects.get(name)
    return ring


def _nodes(links: list, ring: list, corrects: dict) -> dict:
    """The tree of a chain: a node for each id, one and the same for all of the ring."""
    trunk = _Node()
    nodes = {}
    for name in ring:
        nodes[name] = trunk
    for link in links:
        if link.id not in nodes:
            nodes[link.id] = _Node()
    for link in links:
        node = nodes[link.id]
        if node is not trunk:
            node.parent = nodes[corrects[link.id]]
            node.parent.children.append(node)
    return nodes


def _walked(trunk: _Node, strikes: list, nodes: dict) -> list:
    """The nodes of a tree, each before those that correct it, with what is above and below; no
    recursion."""
    for s in strikes:
        nodes[s.target].strikes.append(s)
    out: list = []
    waiting = [trunk]
    while waiting:
        node = waiting.pop()
        node.enter = len(out)
        node.leave = node.enter + 1
        node.look_up()
        out.append(node)
        waiting.extend(node.children)
    for i in range(len(out) - 1, -1, -1):
        out[i].tell_up()
    return out


def _heads_seen(strike: Strike, nodes: dict) -> list:
    """Nodes of the heads below what was struck that the strike says it saw."""
    struck = nodes[strike.target]
    out = []
    for name in strike.saw or {}:
        node = nodes.get(name)
        if node is not None and node.head is not None and struck.is_above(node):
            out.append(node)
    return out


def _on_the_ring(ring: list, head: Link, struck: dict) -> list:
    """Strikes on the others of a ring that a head in it did not know of, nor they of it.

    Pair by pair: no more than one head stands in a ring, since those in it correct each other.
    """
    out = []
    for name in ring:
        if name != head.id:
            out.extend([s for s in struck.get(name, []) if knew_nothing(s, head)])
    return out


def unaware(chain: Chain, corrects: dict, struck: dict) -> Unaware:
    """Heads of a chain and strikes on what they correct, where neither knew of the other.

    Parameters
    ----------
    chain : Chain
        With the links that nothing in it supersedes.
    corrects : dict
        What each entry corrects, None where it stands for itself.
    struck : dict
        Strikes that hold by what they take out, {id: [Strike, ...]}.
    """
    ring = _ring(chain.root, corrects)
    nodes = _nodes(chain.links, ring, corrects)
    strikes = [s for name in nodes for s in struck.get(name, [])]
    if not strikes:
        return Unaware([], [])
    trunk = nodes[chain.root]
    heads: dict = {}
    against: dict = {}
    for head in chain.standing:
        if nodes[head.id] is trunk:
            for s in _on_the_ring(ring, head, struck):
                heads[head.place] = head
                against[s.place] = s
        else:
            nodes[head.id].head = head
    walked = _walked(trunk, strikes, nodes)
    for s in strikes:
        node = nodes[s.target]
        known = _heads_seen(s, nodes)
        for below in known:
            below.named += 1
        if node.heads_below > len(known) if s.saw is not None else node.has_later_head(s):
            against[s.place] = s
    for node in walked:
        if node.head is not None and node.head_is_overlooked():
            heads[node.head.place] = node.head
    return Unaware(
        [heads[place] for place in in_order(list(heads))],
        [against[place] for place in in_order(list(against))],
    )
