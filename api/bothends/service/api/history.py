"""/api/history: what was promised and what came, across jobs; as a table too; and how well the odds hold."""

import re
from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get
from litestar.params import QueryParameter

from bothends.book import calibration, history

from ..http.problems import Refusal, documented
from ..wire.history import Calibration, HistoryPage
from ..wire.table import Teardown
from . import access
from .headers import LINK, VARIES, next_page
from .open_book import book_of
from .parameters import CSV, Day

__all__ = ["across", "calibrated"]

PLACE = r"^([^~]{1,40})~([0-9a-f-]{36})~([0-9]{1,9})(?:~([0-9]{1,9}(?:\.[0-9]{1,20})?))?$"


@get(
    "/api/history",
    operation_id="history",
    summary="Teardowns of all jobs",
    description=(
        "With Accept: text/csv the same as a table, with the headings that the fields have here. The header Link"
        " leads to the next page."
    ),
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    response_headers=[LINK, VARIES],
    opt={"also": CSV},
)
async def across(
    request: Request[Any, Any, Any],
    car: Annotated[str, QueryParameter(max_length=420, description="A car_key, or a car's name.")] = "",
    since: Day = "",
    until: Day = "",
    after: Annotated[str, QueryParameter(max_length=100, pattern=f"{PLACE}|^$")] = "",
    limit: Annotated[int, QueryParameter(ge=1, le=5000, description="Most rows of one page.")] = 200,
    hidden: Annotated[bool, QueryParameter(description="Those of hidden jobs too.")] = False,
) -> Response[HistoryPage]:
    """One page of teardowns, as JSON or CSV."""
    book = book_of(request)
    as_table = request.accept.best_match(["application/json", CSV]) == CSV
    # A file has nowhere to say that it is not whole.
    await book.fresh(whole=as_table)
    place = _place(after)
    found, unread = await book.read(
        lambda db: (
            history.page(db, car=car, since=since, until=until, after=place, limit=limit + 1, hidden=hidden),
            book.unread(db),
        )
    )
    more = len(found) > limit
    rows = found[:limit]
    onward = "~".join(str(part) for part in history.place(rows[-1])) if more else None
    headers = {"Vary": "Accept", **(next_page(request, after=onward) if onward else {})}
    if as_table:
        table: Any = history.table(rows)
        return Response(table, media_type=f"{CSV}; header=present", headers=headers)
    page = HistoryPage(teardowns=[Teardown(**row) for row in rows], next=onward, unread=unread)
    return Response(page, headers=headers)


def _place(text: str) -> tuple[str, str, int, float] | None:
    if not text:
        return None
    parts = re.match(PLACE, text)
    if parts is None:
        raise Refusal("bad-parameter", "after must be the next of the page before", path="after")
    return parts[1], parts[2], int(parts[3]), float(parts[4] or 0.0)


@get(
    "/api/history/calibration",
    operation_id="calibration",
    summary="How reliable the predicted chances are",
    description="Of all teardowns, or of those of a period, of one who entered them and of one car's name.",
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def calibrated(
    request: Request[Any, Any, Any],
    since: Day = "",
    until: Day = "",
    by: Annotated[str, QueryParameter(max_length=200, description="A name of choices.by.")] = "",
    car: Annotated[str, QueryParameter(max_length=200, description="A name of choices.cars; any case.")] = "",
) -> Calibration:
    """Bins of promised odds, the whole, the first-teardown rate."""
    book = book_of(request)
    await book.fresh()
    among = calibration.Among(since=since, until=until, by=by, car=car)
    found = await book.read(lambda db: {**calibration.calibration(db, among), "unread": book.unread(db)})
    return msgspec.convert(found, Calibration)
