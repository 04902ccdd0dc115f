"""Struct fields made from the model's table of facts, so that no bound, default or unit is named again.

Owns how a row of `model.fields` becomes a msgspec field. `bodies` (the logbook's edge) and the service's structs
(the solver's edge) are made with it; which rows stand together is read off the rows' paths.
"""

from collections.abc import Callable, Sequence
from typing import Annotated, Any, Literal, TypeVar

import msgspec
from msgspec import Meta

from bothends.model import fields
from bothends.model.beliefs import AT_FRONT
from bothends.model.fields import Field, Kind, Word

__all__ = ["Made", "adding", "fields_of", "made", "marked", "of", "reading_of", "title", "whole"]

S = TypeVar("S", bound=msgspec.Struct)
Made = tuple[str, Any] | tuple[str, Any, Any]


def whole(low: float, high: float, words: str) -> Meta:
    """Bounds and words of a whole number."""
    # A float that is whole: JSON writes no difference between 3 and 3.0, and some writers send the latter.
    return Meta(ge=low, le=high, description=words, multiple_of=1)


def of(path: str, *, low: float | None = None) -> Meta:
    """Bounds and words of the number at a path such as "car.arm_mm"; ``low`` where a place asks for more.

    >>> of("car.arm_mm").ge
    100.0
    """
    return _meta(fields.field(path), low)


def _meta(field: Field, low: float | None = None) -> Meta:
    least, most = field.widest
    least = least if low is None else low
    if field.whole:
        return whole(least, most, field.words)
    return Meta(ge=least, le=most, description=_words(field))


def _words(field: Field) -> str:
    """What a field is, and what is taken where it is left out, if that is not the same at both axles."""
    front = AT_FRONT.get(field.path)
    if front is None:
        return field.words
    return f"{field.words} Left out: {field.default:g} at the rear, {front:g} at the front."


def _type(fact: Field | Word) -> Any:
    if isinstance(fact, Field):
        return Annotated[float, _meta(fact)]
    meta = Meta(description=fact.words)
    if fact.choices == (False, True):
        return Annotated[bool, meta]
    choice: Any = Literal.__getitem__(fact.choices) if fact.choices else str
    if fact.many:
        return Annotated[list[choice], Meta(max_length=len(fact.choices), description=fact.words)]
    if fact.choices:
        return Annotated[choice, meta]
    return Annotated[str, Meta(max_length=fact.longest, description=fact.words)]


def _field(fact: Field | Word, *, patch: bool = False, needed: bool = False) -> Made:
    """Name, type and default; in a patch everything may be missing, and null takes it back."""
    kind = _type(fact)
    options: dict[str, Any] = {"name": fact.name} if fact.name == "as" else {}
    if not needed:
        if isinstance(fact, Word) and fact.many and not patch:
            options["default_factory"] = list
        elif patch or fact.default is None or fact.path in AT_FRONT:
            # What depends on the axle has no one default to name.
            options["default"] = None
            kind = kind | None
        else:
            options["default"] = fact.default
    return ("as_" if options.get("name") else fact.name, kind, msgspec.field(**options))


def _facts(part: str) -> list[Field | Word]:
    every: list[Field | Word] = [*fields.WORDS, *fields.FIELDS]
    return [fact for fact in every if fact.path == (f"{part}.{fact.name}" if part else fact.name)]


def made(
    name: str, base: type[S], words: str, fields: Sequence[Made] = (), *, tag: str | None = None
) -> type[S]:
    """A struct under another, with fields of its own: (name, type, default) or (name, type)."""
    new: Any = msgspec.defstruct(
        name,
        list(fields),
        bases=(base,),
        module=base.__module__,
        namespace={"__doc__": words},
        kw_only=True,
        tag=tag,
    )
    return new  # type: ignore[no-any-return]


def fields_of(
    part: str, *, patch: bool = False, needs: Sequence[str] = (), may: Sequence[str] | None = None
) -> Callable[[type[S]], type[S]]:
    """Give a struct the fields that the table has directly below ``part``, after those it declares itself.

    Parameters
    ----------
    part : as "car.bar"; "" for the request itself
    patch : every field may be missing or null, as in a merge patch
    needs : names of fields that must be there
    may : names of the others, where not all of the part are meant
    """
    found = [fact for fact in _facts(part) if may is None or fact.name in (*needs, *may)]
    return adding([_field(fact, patch=patch, needed=fact.name in needs) for fact in found])


def adding(found: Sequence[Made]) -> Callable[[type[S]], type[S]]:
    """Give a struct fields after those it declares itself."""

    def add(cls: type[S]) -> type[S]:
        return made(cls.__name__, cls, cls.__doc__ or "", found)

    return add


def marked(cls: type[S]) -> type[S]:
    """Give a struct what tells one car from another, as the table has it; each may be missing or taken back."""
    found: list[Made] = []
    for mark in fields.MARKS:
        word: Any = Annotated[str, Meta(max_length=mark.longest, description=mark.words)]
        found.append((mark.name, word | None, None))
    return adding(found)(cls)


def _widest(rows: Sequence[Field], words: str) -> Any:
    low, high = min(row.low for row in rows), max(row.high for row in rows)
    return Annotated[float, Meta(ge=low, le=high, description=words)]


def reading_of(kinds: Sequence[Kind], *, patch: bool = False) -> Callable[[type[S]], type[S]]:
    """Give a struct the fields of a reading that is of any of ``kinds``: the bounds are the widest of them.

    ``patch`` lets those that may be left out be null too; the struct's tag then says what was read.
    """
    one = kinds[0] if len(kinds) == 1 else None
    said = "; ".join(f"{k.name} {k.value.low:g} to {k.value.high:g} {k.unit}" for k in kinds)
    good = "; ".join(f"{k.name} {k.sd:g} {k.unit}, at most {k.spread.high:g}" for k in kinds)
    spread = f"Standard uncertainty; left out: {good}"
    angles = any(kind.angle for kind in kinds)
    if angles:
        spread += f" ({fields.ANGLE_SD_WITH_DATUM:g} ° with a datum)"
    value = _widest([kind.value for kind in kinds], one.value.words if one else f"By kind: {said}.")
    found: list[Made] = [
        _field(fields.word("log.side"), needed=True),
        ("value", value),
        ("sd", _widest([kind.spread for kind in kinds], f"{spread}.") | None, None),
    ]
    if not patch:
        words = Meta(description=fields.word("log.what").words)
        found.insert(0, ("what", Annotated[Literal[tuple(k.name for k in kinds)], words]))
    for fact in _facts("log"):
        if fact.name not in ("what", "side") and (angles or fact.name not in ("datum", "reference")):
            # Nobody takes back which teardown a reading belongs to: left out is 0, null is a slip.
            found.append(_field(fact, patch=patch and fact.name != "teardown"))
    return adding(found)


def title(name: str) -> str:
    """A kind's or a form's name as that of a class.

    >>> title("hub-to-body")
    'HubToBody'
    """
    return "".join(part.capitalize() for part in name.split("-"))
