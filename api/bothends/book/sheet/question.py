"""One shape for all that a person must pick between: entries that contradict each other.

Owns the shape. Who contradicts whom is found by ``rows`` (readings, moves) and ``cards``. Runs on the phone as
well.
"""

from .order import in_order
from .settlements import Said
from .writers import writer_of

__all__ = ["question", "said_by"]


def said_by(entry: dict, value: object) -> dict:
    """One entry of a question, with what it says of what is asked.

    >>> sorted(said_by({"id": "a", "device": "phone", "body": {}}, 214.0).items())
    [('at', None), ('device', 'phone'), ('entry', 'a'), ('value', 214.0), ('writer', None)]
    """
    out = {"entry": entry["id"], "value": value, "writer": writer_of(entry)}
    for name in ("at", "device"):
        out[name] = entry.get(name)
    return out


def question(
    said: Said,
    *,
    about: str,
    kind: str,
    values: list,
    used: str,
    text: str,
    field: str = "",
    teardown: int = 0,
    before_teardown: bool = False,
) -> dict:
    """A question for a person, with the settlements that speak of its entries and whether they contradict.

    Parameters
    ----------
    said : what settlements come to
    about : correction, teardown, strike or card
    kind : kind of the entries
    values : as from ``said_by``, in order
    used : id of the one that counts until somebody picks
    field : where in a card they differ, "" where the whole of them is meant
    before_teardown : whether no teardown may begin until somebody has picked
    """
    spoken: dict = {}
    contradicted = False
    for value in values:
        for settlement in said.speaking_of(value["entry"]):
            spoken[settlement.id] = True
        contradicted = contradicted or said.contradicts(value["entry"])
    return {
        "about": about,
        "kind": kind,
        "field": field,
        "teardown": teardown,
        "entries": [value["entry"] for value in values],
        "values": values,
        "used": used,
        "before_teardown": before_teardown,
        "contradicted": contradicted,
        "settlements": in_order(list(spoken)),
        "text": text + ("; it was resolved in two ways" if contradicted else ""),
    }
