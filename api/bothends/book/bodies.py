"""The body of each kind of entry: fields, units, bounds.

Owns what this version checks when an entry enters the shop. Fields it does not know are let through: they
come from a newer phone, and are kept and returned as they are. Bounds are the model's, so that phone and
server refuse the same things. The cards (job, car, target, known) are merge patches: every field may be
missing, and null takes one back.
"""

from typing import Annotated, Any, Literal

from msgspec import Meta, Struct

from bothends.model import bounds

__all__ = [
    "CarBody",
    "CloseBody",
    "JobBody",
    "KnownBody",
    "MoveBody",
    "NoteBody",
    "PlanBody",
    "ReadingBody",
    "SettleBody",
    "StepBody",
    "StrikeBody",
    "TargetBody",
]


def _within(limits: tuple[float, float], words: str, **more: Any) -> Meta:
    return Meta(ge=limits[0], le=limits[1], description=words, **more)


def _whole(limits: tuple[float, float], words: str) -> Meta:
    # A float that is whole: JSON makes no difference between 3 and 3.0.
    return _within(limits, words, multiple_of=1)


Word = Annotated[str, Meta(min_length=1, max_length=100)]
Line = Annotated[str, Meta(max_length=200)]
Text = Annotated[str, Meta(max_length=10_000)]
EntryId = Annotated[str, Meta(min_length=1, max_length=64, description="Id of another entry.")]
Side = Literal["left", "right"]
Turned = Annotated[float, _whole(bounds.TEETH_TURNED, "Whole teeth, tail down (raises the car) positive.")]
Teardown = Annotated[float, _whole(bounds.TEARDOWN, "How many moves precede this.")]
ThisTeardown = Annotated[float, _whole((1, bounds.TEARDOWN[1]), "Which teardown, counted from 1.")]


class Body(Struct, kw_only=True, omit_defaults=True):
    """Base of every body: unknown fields are let through."""


class JobBody(Body, kw_only=True):
    """What the job is about."""

    title: Line | None = None
    owner: Annotated[str, Meta(max_length=200, description="First name of the owner.")] | None = None
    car: Annotated[str, Meta(max_length=200, description="The car's name, for people.")] | None = None
    car_id: (
        Annotated[
            str, Meta(max_length=64, description="The same at every visit of one car, where it has one.")
        ]
        | None
    ) = None
    wish: Annotated[str, Meta(max_length=2000, description="What is wanted, in words.")] | None = None


class BarBody(Body, kw_only=True):
    """The torsion bar of one side; both sides alike."""

    diameter_mm: Annotated[float, _within(bounds.DIAMETER_MM, "Outer diameter, [mm].")] | None = None
    bore_mm: Annotated[float, _within(bounds.BORE_MM, "Bore, [mm].")] | None = None
    length_mm: Annotated[float, _within(bounds.LENGTH_MM, "Working length, [mm].")] | None = None
    inner_teeth: Annotated[float, _whole(bounds.TEETH, "Teeth at the inner end.")] | None = None
    outer_teeth: Annotated[float, _whole(bounds.TEETH, "Teeth at the outer end.")] | None = None
    shear_modulus_gpa: Annotated[float, _within(bounds.SHEAR_MODULUS_GPA, "[GPa].")] | None = None
    rate_sd_percent: Annotated[float, _within(bounds.RATE_SD_PERCENT, "[%].")] | None = None


class BushBody(Body, kw_only=True):
    """The rubber round the bar's outer end."""

    ratio: Annotated[float, _within(bounds.BUSH_RATIO, "Its rate as a share of the bar's, [-].")] | None = (
        None
    )
    ratio_sd: Annotated[float, _within(bounds.BUSH_RATIO_SD, "[-].")] | None = None
    rest_deg: Annotated[float, _within(bounds.BUSH_REST_DEG, "Arm angle when clamped, [°].")] | None = None
    rest_sd_deg: Annotated[float, _within(bounds.BUSH_REST_SD_DEG, "[°].")] | None = None


