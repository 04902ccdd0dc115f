"""The cars of other layouts than the season's: one drawn from a name and a seed, and what is told of it.

Owns the draw and the facts of the request; the car so made is ``axle``'s and
``adjusters``', the job is ``adjusting``'s.

What is drawn, and why. Common practice, no source, unless the season's own draw (``fleet``) is meant.

=======================  =======================================  ==============================================
quantity                 drawn as                                 because
=======================  =======================================  ==============================================
wishbones                sprung arm 300-420 mm, upper shorter,    lever 0.99 to 1.09 of the arm; a bar is on the
                         its inner end 5-50 mm lower              upper arm of one car in seven
front wheel rate, load   18-28 N/mm, 260-480 kg; beam 200-320      vans, pick-ups, saloons
riding angle wanted      -2 ± 3 degrees                           wishbones near level
rest of the car          lognormal, median 18 N/mm, sigma 0.4;    leaf springs; they stand 3 mm (sd) off at each
                         half as stiff again at 40 mm of lean     settling and 6 mm off for good
own anti-roll bar        2-12 N/mm; three in five take a link off
pivot rubbers            5 ± 2 % of the bar, tightened 5 degrees  tightened anywhere
                         (sd) off
friction                 ± 1-2 mm, a beam ± 3-5                   left after rolling; leaves rub
anchor lever, pitch      90-130 mm; 1.25, 1.27, 1.5, 2.0 mm       no range is published
lever off square         ± 8 degrees (sd)                         seldom square where it stands
lever as measured        2 mm off (sd)                            tape beside a bar
``unmeasured``           lever, pitch and turns left not told     most come so: a tape is no thread gauge
turns left               10-20 either way; one job in seven has   somebody was there before
                         2-5 the way it wants and counted teeth
eccentric of a plate     ± 1.7 degrees, two in five well off its  no range is published
                         middle; throw as by its papers
cam at equal counts      ± 0.55 of a step                         else it could not close the step
beam                     two packs, a notch of 5-8 degrees        height 7 to 15 mm a notch
=======================  =======================================  ==============================================
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from shop.adjusters import Adjuster, Eccentric, Notches, Screw
from shop.axle import Arm, Axle, Corner, needed, of_car, stands
from shop.car import GRAVITY, Car, as_found, stream
from shop.fleet import Make, draw
from shop.wishbones import Wishbones, course

__all__ = ["LAYOUTS", "Case", "Found", "made"]


@dataclass(frozen=True)
class Found:
    """The axle between two jobs: hanging angles, where rubbers are clamped, [rad]; positions of adjusters."""

    hanging: tuple[float, float]
    clamped: tuple[float, float]
    turns: tuple[float, float] = (0.0, 0.0)
    stage: int = 0
    opened: bool = True
    """Whether the arms hung free since the last move (or may be let hang, before the first)."""


@dataclass(frozen=True)
class Case:
    """One job on one car of a layout."""

    name: str
    seed: int
    axle: Axle
    adjusters: tuple[Adjuster, Adjuster]
    found: Found
    target_mm: float
    tolerance_mm: float
    lean_mm: float
    teeth: tuple[int, int] | None
    """True counts, where there are splines to turn; they are told."""
    facts: dict = field(hash=False, compare=False)
    """The request's car."""
    kinds: tuple[str, ...]
    """What is read in a round."""
    rounds: int = 2
    boards: int = 0
    car: Car | None = None
    """The season's car, where the axle is made of one: its bushes are clamped anew at each teardown."""
    span_mm: float = 400.0
    aslant: tuple[float, float] = (0.0, 0.0)
    """How far the points of an arm-difference lie off the line from pivot to ball joint, [rad]."""

    @property
    def shared(self) -> bool:
        """Whether one adjuster serves both wheels."""
        return isinstance(self.adjusters[0], Notches)

    def lands(self, heights_mm) -> bool:
        """Whether settled heights are on target."""
        off = [h - self.target_mm for h in heights_mm]
        return max(map(abs, off)) <= self.tolerance_mm and abs(off[0] - off[1]) <= self.lean_mm

    @property
    def target(self) -> dict:
        """The request's target."""
        near = {"tolerance_mm": self.tolerance_mm, "lean_mm": self.lean_mm}
        return {"left_mm": self.target_mm, "right_mm": self.target_mm, **near}


