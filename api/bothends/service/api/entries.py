"""/api/entries: taking entries in, one or many, and handing them out in order of arrival.

An entry is checked by the book and answered for by itself: in a batch a bad row keeps no
other out. What a phone has been told is stored has reached the disk.
"""

import asyncio
from typing import Annotated, Any

from litestar import Request, Response, get, post, put
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import JSONBody, QueryParameter
from msgspec import UNSET, UnsetType
from sqlite_utils import Database

from bothends.book import car_names, devices, entries, erasing, erasures, log, numbers
from bothends.book import others as differing
from bothends.book.sheet.erased import ERASE
from bothends.book.sheet.kinds import schema_of

from ..http.problems import FIELD, Refusal, documented
from ..http.strict_json import decode
from ..wire.entry import Answers, AnyEntry, Batch, Feed, RawEntry, Row, Stored
from . import access
from .headers import LINK, LOCATION, next_page
from .open_book import book_of
from .parameters import Id, Seq, in_path

__all__ = ["EXAMPLES", "feed", "get_entry", "post_entries", "put_entry", "read"]

BATCH_BYTES = 8 * 1024 * 1024
"""Largest batch, [bytes]: 500 entries of usual size are a tenth of it."""
BODY = (*FIELD, "too-large", "too-slow", "wrong-media-type", "no-room")


_JOB = "01a0c450-6bff-7001-8000-000000000001"
_FROM = {"device": "phone-a", "at": "2026-09-21T10:00:00+02:00"}


