"""The cautions of a whole answer: what this case earns first, then the ones always shown."""

from .case import Case
from .fields import ECCENTRIC, FRONT
from .figures import angle, length
from .sentences import CAUTIONS, STANDING
from .travel import CERTAIN
from .units import DEG

__all__ = ["standing"]


def _teeth(case: Case) -> list:
    """What the tooth counts mean for the plan."""
    car = case.car
    held = [inner and outer for inner, outer in car.held]
    if held[0] and held[1]:
        return [CAUTIONS["held"]]
    inner, outer = car.inner_teeth, car.outer_teeth
    if car.adjuster.there:
        # Its plan needs no teeth.
        return []
    if inner is None or outer is None:
        return [CAUTIONS["uncounted"]]
    if inner == outer:
        return [CAUTIONS["same-teeth"] % {"teeth": inner, "step": angle(360.0 / inner * DEG)}]
    if inner % outer == 0 or outer % inner == 0:
        return [CAUTIONS["dividing-teeth"]]
    return []


def _axle(case: Case) -> list:
    """What an adjuster, and bars at the front, mean for the job."""
    car = case.car
    out = []
    if car.adjuster.there and car.adjuster.across:
        out.append(CAUTIONS["across"])
    if car.adjuster.kind == ECCENTRIC:
        out.append(CAUTIONS["loose-clamp"])
    if car.anti > 0.0:
        out.append(CAUTIONS["link"])
    if car.sprung == FRONT:
        out.append(CAUTIONS["front-axle"])
    return out


def standing(case: Case, doubts: list, repaired: bool) -> list:
    """Cautions for a whole answer."""
    out = []
    if doubts:
        out.append(CAUTIONS["doubts"])
    if repaired:
        out.append(CAUTIONS["repaired"])
    if case.car.renewed is not None:
        # Said and never planned for: what is aimed at is hand-over day.
        mean, sd = case.car.settling
        gaps = {"by": length(abs(mean), case.units), "range": length(CERTAIN * sd, case.units)}
        out.append(CAUTIONS["settles"] % gaps)
    return out + _teeth(case) + _axle(case) + list(STANDING)
