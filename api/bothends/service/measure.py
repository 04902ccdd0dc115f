"""Quantities as text, metric first and on request in inches and pounds too. The only place that converts."""

from .option import Estimate

__all__ = ["Measures", "odds_words"]

_INCH_MM = 25.4
"""One inch, [mm], exact by definition."""
_POUND_KG = 0.45359237
"""One pound, [kg], exact by definition."""
_GRAVITY = 9.80665
"""Standard acceleration of free fall, [m/s2], exact by definition (3rd CGPM, 1901)."""
_POUND_FORCE_N = _POUND_KG * _GRAVITY
_FOOT_M = 0.3048


def odds_words(odds: float) -> str:
    """Odds in words and number.

    >>> odds_words(0.839)
    'good odds, 84 in 100'
    """
    hundredths = round(100.0 * odds)
    if hundredths >= 100:
        return "very good odds, more than 99 in 100"
    if hundredths < 1:
        return "hardly any odds, less than 1 in 100"
    for least, words in ((90, "very good"), (75, "good"), (50, "fair"), (25, "poor")):
        if hundredths >= least:
            return f"{words} odds, {hundredths} in 100"
    return f"very poor odds, {hundredths} in 100"


class Measures:
    """Writes quantities with their units.

    Parameters
    ----------
    inches : add inches, pounds and feet after the metric figure
    """

    def __init__(self, *, inches: bool = False) -> None:
        self._inches = inches

    def _with(self, metric: str, other: str) -> str:
        return f"{metric} ({other})" if self._inches else metric

    def length(self, mm: Estimate) -> str:
        """A length with its spread, from [mm]."""
        inch = f"{mm.value / _INCH_MM:.2f} ± {mm.sd / _INCH_MM:.2f} in"
        return self._with(f"{mm.value:.1f} ± {mm.sd:.1f} mm", inch)

    def plain_length(self, mm: float) -> str:
        """A length without spread, from [mm]."""
        return self._with(f"{mm:g} mm", f"{mm / _INCH_MM:.2f} in")

    def mass(self, kg: Estimate) -> str:
        """A mass with its spread, from [kg]."""
        pounds = f"{kg.value / _POUND_KG:.0f} ± {kg.sd / _POUND_KG:.0f} lb"
        return self._with(f"{kg.value:.0f} ± {kg.sd:.0f} kg", pounds)

    def torque(self, nm: float) -> str:
        """A torque, from [N·m]."""
        return self._with(f"{nm:.0f} N·m", f"{nm / (_POUND_FORCE_N * _FOOT_M):.0f} lbf·ft")

    def force(self, newton: float) -> str:
        """A force, from [N]."""
        return self._with(f"{newton:.0f} N", f"{newton / _POUND_FORCE_N:.0f} lbf")

    def energy(self, joule: float) -> str:
        """An energy, from [J]."""
        return self._with(f"{joule:.0f} J", f"{joule / (_POUND_FORCE_N * _FOOT_M):.0f} ft·lbf")

    @staticmethod
    def angle(deg: Estimate) -> str:
        """An angle with its spread, in [°] everywhere."""
        return f"{deg.value:.1f} ± {deg.sd:.1f}°"