def _example(number: int, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    name = f"01a0c450-6c65-7{number:03x}-8000-000000000065"
    said = {"kind": kind, "schema": schema_of(kind, body), "body": body}
    return {"id": name, "job": _JOB, **_FROM, "device_seq": number, **said}


EXAMPLES = {
    "job": (
        "What a job is about",
        _example(1, "job", {"title": "Gannet, low on the left", "owner": "Maren"}),
    ),
    "reading": (
        "A ride height",
        _example(2, "reading", {"what": "body-height", "side": "left", "value": 178.0}),
    ),
    "target": ("Level, 25 mm above the higher side", _example(3, "target", {"as": "level", "rise_mm": 25.0})),
    "move": ("Teeth turned", _example(4, "move", {"teardown": 1, "left": {"inner": -3, "outer": 4}})),
}
"""Records as somebody may send them: what each is, and the record."""

JOBS = 50
"""Most jobs whose records are asked for in one page."""
BEYOND = 2**53 - 1
"""Beyond all numbers."""
Apart = Annotated[
    int,
    QueryParameter(
        ge=0,
        le=BEYOND,
        description="Number of the last content that differs which is known, 0 for none; left out, none are sent.",
    ),
]
OfJobs = Annotated[
    list[Id] | None,
    QueryParameter(
        name="job",
        max_items=JOBS,
        description="Records of this job alone; to be given several times for several. Pages of them end where"
        " there are fewer records than limit, and last is the number that they are whole up to.",
    ),
]
EntryId = Annotated[str, in_path("The record's id.")]


def read(raw: bytes) -> dict[str, Any]:
    """One entry, checked; or a refusal that names the field."""
    try:
        return entries.read(raw, decode=decode)
    except entries.EntryError as error:
        raise Refusal(error.code, error.detail, path=error.path) from None


def _append(db: Database, found: list[dict[str, Any]]) -> list[log.Taken]:
    """Take records in, but for erasures that came from a stranger by way of a device which did not know better."""
    asked = [entry for entry in found if entry["kind"] == ERASE]
    ours = devices.writers(db).keys() | {erasures.SHOP} if asked else set()
    held = {e["id"] for e in asked if e["device"] not in ours and erasing.would_erase(db, e)}
    whole = [entry for entry in asked if entry["id"] not in held and entry["body"].get("only") is None]
    erased = {entry["job"]: entry["device"] for entry in whole}
    names = car_names.of_jobs(db, erased)
    taken = log.append_but(db, found, held)
    if names:
        car_names.take(db, names, without=erased, numbers={}, device=next(iter(erased.values())))
    return taken


def _refused(taken: log.Taken, name: str) -> Refusal:
    if taken.status == "other":
        return Refusal(
            "other-content",
            f"the id {name} is taken by a record with other content",
            path="$.id",
            remedy="Send the record again under a new id; neither is lost.",
            stored=taken.stored,
        )
    if taken.status == "held":
        return Refusal(
            "not-erased",
            "this record would erase the customer of a job, and no device of this shop wrote it",
            path="$.kind",
            remedy="Erase the customer at the shop's PC, where that is meant.",
        )
    if taken.status == "full":
        return Refusal(
            "job-full",
            taken.note or "the job has as many records as one may have",
            path="$.job",
            remedy="Begin a new job for the car. Nothing is lost: the record stays where it was made.",
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
    note, bare = taken.note or UNSET, taken.erased or UNSET
    return {"id": name, "status": status, "seq": taken.seq or 0, "note": note, "erased": bare}


@put(
    "/api/entries/{id:str}",
    status_code=201,
    operation_id="putEntry",
    summary="Store one record",
    description="Again with the same content changes nothing; with other content it is refused.",
    response_description="The record is new, and on the disk.",
    response_headers=[LOCATION],
    responses={
        200: ResponseSpec(
            Stored,
            description="The same record was there already.",
            media_type="application/json",
            generate_examples=False,
        ),
        **documented(
            *access.ENDS,
            *BODY,
            "bad-parameter",
            "wrong-id",
            "too-deep",
            "unfit",
            "job-full",
            "not-erased",
            "other-content",
        ),
    },
    guards=[access.needs_key],
    security=access.KEY,
    request_max_body_size=2 * entries.BYTES,
    opt={
        "examples": EXAMPLES,
        "body": RawEntry,
        "links": {
            "job": {"operationId": "job", "parameters": {"job": "$request.body#/job"}},
            "one": {"operationId": "entry", "parameters": {"id": "$request.body#/id"}},
            "again": {
                "operationId": "putEntry",
                "parameters": {"id": "$request.body#/id"},
                "requestBody": "$request.body",
            },
        },
    },
)
async def put_entry(
    id: EntryId, data: JSONBody[RawEntry], request: Request[Any, Any, Any]
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
    book = book_of(request)
    (taken,), epoch = await book.write(lambda db: (_append(db, [found]), log.epoch(db)))
    if taken.status not in ("stored", "known"):
        raise _refused(taken, id)
    book.grown()
    stored = Stored(epoch=epoch, **_answer(taken, id))
    if taken.status == "known":
        return Response(stored, status_code=200)
    return Response(stored, status_code=201, headers={"Location": f"/api/entries/{id}"})


@get(
    "/api/entries/{id:str}",
    operation_id="entry",
    summary="One record",
    responses=documented(*access.ENDS, "bad-parameter", "not-found"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def get_entry(id: EntryId, request: Request[Any, Any, Any]) -> AnyEntry:
    """The record as it was stored."""
    found = await book_of(request).read(lambda db: log.find(db, id))
    if found is None:
        raise Refusal("not-found", f"no record with the id {id} has arrived here")
    return found[1]


@post(
    "/api/entries",
    status_code=200,
    operation_id="postEntries",
    summary="Store up to 500 records",
    description=(
        "Answered row by row: good rows are stored together, a bad one is refused by index, code and path and"
        f" keeps no other out. A job may have {log.PER_JOB:,} records; further ones are refused as job-full."
    ),
    response_description="What became of each row.",
    responses=documented(*access.ENDS, *FIELD, "too-large", "too-slow", "wrong-media-type", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    request_max_body_size=BATCH_BYTES,
    opt={"examples": {"two": ("Two records", {"entries": [EXAMPLES["job"][1], EXAMPLES["reading"][1]]})}},
)
async def post_entries(data: JSONBody[Batch], request: Request[Any, Any, Any]) -> Response[Answers]:
    """Check every row, store those that are good in one transaction, answer for each."""
    book = book_of(request)
    rows, good = await asyncio.to_thread(_checked, data)
    taken, epoch = await book.write(lambda db: (_append(db, [found for _, found in good]), log.epoch(db)))
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
        " the shop database was restored from a copy; begin again at 0 and send all your own records again. The"
        " same holds where after_id is not the record that your last page ended with: somebody put another file in"
        " the database's place by hand. With others the page also has contents that were refused because their id"
        " is taken: whoever has such a record can show that there are two. With job only records of those jobs"
        " come: a device that holds some jobs fetches each whole from 0, and goes on with the feed from last."
    ),
    responses=documented(*access.ENDS, "bad-parameter"),
    guards=[access.needs_key],
    security=access.KEY,
    response_headers=[LINK],
    opt={"links": {"more": {"operationId": "entries", "parameters": {"after": "$response.body#/next"}}}},
)
async def feed(
    request: Request[Any, Any, Any],
    after: Seq = 0,
    limit: Annotated[int, QueryParameter(ge=1, le=500, description="Most records of one page.")] = 200,
    others: Apart = BEYOND,
    jobs: OfJobs = None,
) -> Response[Feed]:
    """One page of the feed, as of one moment."""

    def look(db: Database) -> Feed:
        found = log.of_jobs(db, jobs, after, limit) if jobs else log.since(db, after, limit)
        apart = differing.since(db, others, limit)
        return Feed(
            epoch=log.epoch(db),
            after_id=log.named(db, after),
            others=[inner for _, inner in apart],
            others_next=apart[-1][0] if apart else others,
            jobs=jobs or None,
            entries=[inner for _, inner in found],
            next=found[-1][0] if found else after,
            last=log.last(db),
            numbers=numbers.of(db, {inner["job"] for _, inner in found}),
        )

    page = await book_of(request).read(look)
    more = len(page.entries) == limit if jobs else page.next < page.last
    return Response(page, headers=next_page(request, after=page.next) if more else {})
