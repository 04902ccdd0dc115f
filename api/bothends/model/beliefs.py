"""What is believed of a car before anyone has measured it: mean and spread of every fact that may be left out.

Nobody can know bar, loads or hanging angles while the car is closed, so none is asked for: each has a prior wide
enough to be honest on light cars, and readings narrow it. Why these figures: on simulated cars that the model was
never tuned on, facts about the car hardly matter once heights, angles and boards are read; what matters is that the
spread is not too small. Common practice, no source. `prior` turns them into the fit's unknowns.
"""

__all__ = [
    "ARM_MM", "ARM_SD_MM", "ARM_TAPED_SD_MM", "ARM_TAPED_SWING_SD_MM", "BELIEVED", "BUMP_MM", "BUMP_SD_MM",
    "DROOP_MM", "DROOP_SD_MM", "FINE_STEP_DEG", "FLOOR_MM", "HANGING_DEG", "HANGING_SD_DEG", "LOAD_GIVEN_SD",
    "LOAD_KG", "LOAD_SD_KG", "PAD_MM", "PRESET_MPA", "RATE_NM_PER_DEG", "RATE_SD", "SETTLING_KM", "SETTLING_MM",
    "SETTLING_SD_MM", "SETTLING_SIDE_MM", "TOOTH_DEG", "TRACK_SD",
]  # fmt: skip

RATE_NM_PER_DEG = 48.0
RATE_SD = 0.35
"""Rate of a bar whose diameter or length is not known, [N m/degree], and its spread as a logarithm: bars of 18 to
28 mm, 500 to 680 mm long, with what the trade calls light and heavy cars at the ends."""
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
SETTLING_MM = -1.0
SETTLING_SD_MM = 1.5
SETTLING_SIDE_MM = 1.0
SETTLING_KM = 100.0
"""How a car settles after hand-over: both sides together, its spread, side to side, [mm]; and the distance
over which most of it comes, share reached = 1 - exp(-km / this)."""
BELIEVED = {
    "car.arm_mm": (ARM_MM, ARM_SD_MM),
    "car.arm_sd_mm": (None, ARM_TAPED_SD_MM),
    "car.load_kg.left": (LOAD_KG, LOAD_SD_KG),
    "car.load_kg.right": (LOAD_KG, LOAD_SD_KG),
    "car.limits.bump_mm": (BUMP_MM, BUMP_SD_MM),
    "car.limits.droop_mm": (DROOP_MM, DROOP_SD_MM),
}
"""Mean and spread of the request's fields that have no default of their own, by path; the mean None where the field
is itself a spread."""
