"""What an answer says of an axle besides its options, as structs: how it stands, what one tooth turns, what was
assumed of it and what to measure next.
"""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from .option import Estimate, HubMark, Mark, Odds, Side

__all__ = ["Advice", "Assumed", "Now", "StepSizes"]


class Assumed(msgspec.Struct, kw_only=True):
    """A fact that was left out, what is believed instead, and what would tell."""

    field: Annotated[str, Meta(description="Its path in a request, such as car.limits.droop_mm.")]
    side: Annotated[Side | None, Meta(description="null where one value serves both sides.")]
    value: Annotated[float | None, Meta(description="What is believed; null where no number is.")]
    sd: Annotated[float | None, Meta(description="Its standard deviation.")]
    unit: str
    measure: Annotated[str | None, Meta(description="What to measure to know it, as in measure_next.")]
    minutes: Annotated[float | None, Meta(description="How long that takes.")]
    odds_after: Annotated[
        Odds | None, Meta(description="The chance once it is known; null for a limit, which changes none.")
    ]
    words: str


class SideNow(msgspec.Struct, kw_only=True):
    """One side as it is now. Angles: wheel below the bar positive. load_kg: mass carried by the spring."""

    hanging_deg: Estimate
    riding_deg: Estimate
    body_height_mm: Mark
    hub_to_body_mm: HubMark
    load_kg: Estimate


class Now(msgspec.Struct, kw_only=True):
    """Both sides as they are now, after every move in the log."""

    left: SideNow
    right: SideNow


class Advice(msgspec.Struct, kw_only=True):
    """A reading or test worth making before a tooth is turned."""

    what: Annotated[
        Literal[
            "board-test",
            "centre-jack",
            "hang-test",
            "scales",
            "ballast-test",
            "body-height",
            "riding-angle",
            "hanging-angle",
            "settling",
            "arm-length",
            "tooth-count",
            "bar-size",
        ],
        Meta(
            description="settling: settle the car once more and read again; arm-length: tape the lever that"
            " carries the wheel."
        ),
    ]
    side: Literal["left", "right", "both"]
    odds_after: Odds
    minutes: float
    text: str


class StepSizes(msgspec.Struct, kw_only=True):
    """Turn of the arm by one tooth at either end, by one fine step of both against each other, and by one turn of
    the adjuster, [°].

    null where it is not counted; the fine step needs both; turn is null without an adjuster.
    """

    fine: float | None
    inner: float | None
    outer: float | None
    turn: float | None
