"""Figures inside sentences: a number with its unit, metric or as inches, pounds and feet.

Everything else in an answer stays metric; this is for words only. Rounded to what a tape, a gauge or a decision
needs.
"""

from .fields import ECCENTRIC, NOTCH
from .teeth import TWELFTHS
from .units import DEG, GRAVITY, INCH, MM

__all__ = [
    "POUND_KG", "angle", "energy", "force", "inch_text", "length", "load", "odds", "stress", "torque", "turns_text",
]  # fmt: skip

POUND_KG = 0.45359237
"""One pound, [kg], exact by definition."""
FOOT = 12.0 * INCH * MM
"""One foot, [m], exact by definition."""
POUND_FORCE = POUND_KG * GRAVITY
"""One pound-force, [N], exact by definition."""
PSI = POUND_FORCE / (INCH * MM) ** 2


SIXTEENTHS = 16
"""Parts of an inch on a tape."""
ON_THE_MARK = 0.02
"""How near to a sixteenth, in sixteenths, counts as one."""


def inch_text(metres: float) -> str:
    """A length, given in m, as a tape in inches shows it: a fraction where it is one, else two decimals.

    >>> inch_text(0.20955), inch_text(0.0127), inch_text(0.254), inch_text(0.214), inch_text(-0.00635)
    ('8 1/4', '1/2', '10', '8.43', '-1/4')
    """
    inch = abs(metres) / MM / INCH
    parts = int(inch * SIXTEENTHS + 0.5)
    sign = "-" if metres < 0.0 and inch >= 0.005 else ""
    if abs(inch * SIXTEENTHS - parts) > ON_THE_MARK:
        return sign + "%.2f" % inch
    whole, top = parts // SIXTEENTHS, parts % SIXTEENTHS
    bottom = SIXTEENTHS
    while top and top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    if not top:
        return sign + "%d" % whole
    return sign + ("%d %d/%d" % (whole, top, bottom) if whole else "%d/%d" % (top, bottom))


def turns_text(turns: float, kind: str) -> str:
    """Turns of an adjuster without a sign: of a screw to a twelfth, of an eccentric as degrees, notches.

    >>> from .fields import SCREW
    >>> turns_text(2.25, SCREW), turns_text(1.0, SCREW), turns_text(1.0 / 12.0, SCREW), turns_text(2.0, NOTCH)
    ('2 1/4 turns', '1 turn', '1/12 turn', '2 notches')
    >>> turns_text(0.125, ECCENTRIC)
    '45°'
    """
    if kind == ECCENTRIC:
        return "%.0f°" % (360.0 * turns)
    parts = round(turns * TWELFTHS)
    whole, top, bottom = parts // TWELFTHS, parts % TWELFTHS, TWELFTHS
    for factor in (2, 2, 3):
        if top and top % factor == 0 and bottom % factor == 0:
            top, bottom = top // factor, bottom // factor
    said = (
        "%d" % whole if not top else "%d %d/%d" % (whole, top, bottom) if whole else "%d/%d" % (top, bottom)
    )
    if kind == NOTCH:
        return said + (" notch" if parts == TWELFTHS else " notches")
    return said + (" turn" if 0 < parts <= TWELFTHS else " turns")


def length(metres: float, units: str = "metric", fine: bool = False) -> str:
    """A length, given in m; ``fine`` keeps a tenth of a millimetre.

    >>> length(0.0125), length(0.0254, "inch"), length(0.025, "inch")
    ('12 mm', '1 in', '0.98 in')
    """
    if units == "inch":
        return inch_text(metres) + " in"
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
    """A force, given in N.

    >>> force(1217.0), force(1217.0, "inch")
    ('1217 N', '274 lbf')
    """
    return "%.0f lbf" % (newton / POUND_FORCE) if units == "inch" else "%.0f N" % newton


def torque(newton_metre: float, units: str = "metric") -> str:
    """A torque, given in N m.

    >>> torque(505.0), torque(505.0, "inch")
    ('505 N·m', '372 lbf·ft')
    """
    if units == "inch":
        return "%.0f lbf·ft" % (newton_metre / (POUND_FORCE * FOOT))
    return "%.0f N·m" % newton_metre


def energy(joule: float, units: str = "metric") -> str:
    """An energy, given in J.

    >>> energy(38.0), energy(38.0, "inch")
    ('38 J', '28 ft·lbf')
    """
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
