"""An option of the answer as a struct: what to turn on either side, what comes of it, what stands in its way."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

__all__ = [
    "CrossWeight",
    "Estimate",
    "Force",
    "FourLoads",
    "HubMark",
    "Lift",
    "Mark",
    "Obstacle",
    "Odds",
    "Option",
    "Screw",
    "Side",
    "SidePlan",
]

Side = Literal["left", "right"]
Odds = Annotated[float, Meta(ge=0.0, le=1.0, description="Probability, 0 to 1.")]


class Estimate(msgspec.Struct, kw_only=True):
    """A value with its standard deviation, both in the unit of the field's name."""

    value: float
    sd: Annotated[float, Meta(ge=0.0)]


Mark = Annotated[
    Estimate | None, Meta(description="Ride height of the mark, [mm]; null where that side's was never read.")
]
HubMark = Annotated[
    Estimate | None,
    Meta(description="From the wheel's centre up to the mark, [mm]; null where that side's was never read."),
]


class Force(msgspec.Struct, kw_only=True):
    """What it takes to lift the relaxed arm onto its stop. This is what hurts people."""

    torque_nm: Annotated[float, Meta(description="At the stop, [N·m].")]
    energy_j: Annotated[float, Meta(description="Stored in the bar at the stop, [J].")]
    force_n: Annotated[float, Meta(description="At the stop, square to the arm at its wheel end, [N].")]


class Lift(Force, kw_only=True):
    """What it takes to lift the relaxed arm onto its stop, with the range that holds 90 in 100.

    Where the stop was measured, low and high equal the figures; where it was assumed, go by the range.
    """

    low: Force
    high: Force
    assumed: Annotated[bool, Meta(description="Whether the stop is assumed, not measured.")]


class Obstacle(msgspec.Struct, kw_only=True):
    """A limit that an option would pass."""

    what: Literal["droop", "bump", "stop", "stress", "joint", "steep", "slack", "reach"]
    side: Side | None
    by_mm: Annotated[float | None, Meta(description="How far beyond it, [mm].")]
    by_deg: Annotated[float | None, Meta(description="How far beyond it, [°].")]
    by_mpa: Annotated[float | None, Meta(description="How far beyond it, [MPa].")]
    given: Annotated[
        bool, Meta(description="true: the limit was given, and forbids; false: it is assumed, and cautions.")
    ]
    words: str


Range = Annotated[list[float], Meta(min_length=2, max_length=2)]


class Screw(msgspec.Struct, kw_only=True):
    """What it takes to turn an adjusting screw, with the wheels hanging; estimates for a dry and an oiled thread.

    Thread and head are taken from the pitch, by the proportions of ISO metric screws.
    """

    torque_nm: Annotated[float, Meta(description="Of the bar at the adjuster, wheels hanging, [N·m].")]
    force_n: Annotated[float, Meta(description="Along the screw, [N].")]
    raise_nm: Annotated[Range, Meta(description="At the nut or bolt to raise: least and most, [N·m].")]
    lower_nm: Annotated[Range, Meta(description="The same to lower, [N·m].")]
    unload_nm: Annotated[
        float,
        Meta(
            description="Torque still in the bar at full droop, which throws a lever whose screw is undone, [N·m];"
            " the most that an assumed droop leaves open."
        ),
    ]
    unload_j: Annotated[float, Meta(description="Energy of that, [J].")]