def _linkage(rng) -> Wishbones:
    lower = rng.uniform(0.30, 0.42)
    upright = rng.uniform(0.19, 0.27)
    upper = lower * rng.uniform(0.64, 0.78)
    down = rng.uniform(0.005, 0.050)
    aside = rng.uniform(0.05, 0.10)
    return Wishbones(
        lower,
        upper,
        (aside, upright - down),
        upright,
        (rng.uniform(0.08, 0.12), rng.uniform(0.35, 0.5) * upright),
        "upper" if rng.random() < 1.0 / 7.0 else "lower",
    )


def _front(rng, *, friction: tuple[float, float], arm: float | None = None) -> tuple[Axle, float, dict]:
    """A front axle without its hanging angles; its mean height wanted, [mm]; the facts that a tape tells."""
    linkage = _linkage(rng)
    bends = Arm(arm) if arm else course(linkage)
    lever = bends.lever(0.0)
    load = rng.uniform(*((200.0, 320.0) if arm else (260.0, 480.0))) * GRAVITY
    bar = rng.uniform(18e3, 28e3) * lever**2
    rubber = max(0.005, rng.normal(0.05, 0.02)) * bar
    tyre = max(90e3, rng.normal(190e3, 35e3))
    mark, wanted = rng.normal(0.300, 0.040), math.radians(rng.normal(-2.0, 3.0))
    corners = [
        Corner(
            bar=bar * (1.0 + rng.normal(0.0, 0.01)),
            rubber=rubber * (1.0 + rng.normal(0.0, 0.1)),
            course=bends,
            load=load * (1.0 + rng.normal(0.0, 0.05)),
            tyre=tyre * (1.0 + rng.normal(0.0, 0.035)),
            mark=mark + rng.normal(0.0, 2.5e-3),
        )
        for _ in range(2)
    ]
    off = rng.random() < 0.6
    anti_roll = rng.uniform(2e3, 12e3)
    axle = Axle(
        (corners[0], corners[1]),
        anti_roll=0.0 if off else anti_roll,
        roll=18e3 * math.exp(0.4 * rng.normal()),
        uneven=rng.normal(0.0, 6e-3),
        friction=rng.uniform(*friction) * 1e-3,
        stiffens=0.5 / 0.040**2,
        restless=3e-3,
    )
    level = sum(c.mark + c.course.g(wanted) - c.load / c.tyre for c in corners)
    facts = {"sprung": "front", "arm_mm": float(round((arm or linkage.arm) * 1e3 + rng.normal(0.0, 3.0)))}
    if off:
        facts["anti_roll_off"] = True
    if rng.random() < 0.5:
        kg = float(5 * round(load * (1.0 + rng.normal(0.0, 0.05)) / GRAVITY / 5.0))
        facts["load_kg"] = {"left": kg, "right": kg}
    return axle, 500.0 * level, facts


def _begun(axle: Axle, rng, target_mm: float, apart_sd: float) -> tuple[Found, float]:
    """The axle as it came in, and by how much it is to rise, [mm]."""
    clamped = tuple(math.radians(rng.normal(-2.0, 5.0)) for _ in range(2))
    up = {"raise": rng.uniform(10.0, 40.0), "lower": -rng.uniform(10.0, 40.0), "level": rng.normal(0.0, 5.0)}[
        str(rng.choice(["raise", "lower", "level"], p=[0.5, 0.25, 0.25]))
    ]
    apart = rng.normal(0.0, apart_sd)
    hanging = needed(axle, clamped, (target_mm - up - 0.5 * apart, target_mm - up + 0.5 * apart))
    return Found(hanging, (clamped[0], clamped[1])), up


