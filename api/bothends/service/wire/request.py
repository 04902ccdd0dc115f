"""The solve request as structs, made from the model's table of facts (`model.fields`).

Bounds, defaults, units and words of every field are the table's, so that the server and a phone without one
refuse the same things. Rules that span fields (teardown numbers, the readings a plan cannot do without, the
bounds of a value by what was read) are the model's. The model is given the request as it was sent, never
these structs.
"""

import functools
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from bothends.book import facts
from bothends.book.facts import fields_of
from bothends.model import fields

__all__ = ["ALTERNATIVES", "OTHER_TARGETS", "READINGS", "TARGETS", "Posterior", "SolveRequest", "Strict"]


class Strict(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """Base of every part of a request: a misspelt field is refused, not overlooked."""


@fields_of("car.bar")
class Bar(Strict):
    """The torsion bar of one side; both sides alike."""


@fields_of("car.load_kg")
class Load(Strict):
    """Mass carried by each of these springs: wheel load less the unsprung part."""


@fields_of("car.bush")
class Bush(Strict):
    """The rubber round the bar's outer end."""


@fields_of("car.limits")
class Limits(Strict):
    """What must not be exceeded. One left out is assumed: it cautions and never forbids."""


@fields_of("car.held")
class HeldEnds(Strict):
    """Ends that cannot or must not be turned."""


@fields_of("car.adjuster.raise_turns")
class RaiseTurns(Strict):
    """Turns, or notches, left to raise, as found."""


@fields_of("car.adjuster.lower_turns")
class LowerTurns(Strict):
    """Turns, or notches, left to lower, as found."""


@fields_of("car.adjuster.at_deg")
class EccentricAt(Strict):
    """Where an eccentric stood as found."""


@fields_of("car.adjuster")
class Adjuster(Strict):
    """What turns a bar's end, or its arm, without a spline being drawn. Both sides alike but for what is left.

    It is named by the wheel, wherever it sits.
    """

    raise_turns: RaiseTurns | None = None
    lower_turns: LowerTurns | None = None
    at_deg: EccentricAt | None = None


class Posterior(msgspec.Struct, kw_only=True):
    """Constants of this car as an answer left them: opaque, to be given back as car.known next time."""

    names: Annotated[list[str], Meta(max_length=64)]
    mean: Annotated[list[float], Meta(max_length=64)]
    covariance: Annotated[list[Annotated[list[float], Meta(max_length=64)]], Meta(max_length=64)]


class _Axle(Strict):
    """What is said of either axle in parts of their own."""

    bar: Bar | None = None
    load_kg: Load | None = None
    bush: Bush | None = None
    limits: Limits | None = None
    held: HeldEnds | None = None
    adjuster: Adjuster | None = None


@fields_of(fields.OTHER)
class OtherAxleCar(_Axle):
    """The other axle: the same facts. With any of them, {} will do, its readings and moves count."""


@fields_of("car")
class Car(_Axle):
    """The axle that the bars spring. Nothing is required: what is left out is believed, with an honest spread."""

    known: Posterior | None = None
    other: OtherAxleCar | None = None


@fields_of("log.pose")
class Pose(Strict):
    """How the car stood while a reading was taken. By default on its wheels, no board, no ballast."""


class _Read(Strict, tag_field="kind", tag="reading"):
    pose: Pose = msgspec.field(default_factory=Pose)


@facts.reading_of(fields.KINDS)
class Reading(_Read):
    """One reading. Angles in degrees, wheel below the bar positive; heights in mm; wheel loads in kg."""


READINGS: dict[str, Any] = {
    kind.name: facts.reading_of([kind])(
        facts.made(facts.title(kind.name) + "Reading", _Read, f"One {kind.words}, in {kind.unit}.")
    )
    for kind in fields.KINDS
}
"""The same by kind, for the schema: the bounds of a value depend on what was read, which one struct cannot say."""


@fields_of("log.left")
class Ends(Strict):
    """What was turned on one side: whole teeth at both ends of its bar, and its adjuster; raising is positive."""


class Move(Strict, tag_field="kind", tag="move"):
    """Teeth and turns of one teardown or adjustment. They are numbered 1, 2, 3 without a gap."""

    teardown: Annotated[
        float, facts.whole(1, fields.field("log.teardown").high, "Which teardown this was, counted from 1.")
    ]
    axle: Annotated[
        Literal["rear", "front"] | None,
        Meta(description="Which axle was turned; left out: the job's. See car.other."),
    ] = None
    left: Ends = msgspec.field(default_factory=Ends)
    right: Ends = msgspec.field(default_factory=Ends)


@fields_of(fields.AIM)
class _OtherAsSent(Strict):
    """What is wanted of the other axle, in whichever form: which fields belong to which is the model's to say."""


def _target(path: str, form: fields.Form, other: Any = None) -> Any:
    """The struct of one form of a target. Its ``as`` tells it apart; only the first form may leave it out.

    ``other`` is the type of the other axle's target beside it, None where there is none.
    """
    said: Any = Annotated[Literal[form.name], Meta(description=fields.word(path + ".as").words)]
    default = form.name if form.name == fields.AIMS[0] else msgspec.NODEFAULT
    own: list[facts.Made] = [("as_", said, msgspec.field(name="as", default=default))]
    if other is not None:
        own.append(("other", other | None, None))
    name = facts.title(form.name) + ("OtherTarget" if path == fields.AIM else "Target")
    return fields_of(path, needs=form.needs, may=form.may)(facts.made(name, Strict, form.words, own))


OTHER_TARGETS = {form.name: _target(fields.AIM, form) for form in fields.OTHER_FORMS}
"""Structs of what is wanted of the other axle, by its form."""
OtherTarget = Annotated[dict[str, Any], Meta(extra_json_schema={"$ref": "#/components/schemas/OtherTarget"})]


def _targets(other: Any) -> dict[str, Any]:
    """Structs of a target by its form, beside which ``other`` may stand where that form allows it."""
    return {f.name: _target("target", f, other if f.name in OTHER_TARGETS else None) for f in fields.FORMS}


TARGETS = _targets(OtherTarget)
"""Structs of a target by its form, as the document says it."""
_READ = _targets(_OtherAsSent)
"""The same as a body is read."""
ALTERNATIVES = {
    "Target": tuple(TARGETS.values()),
    "OtherTarget": tuple(OTHER_TARGETS.values()),
    "Reading": tuple(READINGS.values()),
}
"""Components of the document that are a choice of types, which no single struct can say."""
Target = Annotated[dict[str, Any], Meta(extra_json_schema={"$ref": "#/components/schemas/Target"})]


@fields_of("target", may=["as"])
class _Said(msgspec.Struct, kw_only=True):
    """What is looked at first."""


class _Peek(msgspec.Struct, kw_only=True):
    target: _Said


@fields_of("")
class SolveRequest(Strict):
    """A car, a wish and everything measured or turned so far."""

    target: Target
    car: Car = msgspec.field(default_factory=Car)
    log: Annotated[list[Reading | Move], Meta(max_length=fields.MOST_ENTRIES)] = []

    @classmethod
    def shape_of(cls, body: bytes) -> Any:
        """This struct with its target in the form that the body's own ``as`` says."""
        return _in_form(cls, _form(body))


def _form(body: bytes) -> Any:
    try:
        said: Any = msgspec.json.decode(body, type=_Peek)
    except msgspec.ValidationError as error:
        # No such form: told as any other word that is no choice. All else is told by the full reading.
        return _Said if str(error).endswith("`$.target.as`") else _READ[fields.AIMS[0]]
    return _READ[said.target.as_]


@functools.cache
def _in_form(cls: type[SolveRequest], form: Any) -> Any:
    return facts.made(cls.__name__, cls, cls.__doc__ or "", [("target", form)])
