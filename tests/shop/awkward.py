"""A scenario's car, mechanic and circumstances, made from a seed.

Owns what a scenario adds to the usual draw and the order of its draws. The same seed is the same car in
every scenario, but for what the scenario changes of it.

What is added, and why. Common practice, no source.

======================  =====================================  ===========================================
quantity                drawn as                               because
======================  =====================================  ===========================================
lever over taped arm    0 to 15 %, uniform                     the wheel sits beyond the measured point
bush                    cubic; at 12 degrees from its clamp    rubber stiffens as it is twisted; "medium"
                        1.5 times the linear torque
floor's twist           normal, 3 or 5 mm, between two spots;  a workshop's floor and a yard; on one spot
                        one spot: the same both times          it is part of what the planner learns
driver                  60/20 or 75/25 kg, left/right          one person on the left seat
far                     a fifth of the unknown cars            plans of 100 mm have to be possible
======================  =====================================  ===========================================
"""

import math
from dataclasses import dataclass, replace

from shop import papers
from shop.car import Car, as_found, settling_mm, stream
from shop.fleet import More, draw
from shop.judge import Wish, wished
from shop.mechanic import Mechanic, hire
from shop.scenario import Scenario
from shop.stand import Stand

__all__ = ["BUSH_TWIST_DEG", "Case", "made"]

BUSH_TWIST_DEG = 12.0
READ_SPOT, JUDGED_SPOT = "bay", "yard"


@dataclass(frozen=True)
class Case:
    """One car with its mechanic, and how it stands when first read, when read again, and when judged."""

    scene: Scenario
    car: Car
    mechanic: Mechanic
    read: Stand
    again: Stand
    judged: Stand

    @property
    def style(self) -> str:
        return "boards" if self.scene.board_rounds else "plain"

    def first_log(self) -> list[dict]:
        """The log of the first visit, before any teardown."""
        if not self.scene.reads:
            return []
        return self.mechanic.log(as_found(self.car), self.style, self.read)

    def wish(self, log: list[dict]) -> tuple[dict, Wish]:
        """The request's target, and the wish it comes to."""
        state = as_found(self.car)
        stood = self.judged.rest(self.car, state, settle_mm=settling_mm(self.car, 0))
        true = (stood.height[0] * 1e3, stood.height[1] * 1e3)
        return wished(self.car, self.scene.wish, log, true, self.judged)

    def request(self, log: list[dict], *, counted: bool = False) -> dict:
        """What is sent; ``counted``: the bars have been open, and both ends' teeth are known."""
        car = papers.facts(self.car, self.scene.given)
        if counted:
            car.setdefault("bar", papers.counted(self.car))
        return {"car": car, "target": self.wish(log)[0], "log": log}


def made(seed: int, scene: Scenario, *, friction: float = 1.0) -> Case:
    """The scenario's case of that seed; ``friction`` widens or narrows every usual band of settling."""
    rng = stream(seed, 9)
    longer, twist, far = float(rng.uniform()), float(rng.normal()), float(rng.random())
    more = More(
        longer=scene.longer * longer,
        stiffens=(scene.stiffens - 1.0) / math.radians(BUSH_TWIST_DEG) ** 2,
        far=far < scene.far_share,
    )
    car = draw(seed, friction=friction, more=more)
    if scene.band_mm is not None:
        car = replace(car, friction=scene.band_mm * 1e-3)
    mechanic = hire(car, rounds=scene.rounds, board_rounds=scene.board_rounds)
    mechanic.reads, mechanic.marks, mechanic.tails = scene.reads, scene.marks, scene.tails
    if scene.hang_test is not None:
        mechanic.reads_hub = scene.hang_test
        mechanic.hub_rounds = scene.rounds
    if scene.settles_again is not None:
        mechanic.settles_again = scene.settles_again
    read, judged = _floors(scene, twist)
    if scene.driver:
        who = {"ballast_kg": scene.driver_kg, "entered": scene.entered}
        read = replace(read, **who) if scene.driver == "read" else read
        judged = replace(judged, **who) if scene.driver == "judged" else judged
    # After a teardown the car is read where it is judged; who sits in it is the mechanic's habit.
    again = replace(judged, ballast_kg=read.ballast_kg, entered=read.entered)
    return Case(scene, car, mechanic, read, again, judged)


def _floors(scene: Scenario, twist: float) -> tuple[Stand, Stand]:
    """Where the car is first read, and where it is judged."""
    mm = scene.twist_sd_mm * twist
    if not scene.floor:
        return Stand(), Stand()
    if scene.floor == "same":
        return Stand(mm), Stand(mm)
    if scene.floor == "unnamed":
        return Stand(), Stand(mm)
    return Stand(spot=READ_SPOT), Stand(mm, JUDGED_SPOT)
