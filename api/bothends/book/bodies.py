"""The body of each kind of entry: fields, units, bounds.

Owns what this version checks when an entry enters the shop. Fields it does not know are let through: they
come from a newer phone, and are kept and returned as they are. Bounds are the model's, so that phone and
server refuse the same things. The cards (job, car, target, known) are merge patches: every field may be
missing, and null takes one back. Fields that a solve request has too are made from the model's table (`facts`).
"""

import functools
import operator
from typing import TYPE_CHECKING, Annotated, Any, Literal

from msgspec import Meta, Struct

from bothends.model import fields

from . import facts, photos
from .facts import fields_of, marked, of

__all__ = [
    "READINGS",
    "BarBody",
    "CarBody",
    "CloseBody",
    "EraseBody",
    "JobBody",
    "KnownBody",
    "MoveBody",
    "NoteBody",
    "PhotoBody",
    "PlanBody",
    "ReadingBody",
    "SettleBody",
    "StepBody",
    "StrikeBody",
    "TargetBody",
]


Word = Annotated[str, Meta(min_length=1, max_length=100)]
Line = Annotated[str, Meta(max_length=200)]
Text = Annotated[str, Meta(max_length=10_000)]
EntryId = Annotated[str, Meta(min_length=1, max_length=64, description="Id of another record.")]
Teeth = Annotated[float, of("log.left.inner")]
Teardown = Annotated[float, of("log.teardown")]
ThisTeardown = Annotated[
    float, facts.whole(1, fields.field("log.teardown").high, "Which teardown, counted from 1.")
]
if TYPE_CHECKING:
    Side = Literal["left", "right"]
    Axle = Literal["rear", "front"]
else:
    Side = Literal[fields.SIDES]
    Axle = Literal[fields.OF_CAR]


class Body(Struct, kw_only=True, omit_defaults=True):
    """Base of every body: unknown fields are let through."""


@marked
class JobBody(Body, kw_only=True):
    """What the job is about."""

    title: Line | None = None
    owner: Annotated[str, Meta(max_length=200, description="First name of the owner.")] | None = None
    car: Annotated[str, Meta(max_length=200, description="The car's name, for people.")] | None = None
    car_id: (
        Annotated[
            str,
            Meta(
                max_length=420,
                description=(
                    "Said by a person: a visit of the car with this car_key. The job's own id: a car of its own."
                ),
            ),
        ]
        | None
    ) = None
    by_name: (
        Annotated[
            bool,
            Meta(
                description=(
                    "false: name and owner alone join it to no other job; a person is asked. Left out by older"
                    " apps, whose jobs of one name and owner are one car until somebody says otherwise."
                )
            ),
        ]
        | None
    ) = None
    other_than: (
        Annotated[
            list[Annotated[str, Meta(min_length=1, max_length=420)]],
            Meta(
                max_length=50,
                description="Said by a person: another car than these (car_key, or ids of jobs).",
            ),
        ]
        | None
    ) = None
    hidden: (
        Annotated[
            bool,
            Meta(description="A job made by mistake: left out of lists, visits and statistics, and kept."),
        ]
        | None
    ) = None
    odometer: (
        Annotated[
            str, Meta(max_length=40, description="What the odometer shows, with its unit, as it is read.")
        ]
        | None
    ) = None
    wish: (
        Annotated[str, Meta(max_length=2000, description="The request, in the customer's words.")] | None
    ) = None


@fields_of("car.bar", patch=True)
class BarBody(Body, kw_only=True):
    """The torsion bar of one side; both sides alike."""


@fields_of("car.bush", patch=True)
class BushBody(Body, kw_only=True):
    """The rubber round the bar's outer end."""


@fields_of("car.limits", patch=True)
class LimitsBody(Body, kw_only=True):
    """What must not be exceeded."""


@fields_of("car.load_kg", patch=True)
class LoadBody(Body, kw_only=True):
    """Mass carried by each of these springs."""


@fields_of("car.held", patch=True)
class HeldBody(Body, kw_only=True):
    """Ends that cannot or must not be turned."""


@fields_of("car.adjuster.raise_turns", patch=True)
class RaiseTurnsBody(Body, kw_only=True):
    """Turns, or notches, left to raise, as found."""


