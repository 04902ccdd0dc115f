"""/api/history: what was promised and what came, across jobs; as a table too; and how well the odds hold."""

import re
from typing import Annotated, Any, Literal
from urllib.parse import urlencode

import msgspec
from litestar import Request, Response, get
from litestar.params import QueryParameter
from msgspec import Meta

from bothends.book import calibration, history
from bothends.book.columns import TEARDOWNS
from bothends.book.facts import made

from . import access
from .keeper import keeper
from .problems import Refusal, documented

__all__ = ["Teardown", "across", "calibrated"]

CSV = "text/csv"
PLACE = r"^([^~]{1,40})~([0-9a-f-]{36})~([0-9]{1,9})(?:~([0-9]{1,9}(?:\.[0-9]{1,20})?))?$"
DAY = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"


def _columns(cls: type[msgspec.Struct]) -> Any:
    """The fields of a struct, one for each column of a teardown."""
    found = [
        (c.sql, Annotated[c.type, Meta(description=f"{c.words[0].upper()}{c.words[1:]}{_in(c.unit)}.")])
        for c in TEARDOWNS
    ]
    return made(cls.__name__, cls, cls.__doc__ or "", found)


def _in(unit: str) -> str:
    return f", [{unit}]" if unit in ("mm", "deg", "km", "teeth") else f", {unit}" if unit == "0 to 1" else ""


@_columns
class Teardown(msgspec.Struct, kw_only=True):
    """A car as found (teardown 0), after a teardown, or at a follow-up: turned, promised and read."""


class HistoryPage(msgspec.Struct, kw_only=True):
    """Teardowns in order of time."""

    teardowns: list[Teardown]
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


class Share(msgspec.Struct, kw_only=True):
    """How many of how many landed, with a 95 % interval of the share."""

    count: int
    landed: int
    share: float | None
    share_low: float
    share_high: float


class Bin(Share, kw_only=True):
    """Plans whose promised odds lay in one tenth."""

    low: float
    high: float
    promised: Annotated[float | None, Meta(description="Mean of the predicted chances.")]


class Whole(Share, kw_only=True):
    """All plans that were followed and whose outcome was read."""

    promised: float | None
    brier: Annotated[float | None, Meta(description="Mean square of chance less outcome; 0 is best.")]


class Miss(msgspec.Struct, kw_only=True):
    """How many heights were off by so much; the outermost bins hold what lies beyond them too."""

    low_mm: float
    high_mm: float
    count: int


class HeightError(msgspec.Struct, kw_only=True):
    """Height read less height promised."""

    count: int
    mean_mm: float | None
    rms_mm: float | None
    rms_sd: Annotated[float | None, Meta(description="In predicted standard deviations; about 1 is honest.")]
    bins: Annotated[list[Miss], Meta(description="In order, without a gap; none where nothing was read.")]


class JobsTaken(msgspec.Struct, kw_only=True):
    """Jobs that took so many teardowns."""

    teardowns: int
    handed_over: int
    in_hand: Annotated[int, Meta(description="Not handed over yet; they may take more.")]


class Landed(Share, kw_only=True):
    """First teardowns that went by their plan and whose outcome was read."""

    promised: Annotated[float | None, Meta(description="Mean of the predicted chances.")]


class Helped(msgspec.Struct, kw_only=True):
    """First teardowns planned with a test against those planned without; a comparison, no proof."""

    test: Literal["boards", "ballast", "hang", "scales", "heights twice", "known"]
    with_it: Landed
    without: Landed


class Calibration(msgspec.Struct, kw_only=True):
    """Promise against outcome over the whole shop."""

    bins: list[Bin]
    all: Whole
    first_teardown: Annotated[Share, Meta(description="Jobs that were on target after their first teardown.")]
    height_error: HeightError
    teardowns_per_job: Annotated[list[JobsTaken], Meta(description="From none to the most, without a gap.")]
    helped: list[Helped]


Day = Annotated[
    str, QueryParameter(pattern=f"{DAY}|^$", max_length=10, description="YYYY-MM-DD, UTC, included.")
]


@get(
    "/api/history",
    operation_id="history",
    summary="Teardowns of all jobs",
    description=(
        "With Accept: text/csv the same as a table, with units in its heading; the header Link then leads to the"
        " next page."
    ),
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={"also": CSV},
)
async def across(
    request: Request[Any, Any, Any],
    car: Annotated[str, QueryParameter(max_length=420, description="A car_key, or a car's name.")] = "",
    since: Day = "",
    until: Day = "",
    after: Annotated[str, QueryParameter(max_length=100, pattern=f"{PLACE}|^$")] = "",
    limit: Annotated[int, QueryParameter(ge=1, le=5000, description="Most rows of one page.")] = 200,
) -> Response[HistoryPage]:
    """One page of teardowns, as JSON or CSV."""
    book = keeper(request)
    await book.fresh()
    place = _place(after)
    found = await book.read(
        lambda db: history.page(db, car=car, since=since, until=until, after=place, limit=limit + 1)
    )
    more = len(found) > limit
    rows = found[:limit]
    onward = "~".join(str(part) for part in history.place(rows[-1])) if more else None
    headers = {"Vary": "Accept"}
    if request.accept.best_match(["application/json", CSV]) == CSV:
        if onward:
            query = urlencode({"car": car, "since": since, "until": until, "limit": limit, "after": onward})
            headers["Link"] = f'</api/history?{query}>; rel="next"'
        table: Any = history.table(rows)
        return Response(table, media_type=f"{CSV}; header=present", headers=headers)
    page = HistoryPage(teardowns=[Teardown(**row) for row in rows], next=onward)
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
    responses=documented(*access.ENDS, "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def calibrated(request: Request[Any, Any, Any]) -> Calibration:
    """Bins of promised odds, the whole, the first-teardown rate."""
    book = keeper(request)
    await book.fresh()
    return msgspec.convert(await book.read(calibration.calibration), Calibration)
