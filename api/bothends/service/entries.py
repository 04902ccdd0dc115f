"""/api/entries: taking entries in, one or many, and handing them out in order of arrival.

Owns the wire forms. An entry is checked by the book and answered for by itself: in a batch a bad row keeps no
other out. What a phone has been told is stored has reached the disk.
"""

import asyncio
from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, get, post, put
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import JSONBody, PathParameter, QueryParameter
from msgspec import UNSET, Meta, Raw, UnsetType
from sqlite_utils import Database

from bothends.book import entries, ids, log
from bothends.book.sheet.kinds import KINDS, SCHEMA

from . import access
from .bodies import decode
from .keeper import keeper
from .problems import Refusal, documented

__all__ = ["ALTERNATIVES", "AnyEntry", "Seq", "feed", "post_entries", "put_entry"]

BATCH_BYTES = 8 * 1024 * 1024
"""Largest batch, [bytes]: 500 entries of usual size are a tenth of it."""
FIELD = ("missing-field", "not-a-choice", "not-json", "out-of-range", "wrong-type")
"""Codes for a field of an entry."""
BODY = (*FIELD, "too-large", "too-slow", "wrong-media-type", "no-room")


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
_RawEntry = Annotated[Raw, Meta(extra_json_schema=_REF)]
_RawRow = Annotated[
    Raw,
    Meta(
        # A row that is no entry is refused in the answer to its row, not with the request.
        extra_json_schema={
            "anyOf": [_REF, {}],
            "description": "A record; anything else is refused by its row.",
        }
    ),
]

EntryId = Annotated[str, PathParameter(pattern=ids.PATTERN, max_length=36, description="The record's id.")]
Seq = Annotated[
    int,
    QueryParameter(ge=0, le=2**53 - 1, description="Number of the last record that is known; 0 for none."),
]


class Batch(msgspec.Struct, kw_only=True):
    """Entries to take in; each is answered for by itself."""

    entries: Annotated[list[_RawRow], Meta(max_length=entries.BATCH)]


class Stored(msgspec.Struct, kw_only=True):
    """An entry is in the book."""

    id: str
    status: Literal["stored", "known"]
    seq: Annotated[int, Meta(description="Its number in order of arrival, within this epoch.")]
    epoch: Annotated[
        str, Meta(description="Changes when the database was restored from a copy: send all again.")
    ]
    note: Annotated[str, Meta(description="A word worth showing; nothing was refused.")] | UnsetType = UNSET


class Row(msgspec.Struct, kw_only=True, omit_defaults=True):
    """What became of one entry of a batch."""

    index: int
    status: Literal["stored", "known", "refused"]
    id: str | UnsetType = UNSET
    seq: int | UnsetType = UNSET
    note: str | UnsetType = UNSET
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
    entries: list[AnyEntry]
    next: Annotated[int, Meta(description="To be given as after; the same as before where nothing is new.")]
    last: Annotated[int, Meta(description="The highest number in the shop database: what is still to come.")]


def read(raw: bytes) -> dict[str, Any]:
    """One entry, checked; or a refusal that names the field."""
    try:
        return entries.read(raw, decode=decode)
    except entries.EntryError as error:
        raise Refusal(error.code, error.detail, path=error.path) from None


def _refused(taken: log.Taken, name: str) -> Refusal:
    if taken.status == "other":
        return Refusal(
            "other-content",
            f"the id {name} is taken by a record with other content",
            path="$.id",
            remedy="Send the record again under a new id; neither is lost.",
            stored=taken.stored,
        )
    return Refusal("unfit", taken.note or "the record cannot be stored", path="$")


def _row(index: int, refusal: Refusal, name: str | UnsetType) -> Row:
    problem = refusal.problem
    where = problem.path if isinstance(problem.path, str) else "$"
    return Row(
        index=index,
        status="refused",
        id=name,
        code=problem.code,
        path=f"$.entries[{index}]{where[1:]}",
        detail=problem.detail,
        stored=problem.stored,
    )


def _answer(taken: log.Taken, name: str) -> dict[str, Any]:
    status: Any = taken.status
    return {"id": name, "status": status, "seq": taken.seq or 0, "note": taken.note or UNSET}


