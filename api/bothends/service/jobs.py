"""/api/jobs: the list, searched, sorted and narrowed; the sheet of a job and its history.

Owns the wire forms of lists. A sheet is sent as the fold makes it; its shape is the fold's.
"""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, get
from litestar.params import PathParameter, QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import ids, jobs, log
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request as solve_request

from . import access
from .keeper import keeper
from .problems import Refusal, documented
from .request import Posterior

__all__ = [
    "JobId",
    "JobLine",
    "Limit",
    "Visit",
    "Words",
    "job",
    "job_history",
    "listed",
    "missing",
    "visit",
]

JobId = Annotated[str, PathParameter(pattern=ids.PATTERN, max_length=36, description="The job's id.")]
Limit = Annotated[int, QueryParameter(ge=1, le=500, description="Most rows of one page.")]
Words = Annotated[
    str, QueryParameter(name="query", max_length=200, description="Words that must all appear; any case.")
]
Standing = Annotated[
    Literal["", "open", "measuring", "planned", "torn down", "checked", "closed"],
    QueryParameter(name="state", description="Where the job stands; open is all but closed."),
]
Before = Annotated[
    int,
    QueryParameter(
        ge=0,
        le=2**53 - 1,
        description="The next of the page before, in the order of arrival; 0 for the first page.",
    ),
]
Sort = Annotated[
    Literal[
        "arrival",
        "begun",
        "worked",
        "car",
        "owner",
        "wish",
        "state",
        "teardowns",
        "left",
        "right",
        "odds",
        "unsettled",
    ],
    QueryParameter(
        name="sort",
        description=(
            "What to sort by; jobs that lack it come last, and among equals the order of arrival decides. In"
            " another order than that of arrival, pages turn by skip."
        ),
    ),
]
Day = Annotated[
    str,
    QueryParameter(
        pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$|^$", max_length=10, description="YYYY-MM-DD, UTC, included."
    ),
]


class JobLine(msgspec.Struct, kw_only=True):
    """One job in a list."""

    job: str
    title: str
    owner: str
    wish: str
    car: str
    car_key: Annotated[
        str, Meta(description="The same for every visit of one car; empty where it has no name.")
    ]
    state: Literal["measuring", "planned", "torn down", "checked", "closed"]
    teardowns: int
    entries: int
    conflicts: Annotated[int, Meta(description="Conflicts that a person has to resolve.")]
    puzzles: Annotated[int, Meta(description="Records that this version does not understand.")]
    left_mm: Annotated[float | None, Meta(description="Ride height last read, left, [mm].")]
    right_mm: Annotated[float | None, Meta(description="Ride height last read, right, [mm].")]
    target_left_mm: Annotated[
        float | None, Meta(description="Height that the target comes to, left, [mm]; null where to none yet.")
    ]
    target_right_mm: Annotated[float | None, Meta(description="The same, right, [mm].")]
    tolerance_mm: Annotated[float | None, Meta(description="How far off either height may be, [mm].")]
    odds: Annotated[float | None, Meta(description="Last predicted chance, 0 to 1.")]
    first_at: str | None
    last_at: str | None
    seq: Annotated[int, Meta(description="Number of its latest record.")]


class JobPage(msgspec.Struct, kw_only=True):
    """Jobs, by default those with the latest arrivals first."""

    jobs: list[JobLine]
    next: Annotated[
        int | None,
        Meta(
            description="To be given as after; null on the last page, and where pages turn by skip: in another"
            " order than that of arrival, or upwards."
        ),
    ]
    total: Annotated[int, Meta(description="How many jobs there are on all pages.")]


class Visit(msgspec.Struct, kw_only=True):
    """What a car's earlier visit taught; to be kept in a job as an entry of kind known, or to be refused."""

    job: str
    title: str
    at: str
    bar: Annotated[dict[str, Any] | None, Meta(description="The bar it had; with another one, refuse.")]
    posterior: Annotated[Posterior, Meta(description="To be given as car.known.")]
    learned: dict[str, Any] | None


class Sheet(msgspec.Struct, kw_only=True):
    """A job: the sheet its entries come to, and what follows from it."""

    sheet: Annotated[dict[str, Any], Meta(description="As folded: cards, readings, moves, plans, conflicts.")]
    request: Annotated[dict[str, Any], Meta(description="The solve request; send it once stops is empty.")]
    ids: Annotated[list[str], Meta(description="The record at each place of the request's log.")]
    stops: Annotated[list[dict[str, Any]], Meta(description="What has to be resolved or entered first.")]
    stages: Annotated[
        list[dict[str, Any]],
        Meta(description="As found, after each teardown, and at each recheck (after_km)."),
    ]
    visit: Annotated[Visit | None, Meta(description="What was learned at the car's last visit.")]
    seq: Annotated[int, Meta(description="Number of its latest record.")]


