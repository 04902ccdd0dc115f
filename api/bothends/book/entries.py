"""Entries as they enter the shop: the envelope, the closed set of kinds, and what is checked.

An entry of a kind or schema number that this version does not know comes from a newer phone: its envelope is
checked, its body is kept as it is. Owns checking and comparing; ``store`` keeps entries, ``sheet`` gives them
meaning.
"""

import functools
import re
from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from . import bodies, ids
from .sheet.kinds import KINDS, SCHEMA
from .sheet.order import canonical, too_late
from .sheet.writers import MOST as WRITER

__all__ = ["BATCH", "BYTES", "SAW", "Entry", "EntryError", "Envelope", "read", "same"]

BYTES = 64 * 1024
"""Largest entry, as JSON, [bytes]: a plan with its covariance takes a tenth of it."""
BATCH = 500
"""Most entries of one batch."""
SAW = 100
"""Most entries that one says it has seen: more do not stand side by side."""
DEPTH = 32
"""Deepest nesting of an entry: SQLite's JSON functions give up at 1,000, and with them every view."""


class Envelope(msgspec.Struct, kw_only=True):
    """What every entry carries round its body, whatever its kind."""

    id: Annotated[
        str,
        Meta(
            pattern=ids.BOUNDED,
            description="UUIDv7, lower case, made where it was written; later than all that its writer had"
            " seen, and stamped no later than the year 2200.",
        ),
    ]
    job: Annotated[
        str,
        Meta(
            pattern=ids.BOUNDED,
            description="Id of the job, a UUIDv7 stamped no later than the year 2200.",
        ),
    ]
    device: Annotated[
        str,
        Meta(pattern=f"^[A-Za-z0-9._:-]{{1,64}}{ids.END}", description="Name of the device that wrote it."),
    ]
    at: Annotated[
        datetime, Meta(tz=True, description="The writer's clock, RFC 3339 with offset; a label only.")
    ]
    # Floats that are whole: JSON makes no difference between 3 and 3.0.
    schema: Annotated[
        float, Meta(ge=1, le=1_000_000, multiple_of=1, description="Number of the schema it was written by.")
    ] = 1
    device_seq: (
        Annotated[
            float, Meta(ge=0, le=2**53 - 1, multiple_of=1, description="Counts the records of its device.")
        ]
        | None
    ) = None
    writer: (
        Annotated[
            str,
            Meta(
                max_length=WRITER,
                description="Who wrote it, by the name they gave; empty where they gave none when asked.",
            ),
        ]
        | None
    ) = None
    erasure: (
        Annotated[
            str,
            Meta(
                pattern=ids.BOUNDED,
                description="Id of the job's last record of kind erase, where its writer knew of one: what this"
                " says was written afterwards.",
            ),
        ]
        | None
    ) = None
    erased: (
        Annotated[
            bool | Literal["car"],
            Meta(
                description="The customer was erased: its words are gone, its figures stand; car: nothing is gone"
                " but names that said which car it is."
            ),
        ]
        | None
    ) = None


class _Any(Envelope):
    kind: Annotated[str, Meta(pattern=f"^[a-z][a-z0-9-]{{0,31}}{ids.END}")]
    body: dict[str, Any]


class Card(Envelope, kw_only=True):
    """An entry that adds to one card of its job, with what its writer had seen of that card."""

    saw: (
        Annotated[
            list[bodies.EntryId],
            Meta(
                max_length=SAW,
                description="Records of this kind in this job that were its latest when it was written, as its"
                " writer had them. Left out: all that stand before it in the order.",
            ),
        ]
        | None
    ) = None


class CarEntry(Card, tag_field="kind", tag="car"):
    """The car, or more about it."""

    body: bodies.CarBody


class CloseEntry(Envelope, tag_field="kind", tag="close"):
    """The job is handed over."""

    body: bodies.CloseBody


class EraseEntry(Envelope, tag_field="kind", tag="erase"):
    """The customer is erased from what was written without knowing of it."""

    body: bodies.EraseBody


class JobEntry(Card, tag_field="kind", tag="job"):
    """What the job is about, or more about it."""

    body: bodies.JobBody


