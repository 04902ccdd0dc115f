"""Every field of a request and every kind of reading, once: unit, bounds, default, spread, words, column.

The table of facts. Whatever else names a field derives from it: the model's own checks (`field`), the server's
structs and their constraints, the logbook's bodies and columns, the tables of export and history, the phone's
questions. Plain data, so that MicroPython reads it too. Bounds are limits of sense and of arithmetic, not advice:
anything a practitioner could meet on a light car lies well inside (common practice, no source). What is believed of
a car where a fact is left out stands in `beliefs`.
"""

__all__ = [
    "ADJUSTERS", "AIM", "AIMS", "ANGLE_SD_WITH_DATUM", "AXLES", "ECCENTRIC", "ENDS", "FIELDS", "FORMS", "FREE",
    "FRONT", "KINDS", "LEVELS", "LONGER", "LONGEST_SPOT", "MARKS", "MEASURED", "MOST_ENTRIES", "NOTCH",
    "NO_ADJUSTER", "OF_CAR", "ON_WHEELS", "OTHER", "OTHER_FORMS", "REAR", "REFERENCES", "RENEWED", "SCREW",
    "SEEN_FROM", "SIDES", "TOLERANCES", "UNITS", "WORDS", "Field", "Form", "Kind", "Mark", "Word", "field", "form",
    "inside", "kind", "names", "parts", "told", "word",
]  # fmt: skip

SIDES = ("left", "right")
ENDS = ("inner", "outer")


class Field:
    """One field of a request.

    ``path`` below the request, with ``log`` for an entry of the log; ``unit`` "" for a bare number; ``low`` and
    ``high`` both allowed; ``default`` None where it is required or simply not known; ``whole`` for whole numbers;
    ``words`` what it is.
    """

    def __init__(
        self,
        path: str,
        unit: str,
        low: float,
        high: float,
        default: float | None,
        words: str,
        whole: bool = False,
    ) -> None:
        self.path = path
        self.name = path.split(".")[-1]
        self.unit = unit
        self.low = low
        self.high = high
        self.default = default
        self.words = words
        self.whole = whole

    @property
    def limits(self) -> tuple:
        """(lowest, highest), both allowed."""
        return (self.low, self.high)

    @property
    def widest(self) -> tuple:
        """The same over every kind it may be of: a height wanted is that of the mark it is ``measured`` at."""
        if not self.path.startswith("target.") or self.name not in ("left_mm", "right_mm"):
            return self.limits
        every = [kind(name).value for name in MEASURED]
        return (min([f.low for f in every]), max([f.high for f in every]))


class Word:
    """One field of a request that is no number.

    ``path`` as a Field's; ``choices`` the words allowed, () for free text of at most ``longest`` characters,
    (False, True) for a flag; ``default`` None where it is required or not said, () where ``many`` of the choices
    may stand in a list; ``words`` what it is.
    """

    def __init__(self, path: str, choices: tuple, default: object, words: str) -> None:
        self.path = path
        self.many = default == ()
        self.name = path.split(".")[-1]
        self.choices = choices
        self.default = default
        self.words = words
        self.longest = LONGEST_SPOT


class Mark:
    """What a person reads off a car to tell which it is: ``name``, most characters (``longest``), ``words``."""

    def __init__(self, name: str, longest: int, words: str) -> None:
        self.name = name
        self.longest = longest
        self.words = words


class Form:
    """One form of a target: its ``name`` as ``as`` says, fields it ``needs``, fields it ``may`` have, ``words``."""

    def __init__(self, name: str, needs: tuple, may: tuple, words: str) -> None:
        self.name = name
        self.needs = needs
        self.may = may
        self.words = words


class Kind:
    """One kind of reading.

    ``value`` the field that bounds its value, ``spread`` the one that bounds its ``sd``, ``sd`` what gauge, tape
    or scale is taken to be good for, ``error`` what the model itself leaves out however often it is read; both in
    the kind's unit. ``words`` in a sentence; ``column`` its heading in tables; ``stage`` where a stage of a job has
    the mean of its readings ({} is the side, a dot goes one deeper), "" where a teardown's row does not show it.
    ``pose`` is ON_WHEELS where it is read with the car on its wheels only, FREE where boards and ballast cannot
    matter to it, "" else. ``since`` is the number of the entries' schema that first had it: what an entry that says
    it is written with at least.
    """

    def __init__(
        self,
        name: str,
        unit: str,
        sd: float,
        error: float,
        words: str,
        column: str,
        stage: str,
        pose: str = "",
        since: int = 1,
    ) -> None:
        self.name = name
        self.unit = unit
        self.sd = sd
        self.error = error
        self.words = words
        self.column = column
        self.stage = stage
        self.pose = pose
        self.since = since
        self.angle = unit == "°"

    @property
    def value(self) -> Field:
        return field("log.value." + self.name)

    @property
    def spread(self) -> Field:
        return field("log.sd." + self.name)


