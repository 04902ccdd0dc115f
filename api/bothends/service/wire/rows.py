"""Rows of a job's sheet: what an entry says, and what the fold adds beside it.

A row has the fields of its entry's body (``book.bodies``) and those here. Bodies stay open: what a newer
phone wrote stands in the row as it came.
"""

import functools
import operator
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from bothends.book import bodies, facts
from bothends.model import fields

__all__ = [
    "NAMED",
    "Came",
    "CloseRow",
    "MoveRow",
    "NoteRow",
    "PhotoRow",
    "PlanMade",
    "PlanRow",
    "ReadingRow",
    "SettleRow",
    "StepRow",
    "StruckRow",
    "TargetCard",
    "Writer",
]

Writer = Annotated[
    str | None,
    Meta(
        description="Who wrote it: its own name for them, else the first one given on its device in this job;"
        " empty where the device was asked and none was given, null where it was not asked."
    ),
]
_ROW: tuple[facts.Made, ...] = (
    ("id", Annotated[str, Meta(description="The record it comes from.")]),
    ("at", Annotated[str, Meta(description="When it was written, by the writer's clock, RFC 3339.")]),
    ("device", Annotated[str, Meta(description="The device that it was written on.")]),
    ("writer", Writer),
)
_CHAINED: tuple[facts.Made, ...] = (
    *_ROW,
    (
        "root",
        Annotated[str, Meta(description="First record of its chain of corrections: the one to strike.")],
    ),
    ("corrected", Annotated[list[str], Meta(description="Records that it stands in place of.")]),
    ("unsettled", Annotated[bool, Meta(description="Whether a person has to resolve something about it.")]),
)


class Came(msgspec.Struct, kw_only=True):
    """What came of a plan that was done: heights read after it, [mm], and whether the target was met."""

    left_mm: float | None
    right_mm: float | None
    hit: bool | None
    followed: Annotated[bool | None, Meta(description="Whether what was turned was the plan's.")]


class StruckRow(msgspec.Struct, kw_only=True):
    """A record that was removed, with all that its body says."""

    id: str
    at: str
    device: str
    writer: Writer
    kind: str
    by: Annotated[list[str], Meta(description="The strikes that did it.")]


def _reading(kind: fields.Kind, body: type[Any]) -> Any:
    words = f"One {kind.words} that counts, in {kind.unit}."
    return facts.made(f"{body.__name__}Row", body, words, _CHAINED, tag=kind.name)


NAMED: dict[str, Any] = {
    "ReadingRow": functools.reduce(operator.or_, map(_reading, fields.KINDS, bodies.READINGS))
}
"""Choices of types that the document names."""
ReadingRow = Annotated[dict[str, Any], Meta(extra_json_schema={"$ref": "#/components/schemas/ReadingRow"})]


@facts.adding(_CHAINED)
class MoveRow(bodies.MoveBody, kw_only=True):
    """Teeth and adjusters turned in one teardown or adjustment."""

    also: Annotated[list[str], Meta(description="Other moves that bear its number.")]


@facts.adding(_ROW)
class PlanRow(bodies.PlanBody, kw_only=True):
    """What was promised, and more of the answer that was kept with it."""


class PlanMade(PlanRow, kw_only=True):
    """A plan, and what came of it."""

    came: Annotated[Came | None, Meta(description="null where it was not the one done.")]


@facts.adding(_ROW)
class NoteRow(bodies.NoteBody, kw_only=True):
    """Words, about the job or one record."""


@facts.adding(_ROW)
class PhotoRow(bodies.PhotoBody, kw_only=True):
    """A photo; whether its bytes are here says GET /api/photos/{sha256}/held."""


@facts.adding(_ROW)
class StepRow(bodies.StepBody, kw_only=True):
    """The last tick of a step."""


@facts.adding(_ROW)
class SettleRow(bodies.SettleBody, kw_only=True):
    """A person's pick between records that contradict each other."""


@facts.adding(_ROW)
class CloseRow(bodies.CloseBody, kw_only=True):
    """The job was handed over."""


_COMES_TO: tuple[facts.Made, ...] = tuple(
    (
        f"{side}_mm",
        Annotated[float | None, Meta(description=f"Height that it comes to, {side}, [mm].")],
        None,
    )
    for side in fields.SIDES
)


@facts.adding(_COMES_TO)
class TargetCard(bodies.TargetBody, kw_only=True):
    """The target, with the heights that it comes to where these can be known."""
