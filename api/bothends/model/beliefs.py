"""What is believed of a car before anyone has measured it: mean and spread of every fact that may be left out.

Nobody can know bar, loads or hanging angles while the car is closed, so none is asked for: each has a prior wide
enough to be honest on light cars, and readings narrow it. Why these figures: on simulated cars that the model was
never tuned on, facts about the car hardly matter once heights, angles and boards are read; what matters is that the
spread is not too small. Common practice, no source. `prior` turns them into the fit's unknowns.
"""

__all__ = [
    "ANTI_ROLL_GIVEN_SD", "ARM_MM", "ARM_SD_MM", "ARM_TAPED_SD_MM", "ARM_TAPED_SWING_SD_MM", "AT_FRONT",
    "BEAM_N_PER_MM", "BELIEVED", "BODY_SD", "BUMP_MM", "BUMP_RATIO", "BUMP_RATIO_SD", "BUMP_SD_MM",
    "DAMPER_RATIO", "DAMPER_RATIO_SD", "DROOP_MM", "DROOP_SD_MM", "ECCENTRIC_LEVER_MM", "FINE_STEP_DEG",
    "FLOOR_MM", "FRONT_ANTI_ROLL", "FRONT_ANTI_ROLL_SD", "FRONT_ROLL", "FRONT_ROLL_SD",
    "FRONT_UNEVEN_POSE_MM", "FRONT_UNEVEN_SD_MM", "HANGING_DEG", "HANGING_SD_DEG", "LEVER_GIVEN_SD_MM",
    "LEVER_MM", "LEVER_SD_MM", "LOAD_GIVEN_SD", "LOAD_KG", "LOAD_SD_KG", "NOTCH_DEG", "NOTCH_SD_DEG",
    "PAD_MM", "PITCH_MM", "PITCH_SD_MM", "PRESET_MPA", "RATE_NM_PER_DEG", "RATE_SD", "RATIO_GIVEN_SD",
    "SETTLING_KM", "SETTLING_MM", "SETTLING_SIDE_MM", "SPAN_GIVEN_SD_MM", "SPAN_MM", "SPAN_SD_MM",
    "STEP_GIVEN_SD", "THROW_MM", "THROW_SD_MM", "TOOTH_DEG", "TRACK_SD", "TURNS_LEFT", "TURNS_LEFT_SD",
    "WISHBONE", "WISHBONE_SD",
]  # fmt: skip