ANGLE_SD_WITH_DATUM = 0.28
"""Two readings of one gauge make up a difference: its spread is the gauge's 0.2 degrees times the root of two."""

ON_WHEELS, FREE = "on-wheels", "free"
"""How a kind of reading is taken, where its entry has no say in that."""

KINDS = (
    Kind("hanging-angle", "°", 0.2, 0.1, "hanging angle", "hanging_angle_deg", "hanging_deg.{}", FREE),
    Kind("riding-angle", "°", 0.2, 0.1, "riding angle", "riding_angle_deg", "riding_deg.{}"),
    Kind("body-height", "mm", 1.5, 0.5, "ride height", "body_height_mm", "reached.{}_mm", ON_WHEELS),
    Kind("hub-to-body", "mm", 1.5, 0.5, "hub-to-body height", "hub_to_body_mm", "hub_mm.{}"),
    Kind("wheel-load", "kg", 3.0, 2.0, "wheel load", "wheel_load_kg", "", ON_WHEELS),
    Kind("arm-difference", "mm", 1.0, 0.5, "arm difference", "arm_difference_mm", "", ON_WHEELS, 3),
    Kind("bump-gap", "mm", 1.0, 0.5, "gap at the bump rubber", "bump_gap_mm", "", ON_WHEELS, 3),
    Kind("bolt-length", "mm", 0.5, 0.1, "adjusting bolt length", "bolt_length_mm", "", FREE, 3),
    Kind("damper-length", "mm", 1.0, 0.5, "damper length", "damper_length_mm", "", ON_WHEELS, 3),
)

