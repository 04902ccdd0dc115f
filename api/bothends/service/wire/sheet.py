"""A job's sheet as the fold makes it (``book.sheet``), its stages and its history, with a type for every part.

The fold's dicts are sent as they are; tests hold what comes against these structs, on logs of every kind.
Rows and cards are made from the bodies of entries (``rows``).
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from bothends.book import bodies

from .rows import (
    CloseRow,
    MoveRow,
    NoteRow,
    PhotoRow,
    PlanMade,
    PlanRow,
    ReadingRow,
    SettleRow,
    StepRow,
    StruckRow,
    TargetCard,
    Writer,
)

__all__ = [
    "NAMED",
    "BothMeans",
    "Conflict",
    "Event",
    "FoldedSheet",
    "Promised",
    "Reached",
    "Said",
    "Settled",
    "Stage",
    "State",
    "Stop",
    "Unsure",
]

State = Literal["measuring", "planned", "torn down", "checked", "closed"]
Number = Annotated[int, Meta(ge=0)]
Ids = list[str]


class Said(msgspec.Struct, kw_only=True):
    """One of the records that contradict each other, with what it says of what is asked."""

    entry: str
    value: Annotated[
        Any,
        Meta(
            description="Of a field its value, null where it takes it back; of a target the whole of it as its"
            " writer left it; of a reading its figure; of a move the teeth: left inner, left outer, right"
            " inner, right outer, then the turns of the adjusters, left and right; of a removal null."
        ),
    ]
    at: Annotated[str, Meta(description="The writer's clock.")]
    device: str
    writer: Writer


class Conflict(msgspec.Struct, kw_only=True):
    """What a person must resolve."""

    about: Literal["card", "correction", "strike", "teardown"]
    kind: Literal["car", "job", "known", "move", "reading", "target"]
    field: Annotated[
        str,
        Meta(description='Where in its card they differ, such as bar.length_mm; "" for the whole record.'),
    ]
    teardown: Number
    entries: Annotated[Ids, Meta(description="The records that contradict each other.")]
    values: Annotated[list[Said], Meta(description="What each of them says, in the same order.")]
    used: Annotated[str, Meta(description="The one that counts until then.")]
    before_teardown: Annotated[
        bool, Meta(description="Whether no teardown may begin before somebody has chosen.")
    ]
    text: str
    settlements: Annotated[
        Ids, Meta(description="Settlements that speak of these records; a new one names them in replaces.")
    ]
    contradicted: Annotated[bool, Meta(description="Whether these contradict each other.")]


class Unsure(msgspec.Struct, kw_only=True):
    """Readings of a device that went by something else than what a person chose in the end."""

    choice: Annotated[str, Meta(description="The record that says what was chosen.")]
    kind: Literal["car", "move", "target"]
    field: Annotated[str, Meta(description="Of a car, such as bar.inner_teeth; else empty.")]
    teardown: Annotated[int, Meta(ge=0, description="Of a move, the first teardown that it makes unsure.")]
    device: str
    writer: Writer
    kept: Annotated[Said, Meta(description="What was chosen.")]
    lost: Annotated[Said, Meta(description="What the device had.")]
    readings: Annotated[Ids, Meta(description="What it read meanwhile and nobody has looked at since.")]
    text: str


class Waiting(msgspec.Struct, kw_only=True):
    """A record whose other end has not arrived."""

    id: str
    for_: Annotated[str, Meta(description="The record that it waits for.")] = msgspec.field(name="for")


class Puzzle(msgspec.Struct, kw_only=True):
    """A record that this version cannot take into account; it is kept as it is."""

    id: str
    kind: str
    text: str


class Clock(msgspec.Struct, kw_only=True):
    """A record before which its device's clock went back."""

    id: str
    device: str
    text: str


class Erased(msgspec.Struct, kw_only=True):
    """That the customer was erased: the last record of it, each null where only other records show it."""

    id: str | None
    at: str | None
    device: str | None
    alone: Annotated[
        bool,
        Meta(
            description="Whether nothing else of the job is here, as in a copy older than the job: it is hidden"
            " until its records come again."
        ),
    ]


class OtherRows(msgspec.Struct, kw_only=True):
    """What was read and turned at the other axle, where the car says of that too (car.other)."""

    readings: Annotated[list[ReadingRow], Meta(description="Those that count, by teardown.")]
    moves: Annotated[
        list[MoveRow], Meta(description="One for each teardown there, numbered with those of the job's axle.")
    ]
    hit: Annotated[
        bool | None,
        Meta(
            description="Whether that axle meets what the target wants of it (target.other), by its heights since"
            " the last move of either axle; null where nothing is wanted of it, or where that cannot be told."
        ),
    ]