class SidePlan(msgspec.Struct, kw_only=True):
    """One side of an option. Teeth, degrees and turns: arm down (raises) positive."""

    inner: Annotated[
        int | None,
        Meta(
            description="Whole teeth at the inner end; null where not both ends are counted: turn_deg stands."
        ),
    ]
    outer: Annotated[int | None, Meta(description="Whole teeth at the outer end; null likewise.")]
    steps: Annotated[int | None, Meta(description="Net fine steps; null likewise.")]
    turns: Annotated[
        float | None,
        Meta(
            description="Turns of this wheel's adjuster, raising positive, to a twelfth; of a notched one notches;"
            " null without an adjuster."
        ),
    ]
    raise_turns_left: Annotated[
        float | None, Meta(description="Turns left to raise afterwards; null where nobody said.")
    ]
    lower_turns_left: Annotated[
        float | None, Meta(description="Turns left to lower afterwards; null where nobody said.")
    ]
    screw: Annotated[
        Screw | None, Meta(description="What turning the screw takes; null without an adjusting screw.")
    ]
    turn_deg: Annotated[float, Meta(description="Net turn of the relaxed arm, [°].")]
    hanging_deg: float
    riding_deg: float
    body_height_mm: Mark
    hub_to_body_mm: HubMark
    rise_mm: Annotated[Estimate, Meta(description="Rise of this side against now, [mm]; negative lowers.")]
    lift: Lift
    stress_at_bump_mpa: Annotated[
        float | None, Meta(description="[MPa]; null where the bar's diameter is not known.")
    ]
    bump_left_mm: float
    droop_left_mm: float
    camber_change_deg: Annotated[float, Meta(description="Wheel top outward positive, [°].")]


class AxleLoads(msgspec.Struct, kw_only=True):
    """Loads of the wheels of one axle, as scales show them, [kg]."""

    left: float
    right: float


class FourLoads(msgspec.Struct, kw_only=True):
    """Loads of all four wheels, as scales show them, [kg]."""

    front: AxleLoads
    rear: AxleLoads


class CrossWeight(msgspec.Struct, kw_only=True):
    """Absolute cross-weight, by four scales: the load on the right front and left rear wheels."""

    percent: Annotated[Estimate, Meta(description="RF + LR as a share of all four, [%].")]
    diagonals_kg: Annotated[Estimate, Meta(description="RF + LR less LF + RR, [kg].")]
    loads_kg: FourLoads


class OtherSide(msgspec.Struct, kw_only=True):
    """One side of the other axle, until that axle is set too."""

    rise_mm: Annotated[Estimate, Meta(description="Against now, [mm]; lower is negative.")]
    body_height_mm: Annotated[
        Estimate | None,
        Meta(description="Ride height, [mm]; null where heights of both sides were not read."),
    ]


class OtherAfter(msgspec.Struct, kw_only=True):
    """What an option does to the other axle, until that is set too: it leans, and its mean height stays."""

    left: OtherSide
    right: OtherSide
    lean_mm: Annotated[
        Estimate | None,
        Meta(
            description="Left minus right ride height there, [mm]; null where heights of both sides were not read."
        ),
    ]


class Option(msgspec.Struct, kw_only=True):
    """One way to do the job."""

    label: str
    recommended: bool
    odds: Annotated[Odds, Meta(description="Chance that it ends on target, 0 to 1.")]
    ends_disturbed: Annotated[
        int,
        Meta(
            description="Splined ends to be taken apart; both of each side that turns where it is in degrees. An"
            " adjuster is none."
        ),
    ]
    left: SidePlan
    right: SidePlan
    lean_mm: Annotated[
        Estimate,
        Meta(
            description="Left minus right ride height, [mm]; where a mark was never read, of the rises against now."
        ),
    ]
    cross_weight_kg: Annotated[float, Meta(description="Change of cross-weight (RF + LR), [kg].")]
    cross_weight: Annotated[
        CrossWeight | None,
        Meta(description="Cross-weight with this option; null where no stage has four wheel loads."),
    ]
    other: Annotated[
        OtherAfter | None, Meta(description="null where the car says nothing of the other axle (car.other).")
    ] = None
    ride_hz: float
    mm_per_deg: float
    mm_per_turn: Annotated[
        float | None,
        Meta(description="Mean height for one turn of both adjusters, [mm]; null without an adjuster."),
    ]
    obstacles: Annotated[list[Obstacle], Meta(description="Limits that it would pass, given or assumed.")] = (
        msgspec.field(default_factory=list)
    )
    stopped_by: Annotated[list[str], Meta(description="What forbids this option; empty when nothing does.")]
    cautions: list[str]
