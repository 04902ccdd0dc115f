"""Entries as they come and go: one, a batch with what became of each row, a page of the feed.

An entry is typed by the book (``entries``); what a newer version wrote is kept and returned as it is.
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, Raw, UnsetType

from bothends.book import entries
from bothends.book.sheet.kinds import KINDS, SCHEMA

__all__ = ["ALTERNATIVES", "Answers", "AnyEntry", "Batch", "Feed", "RawEntry", "Row", "Stored"]


class NewerKind(entries.Envelope):
    """An entry of a kind that this version does not know: kept and returned as it is."""

    kind: Annotated[str, Meta(pattern="^[a-z][a-z0-9-]{0,31}$", extra_json_schema={"not": {"enum": KINDS}})]
    body: dict[str, Any]


class NewerSchema(entries.Envelope):
    """An entry written by a newer version: kept and returned as it is."""

    schema: Annotated[float, Meta(ge=SCHEMA + 1, le=1_000_000, multiple_of=1)]
    kind: Annotated[str, Meta(pattern="^[a-z][a-z0-9-]{0,31}$")]
    body: dict[str, Any]


ALTERNATIVES = {"AnyEntry": (entries.Entry, NewerKind, NewerSchema)}
"""Components of the document that are a choice of types, which no single struct can say."""
_REF = {"$ref": "#/components/schemas/AnyEntry"}
AnyEntry = Annotated[dict[str, Any], Meta(extra_json_schema=_REF)]
RawEntry = Annotated[Raw, Meta(extra_json_schema=_REF)]
RawRow = Annotated[
    Raw,
    Meta(
        # A row that is no entry is refused in the answer to its row, not with the request.
        extra_json_schema={"anyOf": [_REF, {"description": "Anything else is refused by its row."}]}
    ),
]


class Batch(msgspec.Struct, kw_only=True):
    """Entries to take in; each is answered for by itself."""

    entries: Annotated[list[RawRow], Meta(max_length=entries.BATCH)]


class Stored(msgspec.Struct, kw_only=True):
    """An entry is in the book."""

    id: str
    status: Literal["stored", "known"]
    seq: Annotated[int, Meta(description="Its number in order of arrival, within this epoch.")]
    epoch: Annotated[
        str, Meta(description="Changes when the database was restored from a copy: send all again.")
    ]
    note: Annotated[str, Meta(description="A word worth showing; nothing was refused.")] | UnsetType = UNSET
    erased: (
        Annotated[
            bool, Meta(description="It is kept without the words it came with: its customer was erased.")
        ]
        | UnsetType
    ) = UNSET


class Row(msgspec.Struct, kw_only=True, omit_defaults=True):
    """What became of one entry of a batch."""

    index: int
    status: Literal["stored", "known", "refused"]
    id: str | UnsetType = UNSET
    seq: int | UnsetType = UNSET
    note: str | UnsetType = UNSET
    erased: (
        Annotated[
            bool, Meta(description="It is kept without the words it came with: its customer was erased.")
        ]
        | UnsetType
    ) = UNSET
    code: (
        Annotated[str, Meta(description="Why it was refused; as a single record's problem has it.")]
        | UnsetType
    ) = UNSET
    path: str | UnsetType = UNSET
    detail: str | UnsetType = UNSET
    stored: (
        Annotated[AnyEntry, Meta(description="other-content: the record that has the id.")] | UnsetType
    ) = UNSET


class Answers(msgspec.Struct, kw_only=True):
    """Answers to a batch, row by row, in its order."""

    epoch: str
    rows: list[Row]


class Feed(msgspec.Struct, kw_only=True):
    """Records in order of arrival at the shop."""

    epoch: Annotated[
        str, Meta(description="Where it has changed, begin again at 0 and send all records again.")
    ]
    after_id: Annotated[
        str | None,
        Meta(
            description=(
                "Id of the record numbered `after`; null where there is none. Where it is not the one that your"
                " last page ended with, this is another shop database, although it says the same epoch: begin"
                " again at 0 and send all your own records again."
            )
        ),
    ]
    others: Annotated[
        list[AnyEntry],
        Meta(description="Contents that were refused as other-content; none unless `others` was given."),
    ]
    others_next: Annotated[
        int, Meta(description="To be given as others; the same as before where nothing is new.")
    ]
    jobs: Annotated[
        list[str] | None,
        Meta(
            description="The jobs that `job` named, whose records alone these are; null where it named none."
        ),
    ]
    entries: list[AnyEntry]
    next: Annotated[int, Meta(description="To be given as after; the same as before where nothing is new.")]
    last: Annotated[int, Meta(description="The highest number in the shop database: what is still to come.")]
    numbers: Annotated[
        dict[str, int],
        Meta(description="Of each job on the page, the number that people at this shop call it by."),
    ]
