"""The answer's target as a struct: the form asked for, its defaults filled in, and the heights that it comes to."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

__all__ = ["Aimed", "AimedCross", "AimedHanging", "AimedHeights", "AimedLevel", "AimedRise"]


class _Aim(msgspec.Struct, kw_only=True, tag_field="as"):
    left_mm: Annotated[
        float | None,
        Meta(description="Height that the target comes to, left, [mm]; null where it comes to none."),
    ]
    right_mm: Annotated[float | None, Meta(description="The same, right, [mm].")]
    ballast_left_kg: Annotated[
        float, Meta(description="In the car when it is judged, over the left wheel, [kg].")
    ]
    ballast_right_kg: Annotated[float, Meta(description="The same, right, [kg].")]
    spot: Annotated[str | None, Meta(description="Where it is judged; null: the job's usual place.")]


class _AimedHeight(_Aim, kw_only=True):
    measured: Annotated[
        Literal["body-height", "hub-to-body"], Meta(description="Which mark the heights are of.")
    ]
    tolerance_mm: Annotated[float, Meta(description="Allowed error of each height, ±[mm].")]
    lean_mm: Annotated[float, Meta(description="Allowed error of left minus right, ±[mm].")]


class AimedHeights(_AimedHeight, kw_only=True, tag="heights"):
    """The target as asked for, defaults filled in: the mark at these heights."""


class AimedRise(_AimedHeight, kw_only=True, tag="rise"):
    """The target as asked for, defaults filled in: a rise against as found."""

    left_rise_mm: Annotated[float, Meta(description="Left, [mm]; negative lowers.")]
    right_rise_mm: Annotated[float, Meta(description="Right, [mm]; negative lowers.")]


class AimedLevel(_AimedHeight, kw_only=True, tag="level"):
    """The target as asked for, defaults filled in: both sides at one height."""

    at: Annotated[
        Literal["higher", "lower", "mean"], Meta(description="Which of the heights as found it counts from.")
    ]
    rise_mm: Annotated[float, Meta(description="Rise of both sides from there, [mm].")]


class AimedHanging(_Aim, kw_only=True, tag="hanging-angle"):
    """The target as asked for, defaults filled in: hanging angles, wheel below the bar positive."""

    left_deg: Annotated[float, Meta(description="Left, [°].")]
    right_deg: Annotated[float, Meta(description="Right, [°].")]
    tolerance_deg: Annotated[float, Meta(description="Allowed error of each angle, ±[°].")]


class AimedCross(_Aim, kw_only=True, tag="cross-weight"):
    """The target as asked for, defaults filled in: a cross-weight beside the mean of both heights."""

    measured: Annotated[
        Literal["body-height", "hub-to-body"], Meta(description="Which mark the heights are of.")
    ]
    tolerance_mm: Annotated[float, Meta(description="Allowed error of the mean height, ±[mm].")]
    rise_mm: Annotated[float, Meta(description="Rise of the mean of both heights against as found, [mm].")]
    cross_percent: Annotated[float, Meta(description="RF + LR as a share of all four loads, [%].")]
    tolerance_percent: Annotated[float, Meta(description="Allowed error of that share, ±[%].")]


Aimed = AimedHeights | AimedRise | AimedLevel | AimedHanging | AimedCross