class LimitsBody(Body, kw_only=True):
    """What must not be exceeded."""

    stop_deg: Annotated[float, _within(bounds.STOP_DEG, "Arm angle on its stop, [°].")] | None = None
    bump_mm: Annotated[float, _within(bounds.BUMP_MM, "Travel left to bump as found, [mm].")] | None = None
    droop_mm: Annotated[float, _within(bounds.DROOP_MM, "Travel left to droop as found, [mm].")] | None = None
    permissible_stress_mpa: (
        Annotated[float, _within(bounds.PERMISSIBLE_STRESS_MPA, "Shear stress, [MPa].")] | None
    ) = None
    joint_deg: Annotated[float, _within(bounds.JOINT_DEG, "Largest drive-joint angle, [°].")] | None = None


class LoadBody(Body, kw_only=True):
    """Mass carried by each rear spring."""

    left: Annotated[float, _within(bounds.LOAD_KG, "Left, [kg].")] | None = None
    right: Annotated[float, _within(bounds.LOAD_KG, "Right, [kg].")] | None = None


class CarBody(Body, kw_only=True):
    """The car's rear axle, as a solve request has it; said in parts, as it becomes known."""

    bar: BarBody | None = None
    bush: BushBody | None = None
    limits: LimitsBody | None = None
    load_kg: LoadBody | None = None
    load_sd_kg: Annotated[float, _within(bounds.LOAD_SD_KG, "[kg].")] | None = None
    arm_mm: Annotated[float, _within(bounds.ARM_MM, "Bar centre to wheel centre, [mm].")] | None = None
    arm_sd_mm: Annotated[float, _within(bounds.ARM_SD_MM, "[mm].")] | None = None
    unsprung_kg: Annotated[float, _within(bounds.UNSPRUNG_KG, "Per side, [kg].")] | None = None
    unsprung_sd_kg: Annotated[float, _within(bounds.UNSPRUNG_SD_KG, "[kg].")] | None = None
    roll_support_n_per_mm: Annotated[float, _within(bounds.ROLL_SUPPORT_N_PER_MM, "[N/mm].")] | None = None
    roll_support_sd_n_per_mm: Annotated[float, _within(bounds.ROLL_SUPPORT_SD_N_PER_MM, "[N/mm].")] | None = (
        None
    )
    unevenness_mm: Annotated[float, _within(bounds.UNEVENNESS_MM, "[mm].")] | None = None
    unevenness_sd_mm: Annotated[float, _within(bounds.UNEVENNESS_SD_MM, "[mm].")] | None = None
    tyre_n_per_mm: Annotated[float, _within(bounds.TYRE_N_PER_MM, "[N/mm].")] | None = None
    tyre_sd_n_per_mm: Annotated[float, _within(bounds.TYRE_SD_N_PER_MM, "[N/mm].")] | None = None
    axle: Literal["trailing", "semi-trailing", "swing"] | None = None
    half_axle_mm: Annotated[float, _within(bounds.HALF_AXLE_MM, "[mm].")] | None = None
    half_axle_deg: Annotated[float, _within(bounds.HALF_AXLE_DEG, "[°].")] | None = None
    sweep_deg: Annotated[float, _within(bounds.SWEEP_DEG, "[°].")] | None = None


class TargetBody(Body, kw_only=True):
    """The wanted body heights and how close they must come."""

    left_mm: Annotated[float, _within(bounds.HEIGHT_MM, "Body height, left, [mm].")] | None = None
    right_mm: Annotated[float, _within(bounds.HEIGHT_MM, "Body height, right, [mm].")] | None = None
    tolerance_mm: Annotated[float, _within(bounds.TOLERANCE_MM, "Of each height, ±[mm].")] | None = None
    lean_mm: Annotated[float, _within(bounds.LEAN_MM, "Of left minus right, ±[mm].")] | None = None


class PoseBody(Body, kw_only=True):
    """How the car stood. By default on its wheels, no board, no ballast."""

    hanging: bool | None = None
    board_left_mm: Annotated[float, _within(bounds.BOARD_MM, "[mm].")] | None = None
    board_right_mm: Annotated[float, _within(bounds.BOARD_MM, "[mm].")] | None = None
    ballast_left_kg: Annotated[float, _within(bounds.BALLAST_KG, "[kg].")] | None = None
    ballast_right_kg: Annotated[float, _within(bounds.BALLAST_KG, "[kg].")] | None = None


