"""Quantities as text with their range, metric first and on request in inches and pounds beside it.

Owns how a printed plan writes a figure; units, chance and the width of a range are the model's.
"""

from bothends.model.figures import FOOT, POUND_FORCE, POUND_KG, inch_text
from bothends.model.figures import odds as chance
from bothends.model.travel import CERTAIN as IN_90
from bothends.model.units import INCH, MM

from ..wire.option import Estimate, Force

__all__ = ["IN_90", "Measures", "chance"]

_NOTHING = 0.05
"""Nothing at one decimal, [mm]."""


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
        inch = f"{mm.value / INCH:.2f} ± {half / INCH:.2f} in"
        return self._with(f"{_figure(mm.value, half)} mm", inch)

    def rise(self, mm: Estimate) -> str:
        """A rise with its range, from [mm]: which way in words, so that no sign is misread."""
        if max(abs(mm.value), IN_90 * mm.sd) < _NOTHING:
            return "stays where it is"
        way = "rises" if mm.value >= 0.0 else "sinks"
        return f"{way} {self.length(Estimate(value=abs(mm.value), sd=mm.sd))}"

    def plain_length(self, mm: float) -> str:
        """A length without range, from [mm]."""
        return self._with(f"{mm:.1f}".removesuffix(".0") + " mm", f"{inch_text(mm * MM)} in")

    def mass(self, kg: Estimate) -> str:
        """A mass with its range, from [kg]."""
        half = IN_90 * kg.sd
        pounds = f"{kg.value / POUND_KG:.0f} ± {half / POUND_KG:.0f} lb"
        return self._with(f"{kg.value:.0f} ± {half:.0f} kg", pounds)

    def plain_mass(self, kg: float) -> str:
        """A mass without range, from [kg]."""
        return self._with(f"{kg:g} kg", f"{kg / POUND_KG:.0f} lb")

    def torque(self, nm: float) -> str:
        """A torque, from [N·m]."""
        return self._with(f"{nm:.0f} N·m", f"{nm / (POUND_FORCE * FOOT):.0f} lbf·ft")

    def force(self, newton: float) -> str:
        """A force, from [N]."""
        return self._with(f"{newton:.0f} N", f"{newton / POUND_FORCE:.0f} lbf")

    def energy(self, joule: float) -> str:
        """An energy, from [J]."""
        return self._with(f"{joule:.0f} J", f"{joule / (POUND_FORCE * FOOT):.0f} ft·lbf")

    def lift_range(self, low: Force, high: Force) -> str:
        """What a lift onto an assumed stop may take: "between 300 and 900 N at the wheel end, 5 to 60 J stored"."""
        foot = POUND_FORCE * FOOT
        pushes = [max(0.0, end.force_n) for end in (low, high)]
        stored = [max(0.0, end.energy_j) for end in (low, high)]
        force = f"between {pushes[0]:.0f} and {pushes[1]:.0f} N"
        force = self._with(force, f"{pushes[0] / POUND_FORCE:.0f} to {pushes[1] / POUND_FORCE:.0f} lbf")
        energy = f"{stored[0]:.0f} to {stored[1]:.0f} J"
        energy = self._with(energy, f"{stored[0] / foot:.0f} to {stored[1] / foot:.0f} ft·lbf")
        return f"{force} at the wheel end, {energy} stored"

    @staticmethod
    def angle(deg: Estimate) -> str:
        """An angle with its range, in [°] everywhere."""
        return f"{_figure(deg.value, IN_90 * deg.sd)}°"