_DOWN = "wheel below the bar positive"
_TABLE = (
    ("car.bar.diameter_mm", "mm", 5.0, 80.0, None, "Outer diameter, [mm]."),
    ("car.bar.bore_mm", "mm", 0.0, 79.0, 0.0, "Bore, [mm]; 0 for a solid bar, less than the diameter."),
    ("car.bar.length_mm", "mm", 100.0, 3000.0, None, "Working length between the splines, [mm]."),
    ("car.bar.inner_teeth", "", 3, 200, None, "Teeth at the inner end, in the anchor."),
    ("car.bar.outer_teeth", "", 3, 200, None, "Teeth at the outer end, in the arm."),
    ("car.bar.shear_modulus_gpa", "GPa", 20.0, 120.0, 78.5, "Shear modulus, [GPa]."),
    ("car.bar.rate_sd_percent", "%", 0.1, 30.0, 3.0, "How well the rate is known from the dimensions, [%]."),
    ("car.arm_mm", "mm", 100.0, 1500.0, None, "Bar centre to wheel centre, side view, [mm]."),
    ("car.arm_sd_mm", "mm", 0.1, 100.0, None, "Standard deviation of the arm, [mm]."),
    ("car.load_kg.left", "kg", 5.0, 5000.0, None, "Left, [kg]."),
    ("car.load_kg.right", "kg", 5.0, 5000.0, None, "Right, [kg]."),
    ("car.load_sd_kg", "kg", 0.1, 1000.0, None, "Standard deviation of each load, [kg]."),
    ("car.unsprung_kg", "kg", 0.0, 300.0, 20.0, "Wheel, hub, brake and half the arm, per side, [kg]."),
    ("car.unsprung_sd_kg", "kg", 0.1, 100.0, 10.0, "Its standard deviation, [kg]."),
    ("car.bush.ratio", "", 0.0, 1.0, 0.045, "Its rate as a share of the bar's, [-]."),
    ("car.bush.ratio_sd", "", 0.0001, 0.5, 0.02, "Standard deviation of the ratio, [-]."),
    ("car.bush.rest_deg", "°", -90.0, 90.0, None, "Arm angle at which it was clamped, [°]; null: at the stop."),
    ("car.bush.rest_sd_deg", "°", 0.0, 30.0, 2.5, "Spread of the clamping, [°]."),
    ("car.roll_support_n_per_mm", "N/mm", 0.01, 1000.0, 13.0, "Resistance to lean by the car's rest, [N/mm]."),
    ("car.roll_support_sd_n_per_mm", "N/mm", 0.01, 1000.0, 5.0, "Its standard deviation, [N/mm]."),
    ("car.anti_roll_n_per_mm", "N/mm", 0.0, 1000.0, 0.0,
     "This axle's own anti-roll bar, per difference between the wheels, [N/mm]."),
    ("car.anti_roll_sd_n_per_mm", "N/mm", 0.01, 1000.0, None, "Its standard deviation, [N/mm]."),
    ("car.unevenness_mm", "mm", -100.0, 100.0, 0.0, "Unevenness of the other axle, as a height at this, [mm]."),
    ("car.unevenness_sd_mm", "mm", 0.01, 100.0, 4.0, "Its standard deviation, [mm]."),
    ("car.tyre_n_per_mm", "N/mm", 20.0, 2000.0, 180.0, "Rate of one tyre, [N/mm]."),
    ("car.tyre_sd_n_per_mm", "N/mm", 0.1, 1000.0, 35.0, "Its standard deviation, [N/mm]."),
    ("car.half_axle_mm", "mm", 100.0, 2000.0, 600.0, "Half-axle, inner joint to wheel plane, [mm]."),
    ("car.half_axle_deg", "°", -60.0, 60.0, 0.0, "Half-axle as found, outer end lower positive, [°]."),
    ("car.sweep_deg", "°", 0.0, 60.0, 15.0, "Sweep of a semi-trailing arm's pivot, [°]."),
    ("car.track_mm", "mm", 500.0, 2500.0, None, "Between the middles of this axle's tyres, [mm]."),
    ("car.point_span_mm", "mm", 10.0, 1000.0, None,
     "Between the two points of an arm-difference reading, along the arm, [mm]."),
    ("car.bump_ratio", "", 0.05, 1.5, None, "Travel at the bump rubber per travel of the wheel, [-]."),
    ("car.damper_ratio", "", 0.05, 1.5, None, "Travel of the damper per travel of the wheel, [-]."),
    ("car.limits.stop_deg", "°", -80.0, 80.0, None, "Arm angle on its stop, [°], wheel down positive."),
    ("car.limits.bump_mm", "mm", 0.0, 1000.0, None,
     "Wheel travel left to the bump stop, riding as found (teardown 0), [mm]."),
    ("car.limits.droop_mm", "mm", 0.0, 1000.0, None,
     "Wheel travel left to full droop, riding as found (teardown 0), [mm]."),
    ("car.limits.permissible_stress_mpa", "MPa", 50.0, 3000.0, None, "Shear stress that the bar may carry, [MPa]."),
    ("car.limits.joint_deg", "°", 0.1, 60.0, None, "Largest drive-joint angle, [°]; null: not checked."),
    ("car.adjuster.lever_mm", "mm", 20.0, 500.0, None,
     "Bar centre to the screw, square to it, or to the eccentric, [mm]."),
    ("car.adjuster.lever_sd_mm", "mm", 0.1, 100.0, None, "Its standard deviation, [mm]."),
    ("car.adjuster.pitch_mm", "mm", 0.2, 10.0, None, "Thread pitch of the screw, [mm] a turn."),
    ("car.adjuster.throw_mm", "mm", 0.5, 50.0, None, "Throw of the eccentric: off its own centre, [mm]."),
    ("car.adjuster.step_deg", "°", 0.1, 60.0, None, "What one notch turns, [°]."),
    ("car.adjuster.share", "", 0.0, 1.0, 1.0,
     "Share of the adjuster's angle that reaches the hanging angle, [-]; one of two equal packs: half."),
    ("car.adjuster.raise_turns.left", "", 0.0, 200.0, None, "Turns (notches) left to raise, left, as found."),
    ("car.adjuster.raise_turns.right", "", 0.0, 200.0, None, "Turns (notches) left to raise, right, as found."),
    ("car.adjuster.lower_turns.left", "", 0.0, 200.0, None, "Turns (notches) left to lower, left, as found."),
    ("car.adjuster.lower_turns.right", "", 0.0, 200.0, None, "Turns (notches) left to lower, right, as found."),
    ("car.adjuster.at_deg.left", "°", -180.0, 180.0, 0.0,
     "Eccentric from its middle, as found, left, [°], raising positive."),
    ("car.adjuster.at_deg.right", "°", -180.0, 180.0, 0.0,
     "Eccentric from its middle, as found, right, [°], raising positive."),
    ("target.left_mm", "mm", 1.0, 3000.0, None, "Target height, left, [mm]."),
    ("target.right_mm", "mm", 1.0, 3000.0, None, "Target height, right, [mm]."),
    ("target.left_rise_mm", "mm", -500.0, 500.0, None, "Rise against as found, left, [mm]; negative lowers."),
    ("target.right_rise_mm", "mm", -500.0, 500.0, None, "Rise against as found, right, [mm]; negative lowers."),
    ("target.rise_mm", "mm", -500.0, 500.0, 0.0, "Rise of both sides from where they are levelled, [mm]."),
    ("target.left_deg", "°", -89.0, 89.0, None, "Target hanging angle, left, [°], " + _DOWN + "."),
    ("target.right_deg", "°", -89.0, 89.0, None, "Target hanging angle, right, [°], " + _DOWN + "."),
    ("target.tolerance_mm", "mm", 0.1, 200.0, 5.0, "Allowed error of each height, ±[mm]."),
    ("target.lean_mm", "mm", 0.1, 200.0, 5.0, "Allowed error of left minus right, ±[mm]."),
    ("target.tolerance_deg", "°", 0.05, 20.0, 0.8, "Allowed error of each hanging angle, ±[°]."),
    ("target.cross_percent", "%", 30.0, 70.0, None, "Target cross-weight: RF + LR of all four loads, [%]."),
    ("target.tolerance_percent", "%", 0.05, 10.0, 0.5, "Allowed error of the cross-weight, ±[%]."),
    ("target.ballast_left_kg", "kg", -500.0, 2000.0, 0.0, "In the car when judged, over the left wheel, [kg]."),
    ("target.ballast_right_kg", "kg", -500.0, 2000.0, 0.0, "In the car when judged, over the right wheel, [kg]."),
    ("log.value.hanging-angle", "°", -89.0, 89.0, None, "As the gauge showed, [°], " + _DOWN + "."),
    ("log.value.riding-angle", "°", -89.0, 89.0, None, "As the gauge showed, [°], " + _DOWN + "."),
    ("log.value.body-height", "mm", 1.0, 3000.0, None, "From the ground under that tyre to the mark, [mm]."),
    ("log.value.hub-to-body", "mm", -2000.0, 2000.0, None, "From the wheel's centre up to the mark, [mm]."),
    ("log.value.wheel-load", "kg", 1.0, 5000.0, None, "On a scale under that tyre, [kg]."),
    ("log.value.arm-difference", "mm", -1000.0, 1000.0, None,
     "Height of the pivot's point less that of the arm's point, [mm], " + _DOWN + "."),
    ("log.value.bump-gap", "mm", 0.0, 500.0, None, "From the bump rubber to what it meets, [mm]."),
    ("log.value.bolt-length", "mm", 0.0, 500.0, None,
     "Length or protrusion of the adjusting bolt, measured the same way each time, [mm]."),
    ("log.value.damper-length", "mm", 50.0, 1500.0, None,
     "Between the damper's eyes, or of a dummy in its place, [mm]."),
    ("log.sd.hanging-angle", "°", 0.01, 20.0, None, "Standard uncertainty, [°]."),
    ("log.sd.riding-angle", "°", 0.01, 20.0, None, "Standard uncertainty, [°]."),
    ("log.sd.body-height", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.sd.hub-to-body", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.sd.wheel-load", "kg", 0.01, 500.0, None, "Standard uncertainty, [kg]."),
    ("log.sd.arm-difference", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.sd.bump-gap", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.sd.bolt-length", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.sd.damper-length", "mm", 0.01, 200.0, None, "Standard uncertainty, [mm]."),
    ("log.datum", "°", -89.0, 89.0, None,
     "The same gauge on the body datum in the same pose, [°]; subtracted. Angles only."),
    ("log.teardown", "", 0, 100, 0, "How many moves precede this reading."),
    ("log.after_km", "km", 0.1, 1000000.0, None, "A recheck: driven since hand-over, [km]."),
    ("log.resettled", "", 0, 100, None,
     "How often the car was rolled and bounced anew since this pose was first read; readings with another number"
     " are of another settling. Left out: not said."),
    ("log.pose.board_left_mm", "mm", -300.0, 300.0, 0.0, "Board under this axle's left tyre, [mm]."),
    ("log.pose.board_right_mm", "mm", -300.0, 300.0, 0.0, "Board under this axle's right tyre, [mm]."),
    ("log.pose.ballast_left_kg", "kg", -500.0, 2000.0, 0.0, "Added over this axle's left wheel, [kg]."),
    ("log.pose.ballast_right_kg", "kg", -500.0, 2000.0, 0.0, "Added over this axle's right wheel, [kg]."),
    ("log.left.inner", "", -200, 200, 0, "Whole teeth turned at the inner end, arm down (raises) positive."),
    ("log.left.outer", "", -200, 200, 0, "Whole teeth turned at the outer end, arm down (raises) positive."),
    ("log.left.turns", "", -200.0, 200.0, 0.0,
     "Turns of this wheel's adjuster, raising positive, to a twelfth; of a notched one whole notches."),
    ("log.right.inner", "", -200, 200, 0, "Whole teeth turned at the inner end, arm down (raises) positive."),
    ("log.right.outer", "", -200, 200, 0, "Whole teeth turned at the outer end, arm down (raises) positive."),
    ("log.right.turns", "", -200.0, 200.0, 0.0,
     "Turns of this wheel's adjuster, raising positive, to a twelfth; of a notched one whole notches."),
    ("change.load_kg.left", "kg", -500.0, 2000.0, 0.0, "More on the left spring than now, [kg]."),
    ("change.load_kg.right", "kg", -500.0, 2000.0, 0.0, "More on the right spring than now, [kg]."),
)  # fmt: skip

AXLES = ("trailing", "semi-trailing", "swing", "wishbone", "beam")
REAR, FRONT = OF_CAR = ("rear", "front")
"""Both axles of a car, as a job or a reading names the one it is of."""
NO_ADJUSTER, SCREW, ECCENTRIC, NOTCH = ADJUSTERS = ("none", "screw", "eccentric", "notch")
"""What turns a bar's end, or its arm, without a spline being drawn."""
LONGER = ("raises", "lowers")
RENEWED = ("nothing", "rubbers", "bars", "pivots")
"""What may have been renewed or loosened at a visit, for how far the car settles afterwards."""
LEVELS = ("higher", "lower", "mean")
MEASURED = ("body-height", "hub-to-body")
"""Kinds of height that a target may be of."""
REFERENCES = ("body", "gravity")
UNITS = ("metric", "inch")
LONGEST_SPOT = 40
"""Characters of a spot's name."""
MOST_ENTRIES = 1000
"""Entries in one log: at most so many, so that a solve stays within its time."""

TOLERANCES = ("lean_mm", "tolerance_deg", "tolerance_mm", "tolerance_percent")
"""What a target allows, of whatever form it is: it stays where a target begins anew."""

_EVERY_FORM = ("ballast_left_kg", "ballast_right_kg", "spot")
_OF_HEIGHT = ("tolerance_mm", "lean_mm", "measured") + _EVERY_FORM
FORMS = (
    Form("heights", ("left_mm", "right_mm"), _OF_HEIGHT, "The mark at these heights."),
    Form("rise", ("left_rise_mm", "right_rise_mm"), _OF_HEIGHT, "A rise against as found, on each side."),
    Form(
        "level",
        (),
        ("at", "rise_mm") + _OF_HEIGHT,
        "Both sides to the height at which one side stands as found, or to their mean, plus a rise.",
    ),
    Form(
        "hanging-angle",
        ("left_deg", "right_deg"),
        ("tolerance_deg",) + _EVERY_FORM,
        "These hanging angles, as a workshop manual gives them.",
    ),
    Form(
        "cross-weight",
        ("cross_percent",),
        ("rise_mm", "tolerance_mm", "tolerance_percent", "measured") + _EVERY_FORM,
        "This cross-weight, with the mean of both heights raised against as found; the lean comes as it must.",
    ),
)
AIMS = tuple([f.name for f in FORMS])
"""Forms of a target, as its ``as`` says; left out: the first, heights."""

_SPOT = "A short name for where the car stood; left out: the job's usual place."
WORDS = tuple(
    [
        Word(row[0], row[1], row[2], row[3])
        for row in (
            (
                "units",
                UNITS,
                "metric",
                "How figures inside sentences are written; figures elsewhere stay metric.",
            ),
            ("car.sprung", OF_CAR, REAR, "Axle that the bars spring: one job is of one axle."),
            (
                "car.axle",
                AXLES,
                "trailing",
                "Kind of suspension; wishbone: arm from the inner pivot to the ball joint; beam: through-beam with"
                " leaf packs.",
            ),
            (
                "car.anti_roll_off",
                (False, True),
                False,
                "The anti-roll bar's link is off while heights are read and judged.",
            ),
            (
                "car.renewed",
                RENEWED,
                None,
                "What was renewed at this visit, for how far the car settles after hand-over: nothing, outer"
                " rubbers, bars (with whatever else), or pivots tightened anew; left out: not known.",
            ),
            (
                "car.adjuster.kind",
                ADJUSTERS,
                NO_ADJUSTER,
                "What adjusts the height without drawing a spline.",
            ),
            (
                "car.adjuster.end",
                ENDS,
                None,
                "End of the bar it acts at; left out: the inner, of an eccentric the outer.",
            ),
            (
                "car.adjuster.across",
                (False, True),
                False,
                "A wheel's adjuster sits at the other side of the car; fields name the wheel's side.",
            ),
            (
                "car.adjuster.shared",
                (False, True),
                False,
                "One adjuster for both wheels: it sets the mean height and cannot level.",
            ),
            (
                "car.adjuster.longer",
                LONGER,
                LONGER[0],
                "What the adjusting bolt does to the height as its reading grows longer.",
            ),
            ("car.held.left", ENDS, (), "Ends that cannot or must not be turned, left."),
            ("car.held.right", ENDS, (), "Ends that cannot or must not be turned, right."),
            ("target.as", AIMS, AIMS[0], "The form of the target."),
            (
                "target.at",
                LEVELS,
                LEVELS[0],
                "The side, as found, at whose height both are to stand; or the mean.",
            ),
            ("target.measured", MEASURED, MEASURED[0], "Which mark is meant; the bounds are that kind's."),
            ("target.spot", (), None, _SPOT),
            ("log.what", tuple([k.name for k in KINDS]), None, "What was read."),
            ("log.side", SIDES, None, "Which side."),
            (
                "log.axle",
                OF_CAR,
                None,
                "Which axle; left out: the job's. Of the other axle wheel loads alone, for cross-weight, unless the"
                " car says of that axle too (car.other).",
            ),
            (
                "log.reference",
                REFERENCES,
                REFERENCES[0],
                "gravity: the gauge was read against gravity and no datum was read in that pose. Angles only.",
            ),
            ("log.spot", (), None, _SPOT),
            ("log.pose.hanging", (False, True), False, "Whether the wheels hung free, the car on stands."),
            (
                "log.pose.centred",
                (False, True),
                False,
                "Whether the other axle was carried amidships on one round block, its wheels clear of the floor, so"
                " that it adds nothing against lean.",
            ),
        )
    ]
)

MARKS = (
    Mark("plate", 40, "Number plate, as it is read."),
    Mark("chassis", 40, "Chassis number (VIN), as it is stamped."),
)
"""What tells one car from another of its name. A VIN has 17 characters, older numbers fewer (from memory)."""
OTHER = "car.other"
"""The part of a request that says of the other axle what ``car`` says of the job's."""
SEEN_FROM = (
    "sprung",
    "roll_support_n_per_mm",
    "roll_support_sd_n_per_mm",
    "unevenness_mm",
    "unevenness_sd_mm",
)
"""What the other axle's part has not: the one follows, the others come from this axle."""


def _elsewhere(path: str) -> str:
    """Path of the same fact of the other axle; "" where there is none."""
    if not path.startswith("car.") or path[4:] in SEEN_FROM:
        return ""
    return OTHER + path[3:]


AIM = "target.other"
"""The part of a request that says what is wanted of the other axle: its rows are those of ``target``."""
_TOGETHER = ("cross_percent", "tolerance_percent")
"""What can be asked for beside heights where both axles are turned."""
OTHER_FORMS = tuple(
    [
        Form(f.name, f.needs, tuple([name for name in f.may if name != "spot"]) + _TOGETHER, f.words)
        for f in FORMS[:3]
    ]
)
"""Forms of the other axle's target: those of heights. Where the car is judged ``target`` says for both."""


def _aimed(path: str) -> bool:
    """Whether a row of the target is one of the other axle's target too."""
    names = [name for f in OTHER_FORMS for name in f.needs + f.may]
    return path.startswith("target.") and path[7:] in names


FIELDS = tuple([Field(r[0], r[1], r[2], r[3], r[4], r[5], isinstance(r[2], int)) for r in _TABLE])
FIELDS += tuple(
    [
        Field(_elsewhere(f.path), f.unit, f.low, f.high, f.default, f.words, f.whole)
        for f in FIELDS
        if _elsewhere(f.path)
    ]
)
WORDS += tuple([Word(_elsewhere(w.path), w.choices, w.default, w.words) for w in WORDS if _elsewhere(w.path)])
FIELDS += tuple(
    [
        Field(AIM + f.path[6:], f.unit, f.low, f.high, f.default, f.words, f.whole)
        for f in FIELDS
        if _aimed(f.path)
    ]
)
WORDS += tuple([Word(AIM + w.path[6:], w.choices, w.default, w.words) for w in WORDS if _aimed(w.path)])
WORDS += (
    Word(AIM + ".as", tuple([f.name for f in OTHER_FORMS]), AIMS[0], "The form of the other axle's target."),
)
_BY_PATH = {f.path: f for f in FIELDS}
_BY_NAME = {k.name: k for k in KINDS}
_WORD_BY_PATH = {w.path: w for w in WORDS}
_FORM_BY_NAME = {f.name: f for f in FORMS}


def field(path: str) -> Field:
    """The field at a path such as "car.bar.diameter_mm".

    >>> field("target.tolerance_mm").default
    5.0
    """
    return _BY_PATH[path]


def kind(name: str) -> Kind:
    """The kind of reading of that name.

    >>> kind("body-height").value.limits
    (1.0, 3000.0)
    """
    return _BY_NAME[name]


_BELOW: dict = {}
"""What was asked for already, by part: the tables never change, and the phone asks at every tap."""


def _below(part: str) -> tuple:
    """Names directly below a part, in the table's order: of fields, of those that are no numbers, of parts."""
    if part not in _BELOW:
        start = part + "."
        inner: list = []
        for fact in FIELDS + WORDS:
            if fact.path.startswith(start):
                steps = fact.path[len(start) :].split(".")
                if len(steps) > 1 and steps[0] not in inner:
                    inner.append(steps[0])
        numbers = tuple([f.name for f in FIELDS if f.path == start + f.name])
        words = tuple([w.name for w in WORDS if w.path == start + w.name])
        _BELOW[part] = (numbers, words, tuple(inner))
    return _BELOW[part]


def names(part: str) -> tuple:
    """Names of the fields directly below a part such as "car.limits", in the table's order.

    >>> names("car.load_kg")
    ('left', 'right')
    """
    return _below(part)[0]


def told(part: str) -> tuple:
    """Names of the fields directly below a part that are no numbers, in the table's order.

    >>> told("car.held")
    ('left', 'right')
    """
    return _below(part)[1]


def parts(part: str) -> tuple:
    """Names of the parts directly below a part, in the table's order.

    >>> parts("car")
    ('bar', 'load_kg', 'bush', 'limits', 'adjuster', 'other', 'held')
    """
    return _below(part)[2]


def inside(part: str) -> tuple:
    """The fields directly below a part, in the table's order."""
    return tuple([f for f in FIELDS if f.path == part + "." + f.name])


def word(path: str) -> Word:
    """The field that is no number at a path such as "car.axle".

    >>> word("target.as").default
    'heights'
    """
    return _WORD_BY_PATH[path]


def form(name: str) -> Form:
    """The form of a target of that name.

    >>> form("rise").needs
    ('left_rise_mm', 'right_rise_mm')
    """
    return _FORM_BY_NAME[name]