class Event(msgspec.Struct, kw_only=True):
    """A reading, a move or a plan, with the entry's fields; a plan also with what came."""

    kind: Literal["reading", "move", "plan"]
    row: dict[str, Any]


class JobHistory(msgspec.Struct, kw_only=True):
    """Every reading, move and plan of a job in the order of the work."""

    job: str
    events: list[Event]
    next: Annotated[int | None, Meta(description="To be given as after; null on the last page.")]


def missing(job: str) -> Refusal:
    """The refusal where a job has no entries here."""
    return Refusal("not-found", f"no record of a job {job} has arrived here")


_ENDS = documented(*access.ENDS, "bad-parameter", "no-room")


@get(
    "/api/jobs",
    operation_id="jobs",
    summary="Jobs",
    responses=_ENDS,
    guards=[access.needs_key],
    security=access.KEY,
)
async def listed(
    request: Request[Any, Any, Any],
    words: Words = "",
    car: Annotated[
        str,
        QueryParameter(max_length=420, description="A car_key: its visits only; else words of a car's name."),
    ] = "",
    owner: Annotated[
        str, QueryParameter(max_length=200, description="The owner's first name, or its beginning.")
    ] = "",
    standing: Standing = "",
    since: Day = "",
    until: Day = "",
    sort: Sort = "arrival",
    order: Annotated[
        Literal["down", "up"], QueryParameter(description="Greatest or latest first, or the other way round.")
    ] = "down",
    after: Before = 0,
    skip: Annotated[
        int, QueryParameter(ge=0, le=10_000_000, description="Leave out so many jobs of the order asked for.")
    ] = 0,
    limit: Limit = 50,
) -> JobPage:
    """One page of jobs, worked on between the days given."""
    book = keeper(request)
    await book.fresh()
    narrowed = {"query": words, "car": car, "owner": owner, "state": standing, "since": since, "until": until}
    by_arrival = sort == "arrival" and order == "down"
    if after and not by_arrival:
        raise Refusal(
            "bad-parameter",
            "after: turns pages in the order of arrival only",
            path="after",
            remedy="In another order give skip: how many jobs were on the pages before.",
        )

    def look(db: Database) -> tuple[list[dict[str, Any]], int]:
        rows = jobs.listed(
            db,
            **narrowed,
            sort=sort,
            down=order == "down",
            before=after or None,
            skip=skip,
            limit=limit + 1,
        )
        return rows, jobs.count(db, **narrowed)

    found, total = await book.read(look)
    more = len(found) > limit and by_arrival
    lines = [JobLine(**row) for row in found[:limit]]
    return JobPage(jobs=lines, next=lines[-1].seq if more else None, total=total)


@get(
    "/api/jobs/{job:str}",
    operation_id="job",
    summary="The sheet of a job",
    responses=documented(*access.ENDS, "bad-parameter", "not-found", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "links": {
            "history": {"operationId": "jobHistory", "parameters": {"job": "$request.path.job"}},
            "entries": {"operationId": "entries"},
        }
    },
)
async def job(request: Request[Any, Any, Any], job: JobId) -> Sheet:
    """Fold the job's entries as they are now."""
    book = keeper(request)
    await book.fresh()

    def look(db: Database) -> Sheet | None:
        entries = log.of(db, job)
        if not entries:
            return None
        sheet = fold(job, [entry for _, entry in entries])
        made = solve_request(sheet)
        return Sheet(
            sheet=sheet,
            request=made["request"],
            ids=made["ids"],
            stops=made["stops"],
            stages=stages(sheet),
            visit=visit(jobs.visit_before(db, job)),
            seq=entries[-1][0],
        )

    found = await book.read(look)
    if found is None:
        raise missing(job)
    return found


def visit(row: dict[str, Any] | None) -> Visit | None:
    """A visit as the book has it, for the wire."""
    return None if row is None else msgspec.convert(row, Visit)


@get(
    "/api/jobs/{job:str}/history",
    operation_id="jobHistory",
    summary="Every reading, move and plan of a job",
    responses=documented(*access.ENDS, "bad-parameter", "not-found"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def job_history(
    request: Request[Any, Any, Any],
    job: JobId,
    after: Annotated[int, QueryParameter(ge=0, le=2**53 - 1, description="The next of the page before.")] = 0,
    limit: Limit = 200,
) -> JobHistory:
    """The job's events in order, with what was promised and what came."""

    def look(db: Database) -> list[dict[str, Any]] | None:
        sheet = jobs.find(db, job)
        return None if sheet is None else timeline(sheet)

    events = await keeper(request).read(look)
    if events is None:
        raise missing(job)
    end = after + limit
    return JobHistory(
        job=job,
        events=[Event(**event) for event in events[after:end]],
        next=end if end < len(events) else None,
    )
