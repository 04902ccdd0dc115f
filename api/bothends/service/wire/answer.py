"""The solve answer as a struct: names, units and words of every field.

The model's plain dict is read into it at the edge, so that what is sent is what the schema says. Fields may
be added; those here keep their names and meaning.
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from bothends.model.slip import GUESSES
from bothends.model.solve import solve

from .axle import Advice, Assumed, Now, StepSizes
from .both import BothAxles
from .headline import Headline
from .option import CrossWeight, Estimate, Option
from .request import Posterior
from .target import Aimed

__all__ = ["Advice", "Assumed", "Doubt", "SolveAnswer", "StepSizes", "answer_of", "plan"]


class Learned(msgspec.Struct, kw_only=True):
    """Constants of this very car, as all readings together leave them."""

    bar_nm_per_deg: Estimate
    arm_mm: Estimate
    roll_support_n_per_mm: Estimate
    mm_per_deg: Estimate
    bush_ratio: Estimate
    tyre_n_per_mm: Estimate


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
    changes_plan: Annotated[
        bool | UnsetType,
        Meta(description="Whether the first option's teeth would be others with the repair."),
    ] = UNSET
    also: SecondGuess | None = None
    entries: Annotated[
        list[int], Meta(description="Log indexes of all records that are put right together.")
    ] = []


class Fit(msgspec.Struct, kw_only=True):
    """How the readings were fitted."""

    iterations: int
    readings: int
    misfit_rms: float


class CrossWeightNow(msgspec.Struct, kw_only=True):
    """What four scales say, and what rear bars alone cannot have together."""

    now: CrossWeight
    teardown: Annotated[int, Meta(description="How many teardowns came before the car was weighed.")]
    after_km: Annotated[float | None, Meta(description="At a recheck, driven since hand-over, [km].")]
    carried: Annotated[
        bool,
        Meta(description="Whether teeth were turned, or ballast changed, since: then now is worked out."),
    ]
    even_lean_mm: Annotated[
        Estimate | None,
        Meta(
            description="Lean, left minus right, at which it would be 50 %, [mm]; null where a side's mark was"
            " never read."
        ),
    ]
    words: str


class OtherAxle(msgspec.Struct, kw_only=True):
    """The other axle, where the car says of it too: what its readings teach, and what is felt of it here."""

    axle: Literal["rear", "front"]
    learned: Annotated[Learned, Meta(description="That axle's own constants.")]
    lean_mm: Annotated[
        Estimate | None,
        Meta(
            description="Left minus right ride height there now, [mm]; null where heights of both sides were not"
            " read."
        ),
    ]
    adds_n_per_mm: Annotated[
        Estimate, Meta(description="What it adds against lean at this axle, by its own readings, [N/mm].")
    ]
    shifted_mm: Annotated[
        Estimate,
        Meta(description="What was turned there since as found, as unevenness felt at this axle, [mm]."),
    ]
    first: Annotated[
        Literal["rear", "front"],
        Meta(description="Axle to set first where both are turned: its change disturbs the other most."),
    ]
    words: Annotated[
        list[str],
        Meta(
            description="What the first option does to it; what cannot be had with one axle; which to set first."
        ),
    ]


class SolveAnswer(msgspec.Struct, kw_only=True):
    """The plan: options best first, what was learned and assumed, what to measure next, doubts, cautions.

    Options that a given limit forbids come after those it does not.
    """

    headline: Headline
    target: Annotated[Aimed, Meta(description="As asked for, with defaults and the heights it comes to.")]
    withheld: Annotated[
        bool, Meta(description="Whether doubts change the first option's teeth: then none is recommended.")
    ]
    now: Now
    learned: Learned
    step_deg: StepSizes
    options: list[Option]
    cross_weight: Annotated[
        CrossWeightNow | None, Meta(description="null where no stage has four wheel loads: the change only.")
    ]
    other: Annotated[
        OtherAxle | None, Meta(description="null where the car says nothing of the other axle (car.other).")
    ] = None
    both: Annotated[
        BothAxles | None, Meta(description="null where nothing is wanted of the other axle (target.other).")
    ] = None
    assumed: Annotated[
        list[Assumed],
        Meta(
            description="Limits that the first option would pass at their assumed value, then by chance gained."
        ),
    ]
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
