"""Conversions between the outside's units and the inside's (SI and radians); used at the edge only."""

import math

__all__ = ["DEG", "GRAVITY", "INCH", "MM", "SIZE"]

DEG = math.pi / 180.0
"""One degree, [rad]."""
MM = 1.0e-3
"""One millimetre, [m]."""
INCH = 25.4
"""One inch, [mm], exact by definition."""
GRAVITY = 9.80665
"""Standard acceleration of free fall, [m/s2]; exact by definition (3rd CGPM, 1901)."""
SIZE = {"°": DEG, "mm": MM, "kg": GRAVITY}
"""One unit of a kind of reading (`fields`) inside, [rad, m, N]."""