class FoldedSheet(msgspec.Struct, kw_only=True):
    """What a job's records come to. Words are "" where nobody has said; a card has what was said, and no more."""

    job: str
    title: str
    owner: str
    wish: str
    car_name: str
    about: bodies.JobBody
    car: bodies.CarBody
    target: bodies.TargetBody
    known: bodies.KnownBody
    readings: Annotated[list[ReadingRow], Meta(description="Those that count, by teardown.")]
    moves: Annotated[list[MoveRow], Meta(description="One for each teardown, ascending.")]
    other: OtherRows
    plans: list[PlanRow]
    notes: list[NoteRow]
    photos: list[PhotoRow]
    steps: Annotated[list[StepRow], Meta(description="The last tick of each.")]
    settlements: list[SettleRow]
    struck: list[StruckRow]
    teardowns: Annotated[int, Meta(description="How many moves, at either axle.")]
    state: State
    closed: CloseRow | None
    conflicts: list[Conflict]
    unsure: Annotated[
        list[Unsure], Meta(description="What is to be looked at again since something else was chosen.")
    ]
    writers: Annotated[dict[str, str], Meta(description="By device, the first name given on it in this job.")]
    waiting: list[Waiting]
    puzzles: list[Puzzle]
    clocks: list[Clock]
    erased: Annotated[Erased | None, Meta(description="That the customer was erased; null where not.")]
    entries: Annotated[int, Meta(description="How many records.")]


class Stop(msgspec.Struct, kw_only=True):
    """What has to be resolved or entered before a plan can be made."""

    code: Annotated[
        Literal["unsettled-move", "missing-move", "missing-target", "incomplete"],
        Meta(description="incomplete: the request lacks a field, or has one that no solve takes."),
    ]
    text: str
    entries: Annotated[Ids, Meta(description="The records it is about.")]


class Promised(msgspec.Struct, kw_only=True):
    """Chance and heights that a plan predicted, null where the mark had never been read."""

    odds: Annotated[float, Meta(description="Predicted chance, 0 to 1.")]
    left_mm: float | None
    left_sd_mm: float | None
    right_mm: float | None
    right_sd_mm: float | None


class Reached(msgspec.Struct, kw_only=True):
    """Ride heights read, means of repeats, and their difference, left less right; null where not read."""

    left_mm: float | None
    right_mm: float | None
    lean_mm: float | None


class Settled(msgspec.Struct, kw_only=True):
    """How far each side stands above hand-over day; negative has sunk."""

    left_mm: float | None
    right_mm: float | None


class BothMeans(msgspec.Struct, kw_only=True):
    """Means of what was read on each side; null where nothing was."""

    left: float | None
    right: float | None


class By(msgspec.Struct, kw_only=True):
    """Who entered something."""

    device: str
    writer: Annotated[str | None, Meta(description="The name given there; null where nobody was asked.")]


class Stage(msgspec.Struct, kw_only=True):
    """The car as found (teardown 0), after a move, or at a recheck (after_km)."""

    teardown: Number
    after_km: Annotated[
        float | None, Meta(description="Driven since hand-over, [km]; null on hand-over day.")
    ]
    at: Annotated[str | None, Meta(description="Of the move, else of the first reading.")]
    move: Annotated[str | None, Meta(description="The record of the move.")]
    plan: Annotated[str | None, Meta(description="The record of the plan that it was done by.")]
    turned: Annotated[
        list[int] | None,
        Meta(description="Teeth: left inner, left outer, right inner, right outer; arm down positive."),
    ]
    turns: Annotated[
        list[float] | None,
        Meta(description="Turns of the adjusters, left and right; raising positive. null where turned is."),
    ]
    promised: Promised | None
    followed: Annotated[bool | None, Meta(description="Whether what was turned was the plan's.")]
    reached: Reached
    cross_percent: Annotated[
        float | None,
        Meta(
            description="Cross-weight (RF + LR) by four wheel loads of the stage, [%]; null where one is lacking."
        ),
    ]
    cross_sd_percent: Annotated[
        float | None, Meta(description="Its standard deviation by the scales alone, [%].")
    ]
    cross_kg: Annotated[float | None, Meta(description="RF + LR less LF + RR, [kg].")]
    cross_sd_kg: Annotated[
        float | None, Meta(description="Its standard deviation by the scales alone, [kg].")
    ]
    hub_mm: BothMeans
    hanging_deg: BothMeans
    riding_deg: BothMeans
    target: TargetCard
    hit: Annotated[bool | None, Meta(description="Whether the target was met on hand-over day.")]
    settled: Annotated[Settled | None, Meta(description="Of a recheck.")]
    still_within: Annotated[bool | None, Meta(description="At a recheck, whether the target is still met.")]
    unsettled: Annotated[bool, Meta(description="Whether its move is in dispute.")]
    by: Annotated[By | None, Meta(description="Who entered the teeth, where nobody did the plan.")]


class ReadingRead(msgspec.Struct, kw_only=True, tag_field="kind", tag="reading"):
    """A reading was taken."""

    row: ReadingRow


class MoveDone(msgspec.Struct, kw_only=True, tag_field="kind", tag="move"):
    """Teeth, or adjusters, were turned."""

    row: MoveRow


class PlanChosen(msgspec.Struct, kw_only=True, tag_field="kind", tag="plan"):
    """A plan was chosen; with what came of it."""

    row: PlanMade


NAMED = {"Event": ReadingRead | MoveDone | PlanChosen}
"""Choices of types that the document names."""
Event = Annotated[dict[str, Any], Meta(extra_json_schema={"$ref": "#/components/schemas/Event"})]
