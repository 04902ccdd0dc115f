"""/api/jobs: the list, searched, sorted and narrowed; the sheet of a job and its history."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, get
from litestar.params import QueryParameter
from sqlite_utils import Database

from bothends.book import jobs, log, numbers
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import entry_at
from bothends.book.sheet.request import request as solve_request

from ..http.problems import Refusal, documented
from ..http.strict_json import decode
from ..wire.job import JobHistory, JobLine, JobPage, JobSheet, Visit, visit
from ..wire.request import READINGS, SolveRequest
from . import access
from .headers import LINK, next_page
from .open_book import book_of, no_job
from .parameters import Day, JobId, Limit, Words

__all__ = ["job", "job_history", "listed", "sheet_of"]

Standing = Annotated[
    Literal["", "open", "measuring", "planned", "torn down", "checked", "closed", "hidden"],
    QueryParameter(
        name="state",
        description="Where the job stands; open is all but closed. hidden: those that no other list has.",
    ),
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
        "number",
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
    response_headers=[LINK],
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
) -> Response[JobPage]:
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

    def look(db: Database) -> tuple[list[dict[str, Any]], int, dict[str, int], int]:
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
        states = jobs.by_state(db, **narrowed)
        return rows, jobs.count(db, **narrowed, state=standing), states, book.unread(db)

    found, total, by_state, unread = await book.read(look)
    more = len(found) > limit
    lines = [JobLine(**row) for row in found[:limit]]
    page = JobPage(
        jobs=lines,
        next=lines[-1].seq if more and by_arrival else None,
        total=total,
        unread=unread,
        by_state=by_state,
    )
    onward = {"after": page.next, "skip": 0} if by_arrival else {"skip": skip + limit}
    return Response(page, headers=next_page(request, **onward) if more else {})


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
async def job(request: Request[Any, Any, Any], job: JobId) -> JobSheet:
    """Fold the job's entries as they are now."""
    book = book_of(request)
    await book.fresh()

    def look(db: Database) -> JobSheet | None:
        entries = log.of(db, job)
        if not entries:
            return None
        called = numbers.of(db, [job])[job]
        return sheet_of(job, entries, visit(jobs.visit_before(db, job)), number=called)

    found = await book.read(look)
    if found is None:
        raise no_job(job)
    return found


def sheet_of(
    job: str, entries: list[tuple[int, dict[str, Any]]], before: Visit | None, *, number: int
) -> JobSheet:
    """The answer for a job with these records, each with its number of arrival."""
    sheet: Any = fold(job, [entry for _, entry in entries])
    made = solve_request(sheet)
    asked, stops = _fitting(made)
    return JobSheet(
        number=number,
        sheet=sheet,
        request=asked,
        draft=made["request"] if asked is None else None,
        ids=made["ids"],
        stops=stops,
        stages=stages(sheet),
        visit=before,
        seq=entries[-1][0],
    )


def _fitting(made: dict[str, Any]) -> tuple[Any, list[Any]]:
    """The sheet's request where a solve would take it, else None; and what has to be entered first."""
    body = msgspec.json.encode(made["request"])
    path = ""
    try:
        decode(body, SolveRequest)
        for index, item in enumerate(made["request"]["log"]):
            # What a reading may say beside its value depends on what was read.
            path = f"$.log[{index}]"
            if item["kind"] == "reading":
                decode(msgspec.json.encode(item), READINGS[item["what"]])
    except Refusal as refusal:
        problem = refusal.problem
        entry = entry_at(path or str(problem.path), made["ids"])
        missing = {"code": "incomplete", "text": problem.detail, "entries": [entry] if entry else []}
        return None, made["stops"] or [missing]
    return msgspec.Raw(body), made["stops"]


@get(
    "/api/jobs/{job:str}/history",
    operation_id="jobHistory",
    summary="Every reading, move and plan of a job",
    responses=documented(*access.ENDS, "bad-parameter", "not-found"),
    response_headers=[LINK],
    guards=[access.needs_key],
    security=access.KEY,
)
async def job_history(
    request: Request[Any, Any, Any],
    job: JobId,
    after: Annotated[int, QueryParameter(ge=0, le=2**53 - 1, description="The next of the page before.")] = 0,
    limit: Limit = 200,
) -> Response[JobHistory]:
    """The job's events in order, with what was promised and what came."""

    def look(db: Database) -> Any:
        sheet = jobs.find(db, job)
        return None if sheet is None else timeline(sheet)

    events = await book_of(request).read(look)
    if events is None:
        raise no_job(job)
    end = after + limit
    more = end < len(events)
    page = JobHistory(job=job, events=events[after:end], next=end if more else None)
    return Response(page, headers=next_page(request, after=end) if more else {})
