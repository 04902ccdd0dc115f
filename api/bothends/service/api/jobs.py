"""/api/jobs: the list, searched, sorted and narrowed; the sheet of a job and its history."""

from typing import Annotated, Any, Literal

from litestar import Request, get
from litestar.params import QueryParameter
from sqlite_utils import Database

from bothends.book import jobs, log
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request as solve_request

from ..http.problems import Refusal, documented
from ..wire.job import Event, JobHistory, JobLine, JobPage, Sheet, visit
from . import access
from .open_book import book_of, no_job
from .parameters import Day, JobId, Limit, Words

__all__ = ["job", "job_history", "listed"]

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
    book = book_of(request)
    await book.fresh()
    narrowed = {"query": words, "car": car, "owner": owner, "since": since, "until": until}
    by_arrival = sort == "arrival" and order == "down"
    if after and not by_arrival:
        raise Refusal(
            "bad-parameter",
            "after: turns pages in the order of arrival only",
            path="after",
            remedy="In another order give skip: how many jobs were on the pages before.",
        )

    def look(db: Database) -> tuple[list[dict[str, Any]], int, dict[str, int]]:
        rows = jobs.listed(
            db,
            **narrowed,
            state=standing,
            sort=sort,
            down=order == "down",
            before=after or None,
            skip=skip,
            limit=limit + 1,
        )
        return rows, jobs.count(db, **narrowed, state=standing), jobs.by_state(db, **narrowed)

    found, total, by_state = await book.read(look)
    more = len(found) > limit and by_arrival
    lines = [JobLine(**row) for row in found[:limit]]
    return JobPage(jobs=lines, next=lines[-1].seq if more else None, total=total, by_state=by_state)


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
    book = book_of(request)
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
        raise no_job(job)
    return found


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

    events = await book_of(request).read(look)
    if events is None:
        raise no_job(job)
    end = after + limit
    return JobHistory(
        job=job,
        events=[Event(**event) for event in events[after:end]],
        next=end if end < len(events) else None,
    )