@fields_of("car.adjuster.lower_turns", patch=True)
class LowerTurnsBody(Body, kw_only=True):
    """Turns, or notches, left to lower, as found."""


@fields_of("car.adjuster.at_deg", patch=True)
class EccentricAtBody(Body, kw_only=True):
    """Where an eccentric stood as found."""


@fields_of("car.adjuster", patch=True)
class AdjusterBody(Body, kw_only=True):
    """What turns a bar's end, or its arm, without a spline being drawn."""

    raise_turns: RaiseTurnsBody | None = None
    lower_turns: LowerTurnsBody | None = None
    at_deg: EccentricAtBody | None = None


class _Axle(Body, kw_only=True):
    """What is said of either axle in parts of their own."""

    bar: BarBody | None = None
    bush: BushBody | None = None
    limits: LimitsBody | None = None
    load_kg: LoadBody | None = None
    held: HeldBody | None = None
    adjuster: AdjusterBody | None = None


@fields_of(fields.OTHER, patch=True)
class OtherCarBody(_Axle, kw_only=True):
    """The other axle: the same facts. With any of them, {} will do, its readings and moves count."""


@fields_of("car", patch=True)
class CarBody(_Axle, kw_only=True):
    """The car's axle that the bars spring, as a solve request has it; said in parts, as it becomes known."""

    other: OtherCarBody | None = None


@fields_of(fields.AIM, patch=True)
class OtherTargetBody(Body, kw_only=True):
    """What is wanted of the other axle: heights, a rise or a level."""


@fields_of("target", patch=True)
class TargetBody(Body, kw_only=True):
    """What is wanted, in the form that ``as`` says, and how close it must come.

    One that says ``as``, or heights without it, begins the target anew; any other patches it. ``other`` is begun
    and patched by itself: it stays whatever is said of the job's own axle.
    """

    other: OtherTargetBody | None = None


@fields_of("log.pose", patch=True)
class PoseBody(Body, kw_only=True):
    """How the car stood. By default on its wheels, no board, no ballast."""


class _Reading(Body, kw_only=True, tag_field="what"):
    pose: PoseBody | None = None
    corrects: EntryId | None = None
    method: Annotated[str, Meta(max_length=200, description="What it was read with.")] | None = None


def _reading(kind: fields.Kind) -> Any:
    words = f"One {kind.words}, in {kind.unit}."
    base = facts.made(facts.title(kind.name), _Reading, words, tag=kind.name)
    return facts.reading_of([kind], patch=True)(base)


READINGS: tuple[Any, ...] = tuple(_reading(kind) for kind in fields.KINDS)
"""Structs of a reading by what was read, in the table's order."""
if TYPE_CHECKING:
    ReadingBody = _Reading
else:
    ReadingBody = functools.reduce(operator.or_, READINGS)


@fields_of("log.left")
class TeethBody(Body, kw_only=True):
    """What was turned on one side: whole teeth at the two ends of its bar, and its adjuster."""


class MoveBody(Body, kw_only=True):
    """Teeth turned in one teardown, or turns of the adjusters alone: an adjustment, which is numbered with them."""

    teardown: ThisTeardown
    axle: Annotated[Axle, Meta(description="Which axle was turned; left out: the job's.")] | None = None
    left: TeethBody | None = None
    right: TeethBody | None = None
    plan: EntryId | None = None
    corrects: EntryId | None = None


class PromisedBody(Body, kw_only=True):
    """A value and its standard deviation."""

    value: float
    sd: Annotated[float, Meta(ge=0.0)]


class PlannedBody(Body, kw_only=True):
    """What is to be turned on one side, and what was promised of it.

    A plan in degrees has ``turn_deg`` and no teeth: they were not said, and are never 0. Of an adjuster it has the
    turns, and may keep what is left of them.
    """

    inner: Teeth | None = None
    outer: Teeth | None = None
    turns: Annotated[float, of("log.left.turns")] | None = None
    raise_turns_left: float | None = None
    lower_turns_left: float | None = None
    turn_deg: float | None = None
    body_height_mm: PromisedBody | None = None
    rise_mm: PromisedBody | None = None
    hanging_deg: float | None = None


class PlanBody(Body, kw_only=True):
    """What was promised, as it was shown when the choice was made; more of the answer may be kept with it."""

    teardown: ThisTeardown
    odds: Annotated[float, Meta(ge=0.0, le=1.0, description="Predicted chance, 0 to 1.")]
    left: PlannedBody
    right: PlannedBody
    label: Line | None = None
    lean_mm: PromisedBody | None = None
    target: TargetBody | None = None


