"""Reading one field of a request, with an error that names it: expected, came, what to do."""

from .problem import ModelProblem

__all__ = ["choice", "flag", "integer", "number", "part", "table"]


def part(source: dict, name: str, at: str) -> dict | None:
    """An optional object inside ``source``, or None."""
    value = source.get(name)
    if value is not None and not isinstance(value, dict):
        raise ModelProblem("out-of-range", at + "." + name, name + " must be an object")
    return value


def table(source: dict, name: str, at: str) -> dict:
    """A required object inside ``source``."""
    value = part(source, name, at) if isinstance(source, dict) else None
    if value is None:
        raise ModelProblem("out-of-range", at + "." + name, name + " is required")
    return value


def _outside(name: str, at: str, limits: tuple, value: object) -> ModelProblem:
    return ModelProblem(
        "out-of-range",
        at + "." + name,
        "%s must be between %g and %g, got %s" % (name, limits[0], limits[1], value),
    )


def number(
    source: dict, name: str, at: str, limits: tuple, default: float | None = None, free: bool = False
) -> float:
    """A number within ``limits`` (both ends allowed), or the default where the field is absent or null.

    ``free`` lets a default outside the limits mark absence.
    """
    value = source.get(name)
    if value is None:
        if default is None:
            raise ModelProblem("out-of-range", at + "." + name, name + " is required")
        value = default
        if free:
            return value
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ModelProblem(
            "out-of-range", at + "." + name, "%s must be a number, got %s" % (name, repr(value))
        )
    # Written so that a NaN fails.
    if not limits[0] <= value <= limits[1]:
        raise _outside(name, at, limits, value)
    return float(value)


def integer(source: dict, name: str, at: str, limits: tuple, default: int | None = None) -> int:
    """A whole number within ``limits``; 3.0 counts as whole, 3.5 does not."""
    value = source.get(name)
    if value is None:
        value = default
    if value is None:
        raise ModelProblem("out-of-range", at + "." + name, name + " is required")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not limits[0] <= value <= limits[1]:
        raise _outside(name, at, limits, value)
    if value != int(value):
        raise ModelProblem(
            "out-of-range", at + "." + name, "%s must be a whole number, got %s" % (name, value)
        )
    return int(value)


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