def _screwed(name: str, seed: int, rng, *, across: bool, measured: bool = True) -> Case | None:
    """A front axle on wishbones, a lever and a screw for each wheel; what nobody ``measured`` of it is not told."""
    axle, target, facts = _front(rng, friction=(1.0, 2.0))
    found, up = _begun(axle, rng, target, 14.0)
    square, pitch = rng.uniform(0.09, 0.13), float(rng.choice([1.25e-3, 1.27e-3, 1.5e-3, 2.0e-3]))
    short = rng.random() < 1.0 / 7.0 and measured
    screws = []
    for _ in range(2):
        left = [float(round(2.0 * rng.uniform(10.0, 20.0)) / 2.0) for _ in range(2)]
        if short:
            left[0 if up > 0.0 else 1] = float(round(2.0 * rng.uniform(2.0, 5.0)) / 2.0)
        screws.append(Screw(square, math.radians(rng.normal(0.0, 8.0)), pitch, left[0], left[1]))
    facts |= {"axle": "wishbone"}
    facts["adjuster"] = {
        "kind": "screw",
        "lever_mm": float(round(square * 1e3 + rng.normal(0.0, 2.0))),
        "pitch_mm": pitch * 1e3,
        "raise_turns": {"left": screws[0].raises, "right": screws[1].raises},
        "lower_turns": {"left": screws[0].lowers, "right": screws[1].lowers},
    }
    if not measured:
        facts["adjuster"] = {"kind": "screw"}
    if across:
        facts["adjuster"]["across"] = True
    teeth = None
    if short:
        count = int(rng.choice([24, 30, 40]))
        teeth = (count, count)
        facts["bar"] = {"inner_teeth": count, "outer_teeth": count}
    kinds = ["body-height"]
    span = float(round(rng.uniform(250.0, 400.0)))
    if rng.random() < 0.4:
        kinds.append("arm-difference")
        facts["point_span_mm"] = span
    if rng.random() < 0.3:
        kinds.append("bolt-length")
    return Case(
        name, seed, axle, (screws[0], screws[1]), found, float(round(target)), 5.0, 5.0, teeth, facts,
        tuple(kinds), span_mm=span, aslant=(math.radians(rng.normal(0.0, 0.5)), math.radians(rng.normal(0.0, 0.5))),
    )  # fmt: skip


def _plate(name: str, seed: int, rng, *, equal: bool) -> Case | None:
    """A rear axle of the season with an eccentric at the outer end of each bar."""
    count = int(rng.choice([24, 30, 40]))
    teeth = (count, count) if equal else USUAL_TEETH
    bar = round(rng.uniform(18.0, 28.0), 1), round(rng.uniform(500.0, 680.0))
    car = draw(seed, make=Make(teeth, *bar, round(rng.uniform(350.0, 480.0))))
    span = math.radians(0.55 * 360.0 / car.teeth[0]) if equal else math.radians(1.7)
    radius = rng.uniform(0.10, 0.13)
    throw = radius * math.sin(span)
    eccentrics, at = [], []
    for _ in range(2):
        off = rng.uniform(-60.0, 60.0) if rng.random() < 0.4 else rng.normal(0.0, 5.0)
        eccentrics.append(Eccentric(radius, throw, math.radians(off)))
        at.append(float(5.0 * round(off / 5.0)))
    state = as_found(car)
    facts = {
        "axle": "trailing",
        "arm_mm": float(car.arm_mm),
        "bar": {"inner_teeth": car.teeth[0], "outer_teeth": car.teeth[1]},
        "adjuster": {
            "kind": "eccentric",
            "lever_mm": float(round(radius * 1e3 + rng.normal(0.0, 1.0))),
            "throw_mm": round(throw * 1e3, 1),
            "at_deg": {"left": at[0], "right": at[1]},
        },
    }
    if rng.random() < 0.5:
        facts["bar"] |= {"diameter_mm": car.diameter_mm, "length_mm": float(car.length_mm)}
        facts["load_kg"] = {"left": car.load_kg, "right": car.load_kg}
    return Case(
        name, seed, of_car(car), (eccentrics[0], eccentrics[1]), Found(state.hanging, state.clamped),
        car.target_mm, car.tolerance_mm, car.lean_mm, car.teeth, facts,
        ("hanging-angle", "riding-angle", "body-height"), boards=2, car=car,
    )  # fmt: skip