class StepBody(Body, kw_only=True):
    """A check or step ticked, or unticked."""

    step: Word
    done: bool = True
    teardown: Teardown | None = None
    side: Side | None = None


class NoteBody(Body, kw_only=True):
    """Words, about the job or one entry."""

    text: Text
    about: EntryId | None = None
    checked: (
        Annotated[
            str,
            Meta(
                min_length=1,
                max_length=64,
                description="The choice after which the record it is about was looked at and found right.",
            ),
        ]
        | None
    ) = None


class PhotoBody(Body, kw_only=True):
    """A photo: what it shows, and the name of its bytes, which go apart (PUT /api/photos/{sha256})."""

    sha256: Annotated[
        str,
        Meta(
            pattern=photos.SHA256, max_length=64, description="SHA-256 of its bytes, in hexadecimal digits."
        ),
    ]
    bytes: Annotated[float, facts.whole(1, photos.BYTES, "Its size, bytes.")]
    width: Annotated[float, facts.whole(1, 20_000, "Its width, pixels.")]
    height: Annotated[float, facts.whole(1, 20_000, "Its height, pixels.")]
    shows: Literal["gauge", "marks", "other", "spline"]
    side: Side | None = None
    teardown: Teardown | None = None
    step: Annotated[Word, Meta(description="The step of the teardown that it was taken at.")] | None = None
    what: (
        Annotated[Word, Meta(description="The kind of reading that it was taken at, such as hanging-angle.")]
        | None
    ) = None
    words: Annotated[str, Meta(max_length=photos.WORDS, description="What somebody wrote on it.")] | None = (
        None
    )


class StrikeBody(Body, kw_only=True):
    """Takes an entry out. Nothing is erased; a strike can be struck."""

    entry: EntryId
    saw: (
        Annotated[
            list[EntryId],
            Meta(max_length=100, description="Records of its chain that were there when it was removed."),
        ]
        | None
    ) = None
    refused: (
        Annotated[
            bool, Meta(description="It was refused when it came in a link or a file, and never counted here.")
        ]
        | None
    ) = None
    why: Text | None = None


class SettleBody(Body, kw_only=True):
    """A person's pick between entries that contradict each other."""

    keeps: EntryId
    drops: Annotated[list[EntryId], Meta(min_length=1, max_length=100)]
    replaces: Annotated[list[EntryId], Meta(max_length=100)] | None = None
    why: Text | None = None


class ConstantsBody(Body, kw_only=True):
    """Constants of one car as an answer left them: opaque, given back as car.known."""

    names: Annotated[list[str], Meta(max_length=64)]
    mean: Annotated[list[float], Meta(max_length=64)]
    covariance: Annotated[list[Annotated[list[float], Meta(max_length=64)]], Meta(max_length=64)]


class KnownBody(Body, kw_only=True):
    """What this car's last visit left; what it taught is taken up or refused (use false)."""

    use: bool | None = None
    job: Annotated[str, Meta(max_length=64, description="The visit it comes from.")] | None = None
    at: (
        Annotated[str, Meta(max_length=40, description="When the car was last here before this job.")] | None
    ) = None
    car: (
        Annotated[
            CarBody,
            Meta(
                description="Sizes as known from earlier visits, each for a person to take up; those in use are"
                " records of kind car."
            ),
        ]
        | None
    ) = None
    posterior: ConstantsBody | None = None
    learned: dict[str, Any] | None = None


class CloseBody(Body, kw_only=True):
    """The job is handed over; what was learned stays for the car's next visit."""

    text: Text | None = None
    posterior: ConstantsBody | None = None
    learned: dict[str, Any] | None = None


class EraseBody(Body, kw_only=True):
    """The customer was erased on request; what was erased is said nowhere."""

    entries: Annotated[
        float, facts.whole(0, 1_000_000, "How many records of the job it took words from.")
    ] = 0.0
    only: (
        Annotated[
            Literal["car"],
            Meta(
                description="It takes nothing of this job but names that say which car it is (car_id, other_than):"
                " they are made of those of another job's customer. Left out: every word."
            ),
        ]
        | None
    ) = None
