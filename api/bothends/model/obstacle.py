"""What stands in the way of one side of a plan: each limit it would pass, by how much, and whether that forbids it.

Given and measured limits forbid, assumed ones caution (see `travel`). The car as found is never flagged: an
obstacle is something that the plan brings.
"""

import math

from . import bar
from .beliefs import PRESET_MPA
from .car import Car
from .estimate import Estimate
from .figures import angle, length, stress
from .sentences import CAUTIONS, OBSTACLES
from .statics import ARM, RATE, Equilibrium
from .travel import CERTAIN, Travel
from .units import DEG, MM

__all__ = ["SIDE_NAMES", "Corner", "half_axle_rad", "obstacle"]

SIDE_NAMES = ("Left", "Right")
"""As a sentence begins."""
LITTLE_TRAVEL = 15.0 * MM
STILL = 0.01 * MM
"""A hub that moves no more than this stands as it was found."""
STEEP = 80.0 * DEG
CLOSE_TO_LIMIT = 0.9
SAME_STRESS = 1.005
"""A stress within so much of the one as found is the car's own, not the plan's."""


def obstacle(what: str, side: int | None, given: bool, words: str, **by: float) -> dict:
    """The answer's form of one obstacle: ``by`` is one of by_mm, by_deg, by_mpa."""
    out: dict = {"what": what, "side": None if side is None else ("left", "right")[side], "given": given}
    for name in ("by_mm", "by_deg", "by_mpa"):
        out[name] = by.get(name)
    out["words"] = words
    return out


class Corner:
    """One side at one equilibrium, held against every limit.

    Attributes
    ----------
    bump_left, droop_left : travel remaining, [m]
    stress : shear stress at full bump, [Pa], None where the bar's diameter is not known
    obstacles : list of dict, cautions : list of str
    other_bars : whether these are bars that are not in yet
    """

    def __init__(
        self,
        estimate: Estimate,
        travel: Travel,
        rest: Equilibrium,
        *,
        side: int,
        hanging: float,
        moved: bool,
        other_bars: bool = False,
    ) -> None:
        self.estimate = estimate
        self.travel = travel
        self.side = side
        self.hanging = hanging
        self.riding = rest.phi[side]
        self.moved = moved
        self.other_bars = other_bars
        self.units = estimate.case.units
        arm = estimate.theta[ARM]
        self.found = arm * math.sin(travel.riding)
        self.down = arm * math.sin(self.riding) - self.found
        self.bump_left = travel.bump.value + self.down
        self.droop_left = travel.droop.value - self.down
        self.stress = self._stress_at(hanging)
        self.obstacles: list = []
        self.cautions: list = []
        self._travel()
        self._stop()
        self._stressed()
        self._arm()

    def say(self, table: dict, name: str, **gaps: object) -> str:
        gaps["side"] = SIDE_NAMES[self.side]
        return table[name] % gaps

    def _add(self, what: str, given: bool, name: str, over: dict, **gaps: object) -> None:
        self.obstacles.append(obstacle(what, self.side, given, self.say(OBSTACLES, name, **gaps), **over))

    def _travel(self) -> None:
        for what, limit, left in (
            ("bump", self.travel.bump, self.bump_left),
            ("droop", self.travel.droop, self.droop_left),
        ):
            if limit.source == "stop":
                continue
            if left >= 0.0:
                if left < LITTLE_TRAVEL and not limit.assumed:
                    self.cautions.append(
                        self.say(CAUTIONS, what + "-little", travel=length(left, self.units))
                    )
                continue
            if abs(self.down) < STILL:
                continue
            self._add(
                what,
                limit.forbids(-left),
                "%s-%s" % (what, limit.source),
                {"by_mm": -left / MM},
                by=length(-left, self.units),
                used=length(limit.value - left, self.units),
                limit=length(limit.value, self.units),
                range=length(CERTAIN * limit.sd, self.units),
            )

    def _stop(self) -> None:
        stop = self.travel.stop
        over = self.riding - stop.value
        if stop.source == "given" and over > 0.0 and self.down > STILL:
            placed = self.travel.placed
            self._add(
                "stop",
                placed,
                "stop-given" if placed else "stop-guessed",
                {"by_deg": over / DEG},
                by=angle(over),
                limit=angle(stop.value),
            )
        if self.moved and self.hanging <= stop.value and not stop.assumed and self.travel.placed:
            self.cautions.append(self.say(CAUTIONS, "slack"))

    def _full_bump(self) -> float:
        arm = self.estimate.theta[ARM]
        return math.asin(max(-1.0, min(1.0, (self.found - self.travel.bump.value) / arm)))

    def _stress_at(self, hanging: float) -> float | None:
        car = self.estimate.case.car
        if car.diameter is None:
            return None
        torque = math.exp(self.estimate.theta[RATE]) * (hanging - self._full_bump())
        return bar.shear_stress_pa(torque_nm=torque, diameter_m=car.diameter, bore_m=car.bore)

    def _stressed(self) -> None:
        car = self.estimate.case.car
        if self.stress is None or car.diameter is None:
            return
        # Of bars that are not in yet the car as found says nothing.
        found = 0.0 if self.other_bars else self._stress_at(self.estimate.theta[self.side]) or 0.0
        if self.stress <= found * SAME_STRESS:
            return
        gaps = {"stress": stress(self.stress, self.units)}
        if car.stress is None:
            usual = PRESET_MPA * 1e6
            if self.stress > usual:
                by = {"by_mpa": (self.stress - usual) / 1e6}
                self._add("stress", False, "stress-usual", by, limit=stress(usual, self.units), **gaps)
            return
        over = self.stress - car.stress
        if over <= 0.0:
            if self.stress > CLOSE_TO_LIMIT * car.stress:
                self.cautions.append(self.say(CAUTIONS, "stress-near", **gaps))
            return
        # Bump travel that was assumed, or an arm that nobody has placed, makes the stress a guess in part.
        give = self.estimate.theta[ARM] * max(0.2, math.cos(self._full_bump()))
        spread = self.travel.bump.sd / give
        if not self.travel.placed:
            spread += self.travel.riding_sd
        if not car.bar_given:
            spread += self.estimate.constant(RATE)[1] * abs(self.hanging - self._full_bump())
        share = CERTAIN * spread / max(1e-6, abs(self.hanging - self._full_bump()))
        given = over > share * self.stress
        self._add(
            "stress",
            given,
            "stress-given" if given else "stress-guessed",
            {"by_mpa": over / 1e6},
            limit=stress(car.stress, self.units),
            **gaps,
        )

    def _arm(self) -> None:
        if abs(self.hanging) > STEEP:
            by = {"by_deg": (abs(self.hanging) - STEEP) / DEG}
            self._add("steep", True, "steep", by, angle=angle(self.hanging))
        if self.hanging <= self.riding:
            self._add("slack", True, "unwound", {})
        car = self.estimate.case.car
        joint = abs(half_axle_rad(car, self.down))
        if car.joint is not None and joint > car.joint and self.moved:
            by = {"by_deg": (joint - car.joint) / DEG}
            self._add("joint", True, "joint", by, angle=angle(joint), limit=angle(car.joint))


def half_axle_rad(car: Car, down: float) -> float:
    """Angle of the half-axle, outer end lower positive, [rad], with the hub ``down`` [m] since it was found."""
    start = math.sin(car.half_axle_angle)
    return math.asin(max(-1.0, min(1.0, start + down / car.half_axle)))
