"""What of a car's card holds at its next visit, and the same card seen from the other axle.

Owns which fields are as one visit found them, and how the cards of several visits add up. ``web/work/next-job.js``
is the same in JavaScript.
"""

from typing import Any

from bothends.model import fields

__all__ = ["PASSING", "lasting", "left_by", "merged", "seen_from"]

_PASSING = (
    *("car.half_axle_deg", "car.load_sd_kg", "car.load_kg.left", "car.load_kg.right"),
    *("car.bush.rest_deg", "car.bush.rest_sd_deg", "car.limits.bump_mm", "car.limits.droop_mm"),
    *("car.held.left", "car.held.right", "car.anti_roll_off", "car.renewed"),
    *(f"car.adjuster.{part}" for part in fields.parts("car.adjuster")),
)
PASSING = (*_PASSING, *(fields.OTHER + path[len("car") :] for path in _PASSING))
"""Fields of the car's card that are as one visit found them, of either axle; all others hold at the next visit
too."""


def lasting(card: dict[str, Any], above: str = "car") -> dict[str, Any]:
    """A card without what was as one visit found it; ``above`` is its path.

    >>> lasting({"arm_mm": 430, "limits": {"bump_mm": 40}, "other": {"arm_mm": 350, "held": {"left": ["inner"]}}})
    {'arm_mm': 430, 'other': {'arm_mm': 350}}
    """
    out = {}
    for name, value in card.items():
        path = f"{above}.{name}"
        if value is None or path in PASSING:
            continue
        if not isinstance(value, dict):
            out[name] = value
        elif inner := lasting(value, path):
            out[name] = inner
    return out


def merged(into: dict[str, Any], patch: dict[str, Any]) -> dict[str, Any]:
    """A card with what a later one says of it.

    >>> merged({"bar": {"length_mm": 590}, "arm_mm": 430}, {"bar": {"diameter_mm": 22}})
    {'bar': {'length_mm': 590, 'diameter_mm': 22}, 'arm_mm': 430}
    """
    out = dict(into)
    for name, value in patch.items():
        was = out.get(name)
        out[name] = merged(was if isinstance(was, dict) else {}, value) if isinstance(value, dict) else value
    return out


def seen_from(card: dict[str, Any], sprung: str) -> dict[str, Any]:
    """A card as a job of the axle ``sprung`` has it: where it is of the other one, both change places.

    What one axle has of the rest of the car is not the other one's.

    >>> seen_from({"arm_mm": 430, "unevenness_mm": 3, "other": {"arm_mm": 350}}, "front")
    {'arm_mm': 350, 'sprung': 'front', 'other': {'arm_mm': 430}}
    >>> seen_from({"arm_mm": 430}, "rear")
    {'arm_mm': 430}
    """
    if card.get("sprung", fields.REAR) == sprung:
        return card
    own = {name: value for name, value in card.items() if name not in (*fields.SEEN_FROM, "other")}
    other = card.get("other")
    out = {**(other if isinstance(other, dict) else {}), "sprung": sprung}
    return {**out, "other": own} if own else out


def left_by(cards: list[dict[str, Any]]) -> dict[str, Any]:
    """What visits left for the next one, by their cards in order of time: as a job has it of the axle that was
    worked on last.

    A later visit says more, or says it better; what it is silent about still holds.

    >>> left_by([{"arm_mm": 430}, {"sprung": "front", "arm_mm": 350, "other": {"track_mm": 1300}}, {}])
    {'sprung': 'front', 'other': {'arm_mm': 430, 'track_mm': 1300}, 'arm_mm': 350}
    """
    said = [kept for kept in map(lasting, cards) if kept]
    out: dict[str, Any] = {}
    for card in said:
        out = merged(out, seen_from(card, said[-1].get("sprung", fields.REAR)))
    return out
