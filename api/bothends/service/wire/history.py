"""Teardowns as they are sent, promised and read, and how well the promises hold.

The fields of a teardown are the columns of the book's table (``book.columns``).
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from bothends.book.columns import TEARDOWNS
from bothends.book.facts import made

__all__ = ["Calibration", "HistoryPage", "Teardown"]


def _columns(cls: type[msgspec.Struct]) -> Any:
    """The fields of a struct, one for each column of a teardown."""
    found = [
        (c.name, Annotated[c.type, Meta(description=f"{c.words[0].upper()}{c.words[1:]}{_in(c.unit)}.")])
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
