"""The plan of both axles as a struct: the other axle's options, and what comes of both together."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from .axle import Advice, Assumed, Now, StepSizes
from .headline import Headline
from .option import Estimate, Odds, Option
from .target import AimedHeights, AimedLevel, AimedRise

__all__ = ["AxleBetween", "BothAxles", "CrossWanted", "InBetween"]


class AxleBetween(msgspec.Struct, kw_only=True):
    """One axle while the first one is set and the other is not: heights of the mark its target is measured at."""

    left: Estimate
    right: Estimate
    lean_mm: Annotated[Estimate, Meta(description="Left minus right, [mm].")]


Between = Annotated[
    AxleBetween | None, Meta(description="null where heights of both sides were not read there.")
]


class InBetween(msgspec.Struct, kw_only=True):
    """How both axles stand once the first one is set, [mm]: what is read before the second one is turned."""

    rear: Between
    front: Between


class CrossWanted(msgspec.Struct, kw_only=True):
    """The cross-weight asked for beside the heights of both axles."""

    percent: Annotated[float, Meta(description="RF + LR as a share of all four loads, [%].")]
    tolerance_percent: Annotated[float, Meta(description="Allowed error of that share, ±[%].")]
    odds: Odds


class BothAxles(msgspec.Struct, kw_only=True):
    """Both axles planned together: these options are the other axle's, the answer's own those of the job's axle.

    Each is as if the other axle had been set by its first option already.
    """

    axle: Annotated[Literal["rear", "front"], Meta(description="The other axle, which these options are of.")]
    headline: Headline
    withheld: Annotated[
        bool, Meta(description="Whether doubts of that axle's readings change what is turned there.")
    ]
    odds: Annotated[
        float,
        Meta(
            ge=0.0,
            le=1.0,
            description="Chance that both axles end on target by both first options: those of the axles, each with"
            " what is not known of the lean that the other brings, and of a cross-weight asked for, multiplied.",
        ),
    ]
    first: Annotated[Literal["rear", "front"], Meta(description="Axle to set first.")]
    target: Annotated[
        AimedHeights | AimedRise | AimedLevel,
        Meta(description="That axle's, as asked for, with defaults and the heights it comes to."),
    ]
    now: Annotated[Now, Meta(description="That axle as it is now.")]
    step_deg: Annotated[StepSizes, Meta(description="Of that axle's bars and adjuster.")]
    options: list[Option]
    assumed: Annotated[
        list[Assumed],
        Meta(
            description="Of that axle, by its first option; a field is named as if the job were of that axle."
        ),
    ]
    measure_next: Annotated[list[Advice], Meta(description="At that axle, by its own chance.")]
    meanwhile: InBetween
    cross_weight_kg: Annotated[
        Estimate, Meta(description="Change of cross-weight (RF + LR) by both first options, [kg].")
    ]
    cross_percent: Annotated[
        Estimate | None,
        Meta(description="Cross-weight then, [%]; null where no stage has four wheel loads."),
    ]
    cross_wanted: Annotated[CrossWanted | None, Meta(description="null where none is asked for.")]
    leans_apart_mm: Annotated[
        float,
        Meta(
            description="How far the leans that both targets want differ, as a height at the job's axle, [mm]."
        ),
    ]
    words: Annotated[
        list[str], Meta(description="Which axle first, what is read meanwhile, what cannot be had together.")
    ]
