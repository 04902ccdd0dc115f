"""A page of teardowns as it is sent, and how well what was predicted holds."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from .job import Unread
from .table import Teardown

__all__ = ["Calibration", "HistoryPage"]


class HistoryPage(msgspec.Struct, kw_only=True):
    """Teardowns in order of time."""

    teardowns: list[Teardown]
    unread: Unread
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


class Rate(msgspec.Struct, kw_only=True):
    """How many of how many landed, with a 95 % interval of the share."""

    count: int
    landed: int
    share: float | None
    share_low: float
    share_high: float


class Bin(Rate, kw_only=True):
    """Plans whose promised odds lay in one tenth."""

    low: float
    high: float
    promised: Annotated[float | None, Meta(description="Mean of the predicted chances.")]


class Whole(Rate, kw_only=True):
    """All plans that were followed and whose outcome was read."""

    promised: float | None
    brier: Annotated[float | None, Meta(description="Mean square of chance less outcome; 0 is best.")]
    by_chance: Annotated[
        float | None,
        Meta(
            description="How often a count at least this far out would come about, were every predicted chance"
            " right; two-sided, exact."
        ),
    ]
    single_by_chance: Annotated[
        float | None,
        Meta(
            description="The same of single outcomes against their own chances; null where that says nothing."
        ),
    ]
    expected_sd: Annotated[
        float | None,
        Meta(description="Standard deviation of the share, 0 to 1, were every predicted chance right."),
    ]


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


class Adjustments(msgspec.Struct, kw_only=True):
    """Adjusters turned and no splined end: minutes, and no teardown."""

    count: int
    jobs: Annotated[int, Meta(description="In how many jobs.")]


class Landed(Rate, kw_only=True):
    """First teardowns that went by their plan and whose outcome was read."""

    promised: Annotated[float | None, Meta(description="Mean of the predicted chances.")]


class Helped(msgspec.Struct, kw_only=True):
    """First teardowns planned with a test against those planned without; a comparison, no proof."""

    test: Literal["boards", "ballast", "centre-jack", "hang", "scales", "heights twice", "known"]
    with_it: Landed
    without: Landed


class Choices(msgspec.Struct, kw_only=True):
    """What the figures may be narrowed to, those with most teardowns first."""

    by: Annotated[list[str], Meta(description="Who entered the teeth of a teardown, or its plan.")]
    cars: Annotated[list[str], Meta(description="Names of cars.")]


class Calibration(msgspec.Struct, kw_only=True):
    """Promise against outcome, over the whole shop or what it was narrowed to."""

    unread: Unread
    bins: list[Bin]
    all: Whole
    first_teardown: Annotated[
        Rate,
        Meta(description="Jobs that were on target after their first teardown, which no adjustment is."),
    ]
    first_adjustment: Annotated[
        Rate,
        Meta(description="Jobs that were on target after their first work, where that was an adjustment."),
    ]
    height_error: HeightError
    adjustments: Adjustments
    teardowns_per_job: Annotated[list[JobsTaken], Meta(description="From none to the most, without a gap.")]
    helped: list[Helped]
    choices: Choices