class _Reading(Body, kw_only=True, tag_field="what"):
    side: Side
    teardown: Teardown = 0
    pose: PoseBody | None = None
    corrects: EntryId | None = None
    method: Annotated[str, Meta(max_length=200, description="What it was read with.")] | None = None


class _Angle(_Reading, kw_only=True):
    value: Annotated[
        float, _within(bounds.ANGLE_DEG, "As the gauge showed, [°], wheel below the bar positive.")
    ]
    datum: Annotated[float, _within(bounds.ANGLE_DEG, "The same gauge on the body datum, [°].")] | None = None
    sd: Annotated[float, _within(bounds.ANGLE_SD_DEG, "Standard uncertainty, [°].")] | None = None
    reference: Literal["body", "gravity"] | None = None


class HangingAngle(_Angle, kw_only=True, tag="hanging-angle"):
    """Arm free, bar relaxed."""


class RidingAngle(_Angle, kw_only=True, tag="riding-angle"):
    """Arm under load; with pose.hanging, the arm of a bolted-up car whose wheels hang."""


class BodyHeight(_Reading, kw_only=True, tag="body-height"):
    """From the ground under that tyre to the mark on the body."""

    value: Annotated[float, _within(bounds.HEIGHT_MM, "[mm].")]
    sd: Annotated[float, _within(bounds.LENGTH_SD_MM, "Standard uncertainty, [mm].")] | None = None


class HubToBody(_Reading, kw_only=True, tag="hub-to-body"):
    """From the wheel's centre up to a point on the body."""

    value: Annotated[float, _within(bounds.HUB_TO_BODY_MM, "[mm].")]
    sd: Annotated[float, _within(bounds.LENGTH_SD_MM, "Standard uncertainty, [mm].")] | None = None


class WheelLoad(_Reading, kw_only=True, tag="wheel-load"):
    """Load on a scale pad under that wheel."""

    value: Annotated[float, _within(bounds.WHEEL_LOAD_KG, "[kg].")]
    sd: Annotated[float, _within(bounds.LOAD_READING_SD_KG, "Standard uncertainty, [kg].")] | None = None


ReadingBody = HangingAngle | RidingAngle | BodyHeight | HubToBody | WheelLoad


class TeethBody(Body, kw_only=True):
    """Whole teeth turned at the two ends of one bar."""

    inner: Turned = 0
    outer: Turned = 0


class MoveBody(Body, kw_only=True):
    """Teeth turned in one teardown."""

    teardown: ThisTeardown
    left: TeethBody | None = None
    right: TeethBody | None = None
    plan: EntryId | None = None
    corrects: EntryId | None = None


class PromisedBody(Body, kw_only=True):
    """A value and its standard deviation."""

    value: float
    sd: Annotated[float, Meta(ge=0.0)]


class PlannedBody(TeethBody, kw_only=True):
    """What is to be turned on one side, and the height that was promised."""

    body_height_mm: PromisedBody
    hanging_deg: float | None = None


class PlanBody(Body, kw_only=True):
    """What was promised, as it was shown when the choice was made; more of the answer may be kept with it."""

    teardown: ThisTeardown
    odds: Annotated[float, Meta(ge=0.0, le=1.0, description="Promised odds, 0 to 1.")]
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


class StrikeBody(Body, kw_only=True):
    """Takes an entry out. Nothing is erased; a strike can be struck."""

    entry: EntryId
    saw: (
        Annotated[
            list[EntryId],
            Meta(max_length=100, description="Entries of its chain that stood there when it was struck."),
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
    """What this car's last visit taught, taken up or refused (use false)."""

    use: bool | None = None
    job: Annotated[str, Meta(max_length=64, description="The visit it comes from.")] | None = None
    posterior: ConstantsBody | None = None
    learned: dict[str, Any] | None = None


class CloseBody(Body, kw_only=True):
    """The job is handed over; what was learned stays for the car's next visit."""

    text: Text | None = None
    posterior: ConstantsBody | None = None
    learned: dict[str, Any] | None = None
