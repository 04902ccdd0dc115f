"""Trying something on a car: the change and its answer as structs, with names, units and words of every field.

The solve request's own structs are `request`'s; the endpoint is in `api.solving`.
"""

from typing import Annotated, Any

import msgspec
from msgspec import Meta

from bothends.book.facts import fields_of, of
from bothends.model.what_if import what_if

from .answer import StepSizes
from .option import Estimate, Lift, Obstacle, Odds
from .request import Posterior, SolveRequest, Strict
from .target import Aimed

__all__ = ["WhatIfAnswer", "WhatIfRequest", "tried"]


@fields_of("car.bar", patch=True)
class BarChange(Strict):
    """Bars to try instead, both sides alike; what is left out or null stays as it is."""

    permissible_stress_mpa: Annotated[float, of("car.limits.permissible_stress_mpa")] | None = None


@fields_of("change.load_kg")
class LoadChange(Strict):
    """What each rear spring carries more than now; less is negative."""


@fields_of("target", patch=True)
class TargetChange(Strict):
    """Another wish; what is left out or null stays as it is."""


class Change(Strict):
    """What is tried. Nothing at all is the ordinary plan."""

    bar: BarChange = msgspec.field(default_factory=BarChange)
    load_kg: LoadChange = msgspec.field(default_factory=LoadChange)
    target: TargetChange = msgspec.field(default_factory=TargetChange)


class WhatIfRequest(SolveRequest):
    """A solve request and what to try on its car."""

    change: Change = msgspec.field(default_factory=Change)


class TriedBar(msgspec.Struct, kw_only=True):
    """The bars of a column; null where those that are in were never measured or counted."""

    diameter_mm: float | None
    bore_mm: float
    length_mm: float | None
    inner_teeth: int | None
    outer_teeth: int | None


class PhaseOdds(msgspec.Struct, kw_only=True):
    """Odds that both heights and the lean land; one figure where the bars, and so their steps, are in."""

    typical: Annotated[Odds, Meta(description="Mean over every phase of the new bars' steps, 0 to 1.")]
    best: Annotated[Odds, Meta(description="A step lies right at the angle to set, 0 to 1.")]
    worst: Annotated[Odds, Meta(description="Both sides miss their angle by half a fine step, 0 to 1.")]


class SideTried(msgspec.Struct, kw_only=True):
    """One side of a column. Angles: wheel below the bar positive; turns arm down (raises) positive."""

    inner: Annotated[
        int | None,
        Meta(
            description="Whole teeth at the inner end; null where they are not counted, and with other bars, which"
            " are set by angle."
        ),
    ]  # fmt: skip
    outer: Annotated[int | None, Meta(description="Whole teeth at the outer end; null likewise.")]
    turn_deg: Annotated[
        float | None, Meta(description="Net turn of the relaxed arm, [°]; null with other bars.")
    ]
    turns: Annotated[
        float | None,
        Meta(description="Turns (notches) of this wheel's adjuster, raising positive; null without one."),
    ]
    hanging_deg: Annotated[float, Meta(description="Hanging angle; with other bars the one to set, [°].")]
    riding_deg: float
    body_height_mm: Annotated[
        Estimate | None,
        Meta(
            description="With other bars, gauge and nearest fine step are counted in its sd, [mm]; null where that"
            " side's mark was never read."
        ),
    ]  # fmt: skip
    untouched_mm: Annotated[
        Estimate | None, Meta(description="Ride height with no tooth turned, [mm]; null with other bars.")
    ]
    rise_mm: Annotated[
        Estimate | None, Meta(description="Rise against the car as it stands, [mm]; null with other bars.")
    ]
    load_kg: float
    wheel_rate_n_per_mm: Annotated[
        float, Meta(description="Bar and bush at the wheel, tyre left out, [N/mm].")
    ]
    lift: Lift
    stress_at_bump_mpa: Annotated[
        float | None, Meta(description="[MPa]; null where the bar's diameter is not known.")
    ]
    bump_left_mm: float
    droop_left_mm: float


class Column(msgspec.Struct, kw_only=True):
    """One car of the bench: as it is, or as tried. All columns have the same rows."""

    label: str
    other_bars: bool
    bar: TriedBar
    target: Aimed
    bar_nm_per_deg: Estimate
    step_deg: StepSizes
    mm_per_deg: float | None
    mm_per_fine_step: float | None
    permissible_stress_mpa: Annotated[float | None, Meta(description="[MPa]; null where none was given.")]
    permissible_given: bool
    odds: PhaseOdds
    ends_disturbed: int
    left: Annotated[SideTried | None, Meta(description="null where no hanging angle gives these heights.")]
    right: Annotated[SideTried | None, Meta(description="null where no hanging angle gives these heights.")]
    lean_mm: Annotated[Estimate | None, Meta(description="Left minus right ride height, [mm].")]
    ride_hz: float | None
    posterior: Annotated[
        Posterior | None,
        Meta(description="What is known of the car with other bars, for car.known once they are in."),
    ]
    obstacles: Annotated[list[Obstacle], Meta(description="Limits that it would pass, given or assumed.")]
    stopped_by: list[str]
    cautions: list[str]


class WhatIfAnswer(msgspec.Struct, kw_only=True):
    """The car as it is beside the trial, with the cautions that go with the trial."""

    as_it_is: Column
    trial: Column
    cautions: list[str]


def tried(request: dict[str, Any]) -> WhatIfAnswer:
    """Try the change of a request that has the schema's shape.

    Raises
    ------
    ModelProblem
        With code, path and sentence, where the trial cannot be answered.
    """
    sent = dict(request)
    change = sent.pop("change", {})
    # Through JSON, as `answer.answer_of` does and why.
    return msgspec.json.decode(msgspec.json.encode(what_if(sent, change)), type=WhatIfAnswer)
