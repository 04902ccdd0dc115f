"""The solve request as a struct: names, units, bounds and words of every field.

Bounds come from the model, so that the server and a phone without one refuse the same things. Rules that span
fields (teardown numbers, the readings a plan cannot do without) are the model's. A default named here is the
model's; a test holds them together. The model is given the request as it was sent, never this struct.
"""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from bothends.model import bounds

__all__ = ["Posterior", "SolveRequest", "Strict", "Target", "whole", "within"]


def within(limits: tuple[float, float], words: str, **more: Any) -> Meta:
    """Bounds and words of a number."""
    return Meta(ge=limits[0], le=limits[1], description=words, **more)


def whole(limits: tuple[float, float], words: str) -> Meta:
    """Bounds and words of a whole number."""
    # A float that is whole: JSON writes no difference between 3 and 3.0, and some writers send the latter.
    return within(limits, words, multiple_of=1)


class Strict(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """Base of every part of a request: a misspelt field is refused, not overlooked."""


class Bar(Strict):
    """The torsion bar of one side; both sides alike."""

    diameter_mm: Annotated[float, within(bounds.DIAMETER_MM, "Outer diameter, [mm].")]
    length_mm: Annotated[float, within(bounds.LENGTH_MM, "Working length between the splines, [mm].")]
    inner_teeth: Annotated[float, whole(bounds.TEETH, "Teeth at the inner end, in the anchor.")]
    outer_teeth: Annotated[float, whole(bounds.TEETH, "Teeth at the outer end, in the arm.")]
    bore_mm: Annotated[
        float, within(bounds.BORE_MM, "Bore, [mm]; 0 for a solid bar, less than the diameter.")
    ] = 0.0
    shear_modulus_gpa: Annotated[float, within(bounds.SHEAR_MODULUS_GPA, "Shear modulus, [GPa].")] = 78.5
    rate_sd_percent: Annotated[
        float, within(bounds.RATE_SD_PERCENT, "How well the rate is known from the dimensions, [%].")
    ] = 3.0


class Load(Strict):
    """Mass carried by each rear spring: wheel load less the unsprung part."""

    left: Annotated[float, within(bounds.LOAD_KG, "Left, [kg].")]
    right: Annotated[float, within(bounds.LOAD_KG, "Right, [kg].")]


class Bush(Strict):
    """The rubber round the bar's outer end."""

    ratio: Annotated[float, within(bounds.BUSH_RATIO, "Its rate as a share of the bar's, [-].")] = 0.045
    ratio_sd: Annotated[float, within(bounds.BUSH_RATIO_SD, "Standard deviation of the ratio, [-].")] = 0.02
    rest_deg: (
        Annotated[
            float, within(bounds.BUSH_REST_DEG, "Arm angle at which it was clamped, [°]; null: at the stop.")
        ]
        | None
    ) = None
    rest_sd_deg: Annotated[float, within(bounds.BUSH_REST_SD_DEG, "Spread of the clamping, [°].")] = 2.5


class Limits(Strict):
    """What must not be exceeded."""

    stop_deg: Annotated[
        float, within(bounds.STOP_DEG, "Arm angle on its stop, [°], wheel down positive.")
    ] = 0.0
    bump_mm: Annotated[
        float,
        within(bounds.BUMP_MM, "Wheel travel left to the bump stop, riding as found (teardown 0), [mm]."),
    ] = 60.0
    droop_mm: Annotated[
        float,
        within(bounds.DROOP_MM, "Wheel travel left to full droop, riding as found (teardown 0), [mm]."),
    ] = 90.0
    permissible_stress_mpa: (
        Annotated[
            float,
            within(
                bounds.PERMISSIBLE_STRESS_MPA,
                "Shear stress that the bar may carry, [MPa]; null: 700 is compared, as a caution only.",
            ),
        ]
        | None
    ) = None
    joint_deg: (
        Annotated[float, within(bounds.JOINT_DEG, "Largest drive-joint angle, [°]; null: not checked.")]
        | None
    ) = None


class Posterior(msgspec.Struct, kw_only=True):
    """Constants of this car as an answer left them: opaque, to be given back as car.known next time."""

    names: Annotated[list[str], Meta(max_length=64)]
    mean: Annotated[list[float], Meta(max_length=64)]
    covariance: Annotated[list[Annotated[list[float], Meta(max_length=64)]], Meta(max_length=64)]


class Car(Strict):
    """The car's rear axle. Only bar and arm are required; the rest has honest defaults with a spread."""

    bar: Bar
    arm_mm: Annotated[float, within(bounds.ARM_MM, "Bar centre to wheel centre, side view, [mm].")]
    arm_sd_mm: Annotated[float, within(bounds.ARM_SD_MM, "Standard deviation of the arm, [mm].")] = 3.0
    load_kg: Load | None = None
    load_sd_kg: (
        Annotated[
            float,
            within(
                bounds.LOAD_SD_KG,
                "Standard deviation of each load, [kg]; null: 7 % of the mean load, or 60 where no load is"
                " given and 240 a side is assumed.",
            ),
        ]
        | None
    ) = None
    unsprung_kg: Annotated[
        float, within(bounds.UNSPRUNG_KG, "Wheel, hub, brake and half the arm, per side, [kg].")
    ] = 20.0
    unsprung_sd_kg: Annotated[float, within(bounds.UNSPRUNG_SD_KG, "Its standard deviation, [kg].")] = 10.0
    bush: Bush = msgspec.field(default_factory=Bush)
    roll_support_n_per_mm: Annotated[
        float, within(bounds.ROLL_SUPPORT_N_PER_MM, "Resistance to lean by the rest of the car, [N/mm].")
    ] = 13.0
    roll_support_sd_n_per_mm: Annotated[
        float, within(bounds.ROLL_SUPPORT_SD_N_PER_MM, "Its standard deviation, [N/mm].")
    ] = 5.0
    unevenness_mm: Annotated[
        float,
        within(bounds.UNEVENNESS_MM, "Unevenness of the front as a height difference at the rear, [mm]."),
    ] = 0.0
    unevenness_sd_mm: Annotated[float, within(bounds.UNEVENNESS_SD_MM, "Its standard deviation, [mm].")] = 4.0
    tyre_n_per_mm: Annotated[float, within(bounds.TYRE_N_PER_MM, "Rate of one rear tyre, [N/mm].")] = 180.0
    tyre_sd_n_per_mm: Annotated[float, within(bounds.TYRE_SD_N_PER_MM, "Its standard deviation, [N/mm].")] = (
        35.0
    )
    axle: Literal["trailing", "semi-trailing", "swing"] = "trailing"
    half_axle_mm: Annotated[
        float, within(bounds.HALF_AXLE_MM, "Half-axle, inner joint to wheel plane, [mm].")
    ] = 600.0
    half_axle_deg: Annotated[
        float, within(bounds.HALF_AXLE_DEG, "Half-axle as found, outer end lower positive, [°].")
    ] = 0.0
    sweep_deg: Annotated[float, within(bounds.SWEEP_DEG, "Sweep of a semi-trailing arm's pivot, [°].")] = 15.0
    limits: Limits = msgspec.field(default_factory=Limits)
    known: Posterior | None = None


class Target(Strict):
    """The wanted body heights and how close they must come."""

    left_mm: Annotated[float, within(bounds.HEIGHT_MM, "Body height, left, [mm].")]
    right_mm: Annotated[float, within(bounds.HEIGHT_MM, "Body height, right, [mm].")]
    tolerance_mm: Annotated[float, within(bounds.TOLERANCE_MM, "Allowed error of each height, ±[mm].")] = 5.0
    lean_mm: Annotated[float, within(bounds.LEAN_MM, "Allowed error of left minus right, ±[mm].")] = 5.0


class Pose(Strict):
    """How the car stood while a reading was taken. By default on its wheels, no board, no ballast."""

    hanging: bool = False
    board_left_mm: Annotated[float, within(bounds.BOARD_MM, "Board under the left rear tyre, [mm].")] = 0.0
    board_right_mm: Annotated[float, within(bounds.BOARD_MM, "Board under the right rear tyre, [mm].")] = 0.0
    ballast_left_kg: Annotated[float, within(bounds.BALLAST_KG, "Added over the left rear wheel, [kg].")] = (
        0.0
    )
    ballast_right_kg: Annotated[
        float, within(bounds.BALLAST_KG, "Added over the right rear wheel, [kg].")
    ] = 0.0


class Reading(Strict, tag_field="kind", tag="reading"):
    """One reading. Angles in degrees, wheel below the bar positive; heights in mm; wheel loads in kg.

    Bounds of the value: angles -89 to 89, body heights 1 to 3000, hub-to-body -2000 to 2000, loads 1 to 5000.
    """

    what: Literal["hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load"]
    side: Literal["left", "right"]
    value: Annotated[float, Meta(ge=-2000.0, le=5000.0, description="In the unit of its kind: °, mm or kg.")]
    datum: (
        Annotated[
            float,
            within(
                bounds.ANGLE_DEG,
                "The same gauge on the body datum in the same pose, [°]; subtracted. Angles only.",
            ),
        ]
        | None
    ) = None
    sd: (
        Annotated[
            float,
            Meta(
                ge=0.01,
                le=500.0,
                description="Standard uncertainty; null: 0.2°, or 0.28° with a datum, 1.5 mm, 3 kg. At most"
                " 20°, 200 mm, 500 kg.",
            ),
        ]
        | None
    ) = None
    reference: Annotated[
        Literal["body", "gravity"],
        Meta(description="gravity: the gauge was read against gravity and no datum was read in that pose."),
    ] = "body"
    teardown: Annotated[float, whole(bounds.TEARDOWN, "How many moves precede this reading.")] = 0
    pose: Pose = msgspec.field(default_factory=Pose)


class Ends(Strict):
    """Whole teeth turned at the two ends of one bar, tail down (raises the car) positive."""

    inner: Annotated[float, whole(bounds.TEETH_TURNED, "Teeth at the inner end.")] = 0
    outer: Annotated[float, whole(bounds.TEETH_TURNED, "Teeth at the outer end.")] = 0


class Move(Strict, tag_field="kind", tag="move"):
    """Teeth turned in one teardown. Teardowns are numbered 1, 2, 3 without a gap."""

    teardown: Annotated[float, whole((1, bounds.TEARDOWN[1]), "Which teardown this was.")]
    left: Ends = msgspec.field(default_factory=Ends)
    right: Ends = msgspec.field(default_factory=Ends)


class SolveRequest(Strict):
    """A car, a wish and everything measured or turned so far.

    At least one hanging angle and one body height on each side are needed for a plan.
    """

    car: Car
    target: Target
    log: Annotated[list[Reading | Move], Meta(max_length=int(bounds.READINGS[1]))]
