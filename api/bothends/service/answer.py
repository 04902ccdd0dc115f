"""The solve answer as a struct: names, units and words of every field.

The model's plain dict is read into it at the edge, so that what is sent is what the schema says. Fields may
be added; those here keep their names and meaning.
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from bothends.model.slip import GUESSES
from bothends.model.solve import solve

from .request import Posterior

__all__ = ["Estimate", "Lift", "Odds", "SolveAnswer", "StepSizes", "answer_of", "plan"]

Odds = Annotated[float, Meta(ge=0.0, le=1.0, description="Probability, 0 to 1.")]


class Estimate(msgspec.Struct, kw_only=True):
    """A value with its standard deviation, both in the unit of the field's name."""

    value: float
    sd: Annotated[float, Meta(ge=0.0)]


class SideNow(msgspec.Struct, kw_only=True):
    """One side as it is now. Angles: wheel below the bar positive. load_kg: mass carried by the spring."""

    hanging_deg: Estimate
    riding_deg: Estimate
    body_height_mm: Estimate
    load_kg: Estimate


class Now(msgspec.Struct, kw_only=True):
    """Both sides as they are now, after every move in the log."""

    left: SideNow
    right: SideNow


class Learned(msgspec.Struct, kw_only=True):
    """Constants of this very car, as all readings together leave them."""

    bar_nm_per_deg: Estimate
    arm_mm: Estimate
    roll_support_n_per_mm: Estimate
    mm_per_deg: Estimate
    bush_ratio: Estimate
    tyre_n_per_mm: Estimate


class Lift(msgspec.Struct, kw_only=True):
    """What it takes to lift the relaxed arm onto its stop. This is what hurts people."""

    torque_nm: Annotated[float, Meta(description="At the stop, [N·m].")]
    energy_j: Annotated[float, Meta(description="Stored in the bar at the stop, [J].")]
    force_n: Annotated[float, Meta(description="At the stop, square to the arm at its wheel end, [N].")]


class SidePlan(msgspec.Struct, kw_only=True):
    """One side of an option. Teeth and degrees: tail down (raises the car) positive."""

    inner: Annotated[int, Meta(description="Whole teeth at the inner end.")]
    outer: Annotated[int, Meta(description="Whole teeth at the outer end.")]
    steps: Annotated[int, Meta(description="Net fine steps.")]
    turn_deg: float
    hanging_deg: float
    riding_deg: float
    body_height_mm: Estimate
    lift: Lift
    stress_at_bump_mpa: float
    bump_left_mm: float
    droop_left_mm: float
    camber_change_deg: Annotated[float, Meta(description="Wheel top outward positive, [°].")]


class Option(msgspec.Struct, kw_only=True):
    """One way to do the job."""

    label: str
    recommended: bool
    odds: Annotated[Odds, Meta(description="That both heights and the lean end within tolerance, 0 to 1.")]
    ends_disturbed: int
    left: SidePlan
    right: SidePlan
    lean_mm: Annotated[Estimate, Meta(description="Left minus right body height, [mm].")]
    cross_weight_kg: Annotated[
        float, Meta(description="Change of load on the diagonal from left rear to right front, [kg].")
    ]
    ride_hz: float
    mm_per_deg: float
    stopped_by: Annotated[list[str], Meta(description="What forbids this option; empty when nothing does.")]
    cautions: list[str]


class Advice(msgspec.Struct, kw_only=True):
    """A reading or test worth making before a tooth is turned."""

    what: Literal[
        "board-test", "hang-test", "scales", "ballast-test", "body-height", "riding-angle", "hanging-angle"
    ]
    side: Literal["left", "right", "both"]
    odds_after: Odds
    minutes: float
    text: str


Guess = Annotated[
    str,
    Meta(
        description='The slip in words; "unexplained" when none fits.',
        extra_json_schema={"enum": list(GUESSES)},
    ),
]


class SecondGuess(msgspec.Struct, kw_only=True):
    """Another slip that is nearly as likely."""

    guess: Guess
    text: str
    repaired_value: float | None


class Doubt(msgspec.Struct, kw_only=True):
    """An entry of the log that disagrees with the rest, and the slip that would explain it."""

    log_index: int
    misfit: Annotated[float, Meta(description="Standard deviations from what all others say.")]
    guess: Guess
    repaired_value: Annotated[
        float | None, Meta(description="What it should read; null where no number mends it.")
    ]
    text: str
    field: str | None = None
    side: Literal["left", "right", "both"] | None = None
    end: Literal["inner", "outer", "both"] | None = None
    also: SecondGuess | None = None
    entries: Annotated[
        list[int], Meta(description="Log indexes of all entries that are put right together.")
    ] = []


class StepSizes(msgspec.Struct, kw_only=True):
    """Turn of the arm by one tooth at either end, and by one fine step of both against each other, [°]."""

    fine: float
    inner: float
    outer: float


class Fit(msgspec.Struct, kw_only=True):
    """How the readings were fitted."""

    iterations: int
    readings: int
    misfit_rms: float


class SolveAnswer(msgspec.Struct, kw_only=True):
    """The plan: options best first, what was learned, what to measure next, doubts, cautions."""

    now: Now
    learned: Learned
    step_deg: StepSizes
    options: list[Option]
    measure_next: list[Advice]
    doubts: list[Doubt]
    cautions: list[str]
    posterior: Posterior
    fit: Fit


def answer_of(plain: dict[str, Any]) -> SolveAnswer:
    """The model's answer as the struct.

    Goes through JSON on purpose: a number that JSON cannot carry (NaN, infinity) becomes null on the way out
    and is refused on the way in, and this costs about a hundredth of the solve.

    Raises
    ------
    msgspec.ValidationError
        When the model broke its word; a fault of ours.
    """
    return msgspec.json.decode(msgspec.json.encode(plain), type=SolveAnswer)


def plan(request: dict[str, Any]) -> SolveAnswer:
    """Solve a request that has the schema's shape.

    Raises
    ------
    ModelProblem
        With code, path and sentence, where the request cannot be answered.
    """
    return answer_of(solve(request))
