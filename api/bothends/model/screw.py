"""What it takes to turn an adjusting screw: the force along it, the torque either way, and what is still wound in.

    force       P = T / l               T torque of the bar at the adjuster, l its lever
    to raise    P (p / 2 pi + mu d2 / (2 cos 30) + mu r)
    to lower    P (-p / 2 pi + mu d2 / (2 cos 30) + mu r)

p pitch, d2 pitch diameter, r mean radius of what bears under nut or head. Such a screw always holds itself. Source:
screw mechanics, 60-degree thread; friction of oiled to dry steel 0.12 to 0.25 (from memory). Thread and head follow
from the pitch by the proportions of ISO metric screws: a fine thread ten pitches across, a nut one and a half
diameters across its flats, a hole of 1.1 diameters (from memory). SI.
"""

import math

__all__ = ["FRICTION", "bearing_radius", "diameter", "pitch_diameter", "torques"]

FRICTION = (0.12, 0.25)
"""Of thread and head, oiled and dry."""
PITCHES = 10.0
"""Diameter of an adjusting screw's thread, in pitches."""
FLANK = math.cos(math.pi / 6.0)


def diameter(pitch: float) -> float:
    """Outer diameter of a thread of that pitch, [m].

    >>> round(diameter(0.002), 4)
    0.02
    """
    return PITCHES * pitch


def pitch_diameter(pitch: float) -> float:
    """Its pitch diameter, [m]: 0.6495 pitches less, by the basic profile of ISO 68-1.

    >>> round(pitch_diameter(0.002), 4)
    0.0187
    """
    return diameter(pitch) - 0.6495 * pitch


def bearing_radius(pitch: float) -> float:
    """Mean radius of what bears under its nut or head, [m].

    >>> round(bearing_radius(0.002), 4)
    0.013
    """
    return diameter(pitch) * 0.25 * (1.5 + 1.1)


def torques(*, force: float, pitch: float, mean: float, radius: float, friction: float) -> tuple:
    """Torque at nut or bolt to raise and to lower, [N m].

    Parameters
    ----------
    force : along the screw, [N]
    pitch, mean, radius : of the thread, its pitch diameter, where it bears, [m]
    friction : of both, [-]

    >>> raising, lowering = torques(force=20000.0, pitch=0.002, mean=0.0187, radius=0.013, friction=0.12)
    >>> round(raising), round(lowering)
    (63, 51)
    """
    rub = friction * (mean / (2.0 * FLANK) + radius)
    climb = pitch / (2.0 * math.pi)
    return force * (climb + rub), force * (rub - climb)
