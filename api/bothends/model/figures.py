"""Figures inside sentences: a number with its unit, metric or as inches, pounds and feet.

Everything else in an answer stays metric; this is for words only. Rounded to what a tape, a gauge or a decision
needs.
"""

from .units import DEG, GRAVITY, INCH, MM

__all__ = ["POUND_KG", "angle", "energy", "force", "length", "load", "odds", "stress", "torque"]

POUND_KG = 0.45359237
"""One pound, [kg], exact by definition."""
FOOT = 12.0 * INCH * MM
"""One foot, [m], exact by definition."""
POUND_FORCE = POUND_KG * GRAVITY
"""One pound-force, [N], exact by definition."""
PSI = POUND_FORCE / (INCH * MM) ** 2


def length(metres: float, units: str = "metric", fine: bool = False) -> str:
    """A length, given in m; ``fine`` keeps a tenth of a millimetre.

    >>> length(0.0125), length(0.0254, "inch")
    ('12 mm', '1.00 in')
    """
    if units == "inch":
        return "%.2f in" % (metres / MM / INCH)
    return ("%.1f mm" if fine else "%.0f mm") % (metres / MM)


def angle(radians: float) -> str:
    """An angle, given in rad.

    >>> angle(0.1)
    '5.7°'
    """
    return "%.1f°" % (radians / DEG)


def load(newton: float, units: str = "metric") -> str:
    """A weight, given in N, as the mass a scale shows."""
    kg = newton / GRAVITY
    return "%.0f lb" % (kg / POUND_KG) if units == "inch" else "%.0f kg" % kg


def force(newton: float, units: str = "metric") -> str:
    return "%.0f lbf" % (newton / POUND_FORCE) if units == "inch" else "%.0f N" % newton


def torque(newton_metre: float, units: str = "metric") -> str:
    if units == "inch":
        return "%.0f lbf·ft" % (newton_metre / (POUND_FORCE * FOOT))
    return "%.0f N·m" % newton_metre


def energy(joule: float, units: str = "metric") -> str:
    return "%.0f ft·lbf" % (joule / (POUND_FORCE * FOOT)) if units == "inch" else "%.0f J" % joule


def stress(pascal: float, units: str = "metric") -> str:
    """A stress, given in Pa.

    >>> stress(1.056e9), stress(1.0e9, "inch")
    ('1,056 MPa', '145 ksi')
    """
    if units == "inch":
        return "%.0f ksi" % (pascal / PSI / 1000.0)
    whole = "%.0f" % (pascal / 1e6)
    return (whole[:-3] + "," + whole[-3:] if len(whole) > 3 else whole) + " MPa"


def odds(value: float) -> str:
    """A chance, 0 to 1, on the one scale that is used.

    >>> odds(0.844), odds(0.003), odds(0.998)
    ('84 in 100', 'under 1 in 100', 'over 99 in 100')
    """
    if value < 0.01:
        return "under 1 in 100"
    if value > 0.99:
        return "over 99 in 100"
    return "%.0f in 100" % (100.0 * value)
