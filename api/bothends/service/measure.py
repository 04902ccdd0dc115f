"""Quantities as text, metric first and on request in inches and pounds too. The only place that converts."""

import math

from .option import Estimate, Force

__all__ = ["IN_90", "Measures", "chance"]

IN_90 = 1.645
"""Half width that holds 90 in 100 of a normal distribution, in standard deviations (from memory; tested)."""
_INCH_MM = 25.4
"""One inch, [mm], exact by definition."""
_POUND_KG = 0.45359237
"""One pound, [kg], exact by definition."""
_GRAVITY = 9.80665
"""Standard acceleration of free fall, [m/s2], exact by definition (3rd CGPM, 1901)."""
_POUND_FORCE_N = _POUND_KG * _GRAVITY
_FOOT_M = 0.3048


def chance(odds: float) -> str:
    """A chance as people say it.

    >>> chance(0.839), chance(0.001), chance(0.9999)
    ('84 in 100', 'under 1 in 100', 'over 99 in 100')
    """
    if odds < 0.005:
        return "under 1 in 100"
    return "over 99 in 100" if odds >= 0.995 else f"{math.floor(100.0 * odds + 0.5)} in 100"


def _figure(value: float, half: float, least: float = 1.0) -> str:
    """A value with its range; no decimals where the range makes them idle."""
    digits = 1 if half < 10.0 * least else 0
    return f"{value:.{digits}f} ± {half:.{digits}f}"


class Measures:
    """Writes quantities with their units. ± is the range that holds 90 in 100.

    Parameters
    ----------
    inches : add inches, pounds and feet after the metric figure
    """

    def __init__(self, *, inches: bool = False) -> None:
        self._inches = inches

    def _with(self, metric: str, other: str) -> str:
        return f"{metric} ({other})" if self._inches else metric

    def length(self, mm: Estimate) -> str:
        """A length with its range, from [mm]."""
        half = IN_90 * mm.sd
        inch = f"{mm.value / _INCH_MM:.2f} ± {half / _INCH_MM:.2f} in"
        return self._with(f"{_figure(mm.value, half)} mm", inch)

    def rise(self, mm: Estimate) -> str:
        """A rise with its range, from [mm]: which way in words, so that no sign is misread."""
        way = "rises" if mm.value >= 0.0 else "sinks"
        return f"{way} {self.length(Estimate(value=abs(mm.value), sd=mm.sd))}"

    def plain_length(self, mm: float) -> str:
        """A length without range, from [mm]."""
        return self._with(f"{mm:.1f}".removesuffix(".0") + " mm", f"{mm / _INCH_MM:.2f} in")

    def mass(self, kg: Estimate) -> str:
        """A mass with its range, from [kg]."""
        half = IN_90 * kg.sd
        pounds = f"{kg.value / _POUND_KG:.0f} ± {half / _POUND_KG:.0f} lb"
        return self._with(f"{kg.value:.0f} ± {half:.0f} kg", pounds)

    def plain_mass(self, kg: float) -> str:
        """A mass without range, from [kg]."""
        return self._with(f"{kg:g} kg", f"{kg / _POUND_KG:.0f} lb")

    def torque(self, nm: float) -> str:
        """A torque, from [N·m]."""
        return self._with(f"{nm:.0f} N·m", f"{nm / (_POUND_FORCE_N * _FOOT_M):.0f} lbf·ft")

    def force(self, newton: float) -> str:
        """A force, from [N]."""
        return self._with(f"{newton:.0f} N", f"{newton / _POUND_FORCE_N:.0f} lbf")

    def energy(self, joule: float) -> str:
        """An energy, from [J]."""
        return self._with(f"{joule:.0f} J", f"{joule / (_POUND_FORCE_N * _FOOT_M):.0f} ft·lbf")

    def lift_range(self, low: Force, high: Force) -> str:
        """What a lift onto an assumed stop may take: "between 300 and 900 N at the wheel end, 5 to 60 J stored"."""
        foot = _POUND_FORCE_N * _FOOT_M
        pushes = [max(0.0, end.force_n) for end in (low, high)]
        stored = [max(0.0, end.energy_j) for end in (low, high)]
        force = f"between {pushes[0]:.0f} and {pushes[1]:.0f} N"
        force = self._with(force, f"{pushes[0] / _POUND_FORCE_N:.0f} to {pushes[1] / _POUND_FORCE_N:.0f} lbf")
        energy = f"{stored[0]:.0f} to {stored[1]:.0f} J"
        energy = self._with(energy, f"{stored[0] / foot:.0f} to {stored[1] / foot:.0f} ft·lbf")
        return f"{force} at the wheel end, {energy} stored"

    @staticmethod
    def angle(deg: Estimate) -> str:
        """An angle with its range, in [°] everywhere."""
        return f"{_figure(deg.value, IN_90 * deg.sd)}°"