@put(
    "/api/entries/{id:str}",
    status_code=201,
    operation_id="putEntry",
    summary="Store one record",
    description="Again with the same content changes nothing; with other content it is refused.",
    response_description="The record is new, and on the disk.",
    responses={
        200: ResponseSpec(
            Stored,
            description="The same record was there already.",
            media_type="application/json",
            generate_examples=False,
        ),
        **documented(*access.ENDS, *BODY, "bad-parameter", "wrong-id", "too-deep", "unfit", "other-content"),
    },
    guards=[access.needs_key],
    security=access.KEY,
    request_max_body_size=2 * entries.BYTES,
    opt={
        "body": _RawEntry,
        "links": {
            "job": {"operationId": "job", "parameters": {"job": "$request.body#/job"}},
            "again": {
                "operationId": "putEntry",
                "parameters": {"id": "$request.body#/id"},
                "requestBody": "$request.body",
            },
        },
    },
)
async def put_entry(
    id: EntryId, data: JSONBody[_RawEntry], request: Request[Any, Any, Any]
) -> Response[Stored]:
    """Store the entry, or say that it is there."""
    found = read(bytes(data))
    if found["id"] != id:
        raise Refusal(
            "wrong-id",
            f"the address ends in {id}, but the record's id is {found['id']}",
            path="$.id",
            remedy="Put a record at the address of its own id.",
        )
    book = keeper(request)
    (taken,), epoch = await book.write(lambda db: (log.append(db, [found]), log.epoch(db)))
    if taken.status not in ("stored", "known"):
        raise _refused(taken, id)
    book.grown()
    return Response(
        Stored(epoch=epoch, **_answer(taken, id)), status_code=201 if taken.status == "stored" else 200
    )


@post(
    "/api/entries",
    status_code=200,
    operation_id="postEntries",
    summary="Store up to 500 records",
    description=(
        "Answered row by row: good rows are stored together, a bad one is refused by index, code and path and"
        " keeps no other out."
    ),
    response_description="What became of each row.",
    responses=documented(*access.ENDS, *FIELD, "too-large", "too-slow", "wrong-media-type", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    request_max_body_size=BATCH_BYTES,
)
async def post_entries(data: JSONBody[Batch], request: Request[Any, Any, Any]) -> Response[Answers]:
    """Check every row, store those that are good in one transaction, answer for each."""
    book = keeper(request)
    rows, good = await asyncio.to_thread(_checked, data)
    taken, epoch = await book.write(lambda db: (log.append(db, [found for _, found in good]), log.epoch(db)))
    for (index, found), what in zip(good, taken, strict=True):
        if what.status in ("stored", "known"):
            rows[index] = Row(index=index, **_answer(what, found["id"]))
        else:
            rows[index] = _row(index, _refused(what, found["id"]), found["id"])
    if good:
        book.grown()
    return Response(Answers(epoch=epoch, rows=[rows[index] for index in sorted(rows)]))


def _checked(batch: Batch) -> tuple[dict[int, Row], list[tuple[int, dict[str, Any]]]]:
    """Answers to the rows that are refused, and the others with their indexes."""
    rows: dict[int, Row] = {}
    good = []
    for index, raw in enumerate(batch.entries):
        try:
            good.append((index, read(bytes(raw))))
        except Refusal as refusal:
            rows[index] = _row(index, refusal, UNSET)
    return rows, good


@get(
    "/api/entries",
    operation_id="entries",
    summary="Records in order of arrival",
    description=(
        "Ask again with after = next: nothing that was stored in between is missed. Where the epoch has changed"
        " the shop database was restored from a copy; begin again at 0 and send all your own records again."
    ),
    responses=documented(*access.ENDS, "bad-parameter"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={"links": {"more": {"operationId": "entries", "parameters": {"after": "$response.body#/next"}}}},
)
async def feed(
    request: Request[Any, Any, Any], after: Seq = 0, limit: Annotated[int, QueryParameter(ge=1, le=500)] = 200
) -> Feed:
    """One page of the feed, as of one moment."""

    def look(db: Database) -> Feed:
        found = log.since(db, after, limit)
        return Feed(
            epoch=log.epoch(db),
            entries=[inner for _, inner in found],
            next=found[-1][0] if found else after,
            last=log.last(db),
        )

    return await keeper(request).read(look)
