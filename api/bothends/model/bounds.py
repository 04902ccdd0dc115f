"""Bounds of every number a request may carry: (lowest, highest), both allowed, in the unit of the name.

One table for both doors: the server builds its schema's constraints from it, and the phone's worker checks
requests against it without a server. They are limits of sense and of arithmetic, not advice: anything a
practitioner could meet on a light car lies well inside. Common practice, no source.
"""

DIAMETER_MM = (5.0, 80.0)
BORE_MM = (0.0, 79.0)
LENGTH_MM = (100.0, 3000.0)
TEETH = (3, 200)
SHEAR_MODULUS_GPA = (20.0, 120.0)
RATE_SD_PERCENT = (0.1, 30.0)
ARM_MM = (100.0, 1500.0)
ARM_SD_MM = (0.1, 100.0)
LOAD_KG = (5.0, 5000.0)
LOAD_SD_KG = (0.1, 1000.0)
UNSPRUNG_KG = (0.0, 300.0)
UNSPRUNG_SD_KG = (0.1, 100.0)
BUSH_RATIO = (0.0, 1.0)
BUSH_RATIO_SD = (0.0001, 0.5)
BUSH_REST_DEG = (-90.0, 90.0)
BUSH_REST_SD_DEG = (0.0, 30.0)
ROLL_SUPPORT_N_PER_MM = (0.01, 1000.0)
ROLL_SUPPORT_SD_N_PER_MM = (0.01, 1000.0)
UNEVENNESS_MM = (-100.0, 100.0)
UNEVENNESS_SD_MM = (0.01, 100.0)
TYRE_N_PER_MM = (20.0, 2000.0)
TYRE_SD_N_PER_MM = (0.1, 1000.0)
HALF_AXLE_MM = (100.0, 2000.0)
HALF_AXLE_DEG = (-60.0, 60.0)
SWEEP_DEG = (0.0, 60.0)
STOP_DEG = (-80.0, 80.0)
BUMP_MM = (0.0, 1000.0)
DROOP_MM = (0.0, 1000.0)
PERMISSIBLE_STRESS_MPA = (50.0, 3000.0)
JOINT_DEG = (0.1, 60.0)
HEIGHT_MM = (1.0, 3000.0)
TOLERANCE_MM = (0.1, 200.0)
LEAN_MM = (0.1, 200.0)
ANGLE_DEG = (-89.0, 89.0)
HUB_TO_BODY_MM = (-2000.0, 2000.0)
WHEEL_LOAD_KG = (1.0, 5000.0)
ANGLE_SD_DEG = (0.01, 20.0)
LENGTH_SD_MM = (0.01, 200.0)
LOAD_READING_SD_KG = (0.01, 500.0)
TEARDOWN = (0, 100)
TEETH_TURNED = (-200, 200)
BOARD_MM = (-300.0, 300.0)
BALLAST_KG = (-500.0, 2000.0)
READINGS = (0, 1000)
"""Entries in one log: at most so many, so that a solve stays within its time."""
BODY_HEIGHT_KINDS = {"body-height": HEIGHT_MM, "hub-to-body": HUB_TO_BODY_MM}
"""Bounds of the readings taken with a tape, by kind."""
