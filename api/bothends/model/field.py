"""Reading one field of a request by the table of facts, with an error that names it: expected, came, what to do."""

from . import fields
from .problem import ModelProblem

__all__ = ["choice", "flag", "needed", "part", "take", "take_whole", "text"]


def part(source: dict, name: str, at: str) -> dict:
    """An optional object inside ``source``; empty where it is left out."""
    value = source.get(name)
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise ModelProblem("out-of-range", at + "." + name, name + " must be an object")
    return value


def _place(path: str, at: str | None) -> str:
    return "$." + path if at is None else at + "." + path.split(".")[-1]


def _outside(field: fields.Field, place: str, value: object) -> ModelProblem:
    return ModelProblem(
        "out-of-range",
        place,
        "%s must be between %g and %g, got %s" % (place.split(".")[-1], field.low, field.high, value),
    )


def take(source: dict, path: str, at: str | None = None, name: str | None = None) -> float | None:
    """A number of the table, within its bounds (both ends allowed); its default, or None, where it is left out.

    Parameters
    ----------
    source : dict
        The object that holds the field.
    path : str
        Where it stands in the table, e.g. "car.bar.diameter_mm".
    at : str, optional
        Where the object stands in the request, for the error; as in the table where left out.
    name : str, optional
        The field's own name, where the table has several by one name (a reading's value).
    """
    field = fields.field(path)
    value = source.get(name or field.name)
    if value is None:
        return field.default
    place = _place(path, at) if name is None else str(at) + "." + name
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ModelProblem(
            "out-of-range", place, "%s must be a number, got %s" % (place.split(".")[-1], repr(value))
        )
    # Written so that a NaN fails.
    if not field.low <= value <= field.high:
        raise _outside(field, place, value)
    if field.whole and value != int(value):
        raise ModelProblem(
            "out-of-range", place, "%s must be a whole number, got %s" % (place.split(".")[-1], value)
        )
    return float(value)


def needed(source: dict, path: str, at: str | None = None, name: str | None = None) -> float:
    """As ``take``, of a field that nothing can stand in for."""
    value = take(source, path, at, name)
    if value is None:
        place = _place(path, at) if name is None else str(at) + "." + name
        raise ModelProblem("out-of-range", place, place.split(".")[-1] + " is required")
    return value


def take_whole(source: dict, path: str, at: str | None = None) -> int | None:
    """As ``take``, of a whole number; 3.0 counts as whole, 3.5 does not."""
    value = take(source, path, at)
    return None if value is None else int(value)


def choice(source: dict, name: str, at: str, allowed: tuple, default: str | None = None) -> str:
    """One of a few words."""
    value = source.get(name)
    if value is None:
        value = default
    if value is None or value not in allowed:
        raise ModelProblem(
            "out-of-range",
            at + "." + name,
            "%s must be one of %s, got %s" % (name, ", ".join(allowed), repr(value)),
        )
    return value


def flag(source: dict, name: str, at: str) -> bool:
    """Yes or no; no where the field is absent or null."""
    value = source.get(name)
    if value is None:
        return False
    if not isinstance(value, bool):
        raise ModelProblem(
            "out-of-range", at + "." + name, "%s must be true or false, got %s" % (name, repr(value))
        )
    return value


def text(source: dict, name: str, at: str, longest: int) -> str:
    """A short text; "" where the field is absent or null."""
    value = source.get(name)
    if value is None:
        return ""
    if not isinstance(value, str) or len(value) > longest:
        raise ModelProblem(
            "out-of-range", at + "." + name, "%s must be a text of at most %d characters" % (name, longest)
        )
    return value
