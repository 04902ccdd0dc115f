"""The rules of a job: what its strikes and settlements come to, before anybody looks at readings or moves.

Joins ``strikes`` and ``settlements``: a settlement may drop a strike, and a strike may take out a settlement.
So that neither hangs on itself, a settlement can drop a strike of a reading or a move and the like, but never
one of a strike or of a settlement. Runs on the phone as well.
"""

from .settlements import Settlement, said
from .strikes import Strike, holding, upon

__all__ = ["Ruling"]


class Ruling:
    """What strikes and settlements of a job come to.

    Parameters
    ----------
    entries : list of dict
        All that this version understands, in order.

    Attributes
    ----------
    place : dict
        Where each entry stands in the order, by id.
    strikes_in_order : list of Strike
        Every strike, whether it holds or not.
    strikes : dict
        The same by their ids.
    settlements : list of Settlement
        Those not struck, in order.
    said : Said
        What these say.
    struck : dict
        What is taken out, with the strikes that do so: {id: [Strike, ...]}.
    struck_links : dict
        The same for members of chains: whatever a strike names, a settlement may have dropped it. A
        correction may name anything, a settlement too, and so stand in a chain whose first entry is no
        reading.

    >>> reading = {"id": "r", "kind": "reading", "body": {}}
    >>> strike = {"id": "s", "kind": "strike", "body": {"entry": "r"}}
    >>> settle = {"id": "t", "kind": "settle", "body": {"keeps": "r", "drops": ["s"]}}
    >>> sorted(Ruling([reading, strike]).struck), sorted(Ruling([reading, strike, settle]).struck)
    (['r'], [])
    """

    def __init__(self, entries: list) -> None:
        self.place = {}
        self.strikes = {}
        kinds = {}
        self.strikes_in_order = []
        for i in range(len(entries)):
            e = entries[i]
            self.place[e["id"]] = i
            kinds[e["id"]] = e["kind"]
            if e["kind"] == "strike":
                strike = Strike(e, i)
                self.strikes[strike.id] = strike
                self.strikes_in_order.append(strike)
        struck = upon(holding(self.strikes_in_order))
        self.settlements = [Settlement(e) for e in entries if e["kind"] == "settle" and e["id"] not in struck]
        self.said = said(self.settlements)
        self.struck = {}
        self.struck_links = {}
        for name in struck:
            left = [s for s in struck[name] if not self.said.dropped(s.id)]
            if left:
                self.struck_links[name] = left
            stays = struck[name] if kinds.get(name) in ("settle", "strike") else left
            if stays:
                self.struck[name] = stays