def _beam(name: str, seed: int, rng) -> Case | None:
    """A front beam on two leaf packs: one notched clamp for both wheels, which cannot level."""
    arm = rng.uniform(0.16, 0.22)
    axle, target, facts = _front(rng, friction=(3.0, 5.0), arm=arm)
    found, up = _begun(axle, rng, target, 3.0)
    if abs(up) < 10.0:
        return None
    step, share = math.radians(float(rng.choice([5.0, 6.0, 8.0]))), 0.5 * (1.0 + rng.normal(0.0, 0.05))
    left = [int(rng.integers(3, 9)) for _ in range(2)]
    notches = Notches(step, share, left[0], left[1])
    facts |= {"axle": "beam"}
    facts["adjuster"] = {
        "kind": "notch",
        "shared": True,
        "share": 0.5,
        "step_deg": math.degrees(step),
        "raise_turns": {"left": float(left[0]), "right": float(left[0])},
        "lower_turns": {"left": float(left[1]), "right": float(left[1])},
    }
    return Case(
        name, seed, axle, (notches, notches), found, float(round(target)), 10.0, 12.0, None, facts,
        ("body-height",),
    )  # fmt: skip


DRAWS: dict[str, Callable[..., Case | None]] = {
    "front": lambda name, seed, rng: _screwed(name, seed, rng, across=False),
    "transverse": lambda name, seed, rng: _screwed(name, seed, rng, across=True),
    "plate": lambda name, seed, rng: _plate(name, seed, rng, equal=False),
    "cam": lambda name, seed, rng: _plate(name, seed, rng, equal=True),
    "beam": _beam,
    "unmeasured": lambda name, seed, rng: _screwed(name, seed, rng, across=False, measured=False),
}
LAYOUTS = tuple(DRAWS)
USUAL_TEETH = (40, 44)
SPARE = 0.5
"""Turns beyond what a job needs that a screw has at least."""


def _reachable(case: Case) -> bool:
    """Whether screws, with a tooth or two where they are counted, have the range for this job."""
    wanted = needed(case.axle, case.found.clamped, (case.target_mm, case.target_mm))
    for s, screw in enumerate(case.adjusters):
        if not isinstance(screw, Screw):
            continue
        turn = wanted[s] - case.found.hanging[s]
        teeth = [0] if case.teeth is None else range(-2, 3)
        step = 0.0 if case.teeth is None else 2.0 * math.pi / case.teeth[0]
        low, high = screw.angle(SPARE - screw.lowers), screw.angle(screw.raises - SPARE)
        if not any(low <= turn - n * step <= high for n in teeth):
            return False
    return True


def made(name: str, seed: int) -> Case:
    """The job of that layout and seed; drawn again until there is something to do and the arms can do it."""
    rng = stream(seed, 20, LAYOUTS.index(name))
    while True:
        case = DRAWS[name](name, seed, rng)
        if case is None or not _reachable(case):
            continue
        stood = stands(case.axle, case.found.hanging, case.found.clamped)
        if max(map(abs, stood.riding)) < math.radians(13.0) and not case.lands(
            [h * 1e3 for h in stood.height]
        ):
            return replace(case, facts=dict(case.facts))