RATE_NM_PER_DEG = 48.0
RATE_SD = 0.35
"""Rate of a bar whose diameter or length is not known, [N m/degree], and its spread as a logarithm: bars of 18 to
28 mm, 500 to 680 mm long, with what the trade calls light and heavy cars at the ends."""
BEAM_N_PER_MM = 22.0
"""Rate at one wheel of leaf packs that nobody has measured, [N/mm]: the usual car's again, on shorter
arms. From memory, to be replaced by readings."""
ARM_MM = 410.0
ARM_SD_MM = 40.0
"""An arm that nobody has measured, [mm]: 350 to 480 covers the usual cars."""
ARM_TAPED_SD_MM = 10.0
"""An arm given by tape, [mm]: the lever that carries the wheel is seldom just the arm."""
ARM_TAPED_SWING_SD_MM = 20.0
"""The same with a swing axle, whose wheel travels further than the arm's end, [mm]."""
LOAD_KG = 240.0
LOAD_SD_KG = 60.0
"""What a rear spring carries, [kg]."""
LOAD_GIVEN_SD = 0.07
"""Spread of a load that was given but not weighed, as a share of it."""
HANGING_DEG = 12.0
HANGING_SD_DEG = 15.0
"""Hanging angle that was not read, [degrees]: usual ones are 17 to 24, a sunken car shows far less."""
FINE_STEP_DEG = 0.8
TOOTH_DEG = 8.2
"""Fine step, and one outer tooth, of ends that nobody has counted, [degrees]: those of the commonest pair, 40/44.
Only the phase of the steps matters before they are counted, and that nobody knows."""
BUMP_MM = 60.0
BUMP_SD_MM = 20.0
DROOP_MM = 90.0
DROOP_SD_MM = 25.0
"""Wheel travel left, from as found, that nobody has measured, [mm]. The arm is taken to rest on its stop at full
droop, so that the two cannot disagree. An assumed limit cautions; it never forbids."""
PRESET_MPA = 1000.0
"""Stress that a preset bar is usually good for, [MPa]: preset bars are the rule in this trade."""
FLOOR_MM = 3.0
"""Twist of the floor between two spots, as a height under one rear wheel (standard deviation), [mm]."""
PAD_MM = 3.2
"""How far one of four scale pads lies off the plane of the others (standard deviation), [mm]: an eighth of an inch,
what is left where pads are shimmed by eye. Common practice, no source. At wheel rates of 20 N/mm it is 1.6 kg a
corner and 6.5 kg between the diagonals."""
TRACK_SD = 0.05
"""Spread of the ratio of both tracks about one, as a share: a load that moves across at the rear moves across at
the front by that ratio. Common practice, no source."""
BODY_SD = 0.1
"""Spread of what the other axle adds against lean, as a share, where it is worked out of that axle's own bars: a
body that twists passes less of it on. Common practice, no source."""
SETTLING_MM = {
    "nothing": (-1.0, 1.5),
    "rubbers": (-2.0, 2.0),
    "bars": (-3.0, 3.0),
    "pivots": (-1.0, 2.0),
    "not-known": (-1.0, 3.0),
}
"""How both sides together settle after hand-over, mean and spread by what was renewed, [mm]: the same bars and
bushes as before, new outer rubbers, new bars, pivots tightened anew. What nobody said is taken to settle as the
usual job does, with the widest spread. Common practice, no source: guesses, which rechecks replace."""
SETTLING_SIDE_MM = 1.0
SETTLING_KM = 100.0
"""Side to side, [mm]; and the distance over which most of it comes, share reached = 1 - exp(-km / this). Common
practice, no source."""
WISHBONE = 1.05
WISHBONE_SD = 0.07
"""Lever that carries the wheel, as a share of a wishbone's arm from its inner pivot to its ball joint: 1.00 to 1.08
over five invented double wishbones, solved exactly, drifting by 3 to 5 % over the travel."""
FRONT_ROLL = 18.0
FRONT_ROLL_SD = 8.0
FRONT_UNEVEN_SD_MM = 6.0
FRONT_UNEVEN_POSE_MM = 3.0
"""What the rest of the car adds against lean where the bars are at the front and the rest is often an axle on leaf
springs, [N/mm]; its built-in unevenness, and what that changes from pose to pose, [mm]. From memory."""
FRONT_ANTI_ROLL = 6.0
FRONT_ANTI_ROLL_SD = 6.0
"""A front axle's own anti-roll bar, [N per mm of difference between the wheels]. From memory."""
AT_FRONT = {
    "car.roll_support_n_per_mm": FRONT_ROLL,
    "car.roll_support_sd_n_per_mm": FRONT_ROLL_SD,
    "car.unevenness_sd_mm": FRONT_UNEVEN_SD_MM,
    "car.anti_roll_n_per_mm": FRONT_ANTI_ROLL,
}
"""Of a front axle, what is believed instead of a field's default where it is left out, by path."""
ANTI_ROLL_GIVEN_SD = 0.25
"""Spread of an anti-roll bar that was given without one, as a share of it. Common practice, no source."""
LEVER_MM = 110.0
LEVER_SD_MM = 20.0
ECCENTRIC_LEVER_MM = 120.0
LEVER_GIVEN_SD_MM = 4.0
"""Lever of an adjusting screw that nobody has measured, of an eccentric, and how well one that was measured is
known: it lies square to the screw only in one position, [mm]. Usual anchor levers have 90 to 130 (from memory)."""
PITCH_MM = 1.5
PITCH_SD_MM = 0.25
"""Thread pitch nobody has read, [mm]: 1.25 to 2 are usual (from memory). One that was read is taken as read."""
THROW_MM = 4.0
THROW_SD_MM = 1.5
NOTCH_DEG = 8.0
NOTCH_SD_DEG = 3.0
"""Throw of an eccentric, [mm], and what a notch turns, [degrees], where nobody has measured them: invented figures
about which readings decide."""
STEP_GIVEN_SD = 0.03
"""Spread of a notch's angle, or an eccentric's throw, that was given, as a share. Common practice, no source."""
TURNS_LEFT = 8.0
TURNS_LEFT_SD = 5.0
"""Turns or notches left either way where nobody has looked (from memory). They caution, and never forbid."""
SPAN_MM = 300.0
SPAN_SD_MM = 80.0
SPAN_GIVEN_SD_MM = 5.0
"""Between the two points of an arm difference, along the arm, [mm]: part of the arm. Common practice, no source."""
BUMP_RATIO = 0.6
BUMP_RATIO_SD = 0.25
DAMPER_RATIO = 0.7
DAMPER_RATIO_SD = 0.2
RATIO_GIVEN_SD = 0.05
"""Travel at bump rubber and damper per travel of the wheel, where it was not measured, and the spread of one that
was. From memory."""
BELIEVED = {
    "car.arm_mm": (ARM_MM, ARM_SD_MM),
    "car.arm_sd_mm": (None, ARM_TAPED_SD_MM),
    "car.load_kg.left": (LOAD_KG, LOAD_SD_KG),
    "car.load_kg.right": (LOAD_KG, LOAD_SD_KG),
    "car.limits.bump_mm": (BUMP_MM, BUMP_SD_MM),
    "car.limits.droop_mm": (DROOP_MM, DROOP_SD_MM),
    "car.point_span_mm": (SPAN_MM, SPAN_SD_MM),
    "car.bump_ratio": (BUMP_RATIO, BUMP_RATIO_SD),
    "car.damper_ratio": (DAMPER_RATIO, DAMPER_RATIO_SD),
    "car.adjuster.lever_mm": (LEVER_MM, LEVER_SD_MM),
    "car.adjuster.lever_sd_mm": (None, LEVER_GIVEN_SD_MM),
    "car.adjuster.pitch_mm": (PITCH_MM, PITCH_SD_MM),
    "car.adjuster.throw_mm": (THROW_MM, THROW_SD_MM),
    "car.adjuster.step_deg": (NOTCH_DEG, NOTCH_SD_DEG),
    "car.adjuster.raise_turns.left": (TURNS_LEFT, TURNS_LEFT_SD),
    "car.adjuster.raise_turns.right": (TURNS_LEFT, TURNS_LEFT_SD),
    "car.adjuster.lower_turns.left": (TURNS_LEFT, TURNS_LEFT_SD),
    "car.adjuster.lower_turns.right": (TURNS_LEFT, TURNS_LEFT_SD),
}
"""Mean and spread of the request's fields that have no default of their own, by path; the mean None where the field
is itself a spread."""
