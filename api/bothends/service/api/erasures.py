"""/api/erasures: erasing a customer on request, what that takes before it is done, and the list of what was done.

Nothing here says what was erased once it is.
"""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get, post
from litestar.params import JSONBody, QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import copies, devices, erasures
from bothends.book.visits import with_visits

from ..http.problems import FIELD, documented
from . import access
from .headers import LINK, next_page
from .open_book import book_of, no_job
from .parameters import Id, JobId, Limit

__all__ = ["done", "look", "make"]

MOST = 500
"""Most jobs of one request."""
PC = "the shop's PC"
"""Who asked, where it was the command line."""


class Erasure(msgspec.Struct, kw_only=True):
    """A customer that was erased from a job; what it was is said nowhere."""

    id: Annotated[str, Meta(description="Of its record, which is one of the job's.")]
    job: str
    at: Annotated[str, Meta(description="When, RFC 3339.")]
    by: Annotated[
        str, Meta(description="Name of the device that asked for it; empty where it is not known here.")
    ]
    entries: Annotated[int, Meta(description="How many records lost words.")]


class Asked(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """Jobs whose customer is to be erased."""

    jobs: Annotated[list[Id], Meta(min_length=1, max_length=MOST)]
    cars: Annotated[
        dict[str, Annotated[str, Meta(max_length=200)]],
        Meta(
            max_length=MOST,
            description="By job, what the car is called from then on; left out: nothing. Its old name goes.",
        ),
    ] = msgspec.field(default_factory=dict)


class ErasureList(msgspec.Struct, kw_only=True):
    """Erasures in order of their ids."""

    erasures: list[Erasure]
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


class JobToErase(msgspec.Struct, kw_only=True):
    """A job as it would be taken words from."""

    job: str
    title: str
    owner: str
    plate: str
    car: str
    first_at: str
    last_at: str
    entries: Annotated[int, Meta(description="Records that have words to lose.")]
    spots: Annotated[list[str], Meta(description="Names of places where the car stood: they stay.")]
    erased: Annotated[bool, Meta(description="Whether its customer was erased before.")]


class Customer(msgspec.Struct, kw_only=True):
    """What erasing a customer takes: the job, and the others of the same car."""

    jobs: list[JobToErase]
    copies_days: Annotated[
        int,
        Meta(description="How long daily copies of the shop database go on holding what was erased, [days]."),
    ]


def _told(db: Database, found: list[erasures.Done]) -> list[Erasure]:
    names = devices.writers(db)
    return [
        Erasure(
            id=one.id,
            job=one.job,
            at=one.at,
            by=PC if one.device == erasures.SHOP else names.get(one.device, ""),
            entries=one.entries,
        )
        for one in found
    ]


@post(
    "/api/erasures",
    operation_id="erase",
    summary="Erase the customer of some jobs",
    description=(
        "Replaces name, plate, request, notes and every other word of or about a person in all records of these"
        " jobs, in the database's own bytes too; figures stay. It cannot be undone. Devices do the same as they"
        " next fetch records; records that come later from devices which had not heard of it lose their words as"
        f" they arrive. Copies made before hold them for {copies.LONGEST_DAYS} days, and lose them when restored;"
        " files, pages and long links that were sent cannot be recalled. A job that has no words left is answered"
        " with its last erasure."
    ),
    response_description="What was done, job by job.",
    status_code=200,
    responses=documented(
        *access.ENDS,
        *FIELD,
        "unknown-field",
        "not-found",
        "too-large",
        "too-slow",
        "wrong-media-type",
        "no-room",
    ),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "examples": {
            "one": (
                "One job, whose car goes on being called a Gannet",
                {
                    "jobs": ["01a0c450-6bff-7001-8000-000000000001"],
                    "cars": {"01a0c450-6bff-7001-8000-000000000001": "Gannet"},
                },
            )
        }
    },
)
async def make(data: JSONBody[Asked], request: Request[Any, Any, Any]) -> ErasureList:
    """Erase them in one transaction."""
    device = access.device_of(request)
    writer = device["writes_as"] or device["id"]
    book = book_of(request)
    await book.fresh()

    def work(db: Database) -> str | list[Erasure]:
        wanted = list(dict.fromkeys(data.jobs))
        for job in wanted:
            if not erasures.there(db, job):
                return job
        return _told(db, erasures.erase(db, wanted, device=writer, cars=data.cars))

    made = await book.write(work)
    if isinstance(made, str):
        raise no_job(made)
    book.grown()
    return ErasureList(erasures=made, next=None)


@get(
    "/api/erasures",
    operation_id="erasures",
    summary="Customers that were erased",
    description="Who asked, when, and how many records it took words from.",
    responses=documented(*access.ENDS, "bad-parameter"),
    response_headers=[LINK],
    guards=[access.needs_key],
    security=access.KEY,
)
async def done(
    request: Request[Any, Any, Any],
    after: Annotated[str, QueryParameter(max_length=36, description="The next of the page before.")] = "",
    limit: Limit = 50,
) -> Response[ErasureList]:
    """One page of them."""
    found = await book_of(request).read(lambda db: _told(db, erasures.since(db, after, limit + 1)))
    lines = found[:limit]
    page = ErasureList(erasures=lines, next=lines[-1].id if len(found) > limit else None)
    return Response(page, headers=next_page(request, after=page.next) if page.next else {})


@get(
    "/api/erasures/{job:str}",
    operation_id="customer",
    summary="What erasing a customer would take",
    description="Of the job, and of the other jobs of the same car.",
    responses=documented(*access.ENDS, "bad-parameter", "not-found", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def look(request: Request[Any, Any, Any], job: JobId) -> Customer:
    """Look at them; nothing is changed."""
    book = book_of(request)
    await book.fresh()

    def work(db: Database) -> list[erasures.Look]:
        return [found for each in with_visits(db, job) if (found := erasures.look(db, each))]

    seen = await book.read(work)
    if not seen:
        raise no_job(job)
    names = JobToErase.__struct_fields__
    visits = [JobToErase(**{name: getattr(one, name) for name in names}) for one in seen]
    return Customer(jobs=visits, copies_days=copies.LONGEST_DAYS)
