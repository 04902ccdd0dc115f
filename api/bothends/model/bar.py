"""The torsion bar by itself: stiffness, stress, stored energy, and what lifting the arm onto its stop takes.

Solid or hollow round bars, SI units, small enough strain for Hooke's law. The theory is the torsion of round
shafts, as in any strength of materials (for instance Philpot, MecMovies M6 and M15; Singer and Pytel, ch. 3);
round torsion bar springs are DIN 2091's and SAE HS-796's subject (titles only, not opened).
"""

import math

__all__ = ["energy_j", "lift", "polar_moment_m4", "rate_nm_per_rad", "shear_stress_pa"]


def polar_moment_m4(*, diameter_m: float, bore_m: float = 0.0) -> float:
    """Polar second moment of area J = pi (d^4 - b^4) / 32, [m4].

    >>> round(polar_moment_m4(diameter_m=0.030) * 1e8, 5)
    7.95216
    """
    return math.pi * (diameter_m**4 - bore_m**4) / 32.0


def rate_nm_per_rad(*, diameter_m: float, bore_m: float, length_m: float, shear_modulus_pa: float) -> float:
    """Torsional rate K = G J / L, [N m/rad].

    >>> round(rate_nm_per_rad(diameter_m=0.022, bore_m=0.0, length_m=0.552, shear_modulus_pa=78.5e9), 3)
    3270.553
    """
    return shear_modulus_pa * polar_moment_m4(diameter_m=diameter_m, bore_m=bore_m) / length_m


def shear_stress_pa(*, torque_nm: float, diameter_m: float, bore_m: float = 0.0) -> float:
    """Shear stress at the surface, 16 T d / (pi (d^4 - b^4)), [Pa]; of the torque's sign."""
    return 0.5 * torque_nm * diameter_m / polar_moment_m4(diameter_m=diameter_m, bore_m=bore_m)


def energy_j(*, rate: float, twist_rad: float) -> float:
    """Elastic energy of a bar of rate [N m/rad] wound up by twist_rad, [J]."""
    return 0.5 * rate * twist_rad * twist_rad


def lift(*, rate: float, hanging_rad: float, stop_rad: float, arm_m: float) -> dict:
    """What it takes to lift the relaxed arm onto its stop before the cover goes on.

    Parameters
    ----------
    rate : float
        Bar rate, [N m/rad].
    hanging_rad, stop_rad : float
        Arm angle relaxed and on its stop, [rad], wheel below the bar positive.
    arm_m : float
        Lever at which the tool pushes, square to the arm, [m].

    Returns
    -------
    dict
        torque_nm, force_n (square to the arm at its wheel end) and energy_j; all 0 where the arm hangs at or
        above the stop, for then nothing has to be lifted.
    """
    twist = max(0.0, hanging_rad - stop_rad)
    torque = rate * twist
    return {
        "torque_nm": torque,
        "force_n": torque / arm_m,
        "energy_j": energy_j(rate=rate, twist_rad=twist),
    }