class KnownEntry(Card, tag_field="kind", tag="known"):
    """Constants known from the car's last visit."""

    body: bodies.KnownBody


class MoveEntry(Envelope, tag_field="kind", tag="move"):
    """Teeth turned."""

    body: bodies.MoveBody


class NoteEntry(Envelope, tag_field="kind", tag="note"):
    """Words."""

    body: bodies.NoteBody


class PhotoEntry(Envelope, tag_field="kind", tag="photo"):
    """A photo; its bytes go apart."""

    body: bodies.PhotoBody


class PlanEntry(Envelope, tag_field="kind", tag="plan"):
    """What was promised."""

    body: bodies.PlanBody


class ReadingEntry(Envelope, tag_field="kind", tag="reading"):
    """One reading."""

    body: bodies.ReadingBody


class SettleEntry(Envelope, tag_field="kind", tag="settle"):
    """A conflict settled by a person."""

    body: bodies.SettleBody


class StepEntry(Envelope, tag_field="kind", tag="step"):
    """A step ticked."""

    body: bodies.StepBody


class StrikeEntry(Envelope, tag_field="kind", tag="strike"):
    """Another entry taken out."""

    body: bodies.StrikeBody


class TargetEntry(Card, tag_field="kind", tag="target"):
    """What is wanted, or more about it."""

    body: bodies.TargetBody


Entry = (
    CarEntry
    | CloseEntry
    | EraseEntry
    | JobEntry
    | KnownEntry
    | MoveEntry
    | NoteEntry
    | PhotoEntry
    | PlanEntry
    | ReadingEntry
    | SettleEntry
    | StepEntry
    | StrikeEntry
    | TargetEntry
)


class EntryError(Exception):
    """An entry that cannot be kept: ``code`` for programs, ``path`` of the field, ``detail`` for people."""

    def __init__(self, code: str, path: str, detail: str) -> None:
        super().__init__(f"{detail}, at {path}")
        self.code = code
        self.path = path
        self.detail = detail


@functools.cache
def _decoder(kind: Any) -> msgspec.json.Decoder[Any]:
    return msgspec.json.Decoder(kind)


def _decode(raw: bytes, kind: Any) -> Any:
    return _decoder(kind).decode(raw)


def read(raw: bytes, *, decode: Callable[[bytes, Any], Any] = _decode) -> dict[str, Any]:
    """Check one entry and return it with every field it came with.

    Parameters
    ----------
    raw : JSON of the entry
    decode : reads bytes as a type; the service gives its own, whose errors are problems with words

    Raises
    ------
    EntryError
        "too-large", "too-deep" or, for an id stamped beyond the bound, "out-of-range".
    Exception
        Whatever ``decode`` raises; msgspec's errors by default.
    """
    if len(raw) > BYTES:
        raise EntryError("too-large", "$", f"an entry may have {BYTES} bytes, got {len(raw)}")
    try:
        known = decode(raw, _Any)
    except Exception:
        # A pattern says of an id beyond the bound only that it does not match.
        _refuse_late(raw)
        raise
    if known.kind in KINDS and known.schema <= SCHEMA:
        decode(raw, Entry)
    entry: dict[str, Any] = decode(raw, dict[str, Any])
    if raw.count(b"[") + raw.count(b"{") > DEPTH and _too_deep(entry):
        raise EntryError("too-deep", "$.body", f"an entry may be nested {DEPTH} deep, this one is deeper")
    return entry


def _refuse_late(raw: bytes) -> None:
    """Refuse an entry whose id, or its job's, is an id but for its stamp.

    Raises
    ------
    EntryError
        "out-of-range".
    """
    try:
        said = msgspec.json.decode(raw)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return
    for name in ("id", "job"):
        value = said.get(name) if isinstance(said, dict) else None
        if isinstance(value, str) and re.match(ids.PATTERN, value) and too_late(value):
            raise EntryError("out-of-range", f"$.{name}", ids.too_late_words(name)) from None


def _too_deep(value: Any) -> bool:
    level = [value]
    for _ in range(DEPTH):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, (dict, list))
        ]
        if not level:
            return False
    return True


def same(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Whether two entries have the same content; spacing, order of fields, 3 for 3.0 make no difference."""
    return bool(canonical(one) == canonical(other))
