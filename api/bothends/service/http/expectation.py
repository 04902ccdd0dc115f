"""What the schema expects at a place in a body, in words: "a number from 100 to 1500"."""

import functools
from typing import Any

from msgspec import inspect

__all__ = ["expected", "fields_at"]


def expected(kind: Any, steps: list[str | int]) -> str | None:
    """Words for what belongs at ``steps`` inside a body of type ``kind``; None where nothing is known of it.

    >>> import msgspec
    >>> class Bar(msgspec.Struct):
    ...     teeth: int
    >>> expected(list[Bar], [0, "teeth"])
    'a whole number'
    """
    found = _at(kind, steps)
    words: list[str] = []
    for item in found:
        for inner in _flat(item):
            text = _words(inner)
            if text and text not in words:
                words.append(text)
    # That null means left out helps nobody who sent something else.
    return " or ".join([word for word in words if word != "null"] or words) or None


def fields_at(kind: Any, steps: list[str | int]) -> list[str]:
    """Names of the fields that an object may have there; none where it may be of several kinds or of none.

    >>> import msgspec
    >>> class Bar(msgspec.Struct):
    ...     teeth: int
    >>> fields_at(Bar, [])
    ['teeth']
    """
    structs = [m for found in _at(kind, steps) for m in _flat(found) if isinstance(m, inspect.StructType)]
    return [field.encode_name for field in structs[0].fields] if len(structs) == 1 else []


@functools.lru_cache
def _info(kind: Any) -> inspect.Type:
    # Some 40 ms for an entry's type; a batch may be wrong in 500 rows.
    return inspect.type_info(kind)


def _at(kind: Any, steps: list[str | int]) -> list[inspect.Type]:
    found = [_info(kind)]
    for step in steps:
        found = [inner for outer in found for inner in _into(outer, step)]
    return found


def _flat(info: inspect.Type) -> list[inspect.Type]:
    if isinstance(info, inspect.Metadata):
        return _flat(info.type)
    if isinstance(info, inspect.UnionType):
        return [inner for member in info.types for inner in _flat(member)]
    return [info]


def _into(info: inspect.Type, step: str | int) -> list[inspect.Type]:
    """Types that may stand one step further in; several where a union leaves it open."""
    out: list[inspect.Type] = []
    for member in _flat(info):
        if isinstance(member, inspect.StructType):
            if step == member.tag_field and member.tag is not None:
                out.append(inspect.LiteralType((member.tag,)))
            out += [f.type for f in member.fields if f.encode_name == step]
        elif isinstance(member, inspect.ListType) and isinstance(step, int):
            out.append(member.item_type)
    return out


def _words(info: inspect.Type) -> str | None:
    if isinstance(info, (inspect.FloatType, inspect.IntType)):
        whole = isinstance(info, inspect.IntType) or info.multiple_of == 1
        return ("a whole number" if whole else "a number") + _span(info.ge, info.le)
    if isinstance(info, inspect.LiteralType):
        return ", ".join(str(v) for v in info.values)
    if isinstance(info, inspect.StrType):
        return "text" + _span(info.min_length, info.max_length, " characters")
    if isinstance(info, inspect.ListType):
        return "a list" + _span(info.min_length, info.max_length, " entries")
    if isinstance(info, inspect.BoolType):
        return "true or false"
    if isinstance(info, inspect.StructType):
        return "an object"
    return "null" if isinstance(info, inspect.NoneType) else None


def _span(low: float | None, high: float | None, unit: str = "") -> str:
    if low is not None and high is not None:
        return f" from {low:g} to {high:g}{unit}"
    if high is not None:
        return f" of at most {high:g}{unit}"
    return "" if low is None else f" of at least {low:g}{unit}"
