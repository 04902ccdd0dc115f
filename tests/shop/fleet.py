"""The cars of the season: one drawn from each seed, with why each quantity is drawn as it is.

Owns the draw alone; the car so made is ``car``'s.

What is drawn, and why. Unless a source is named: common practice, no source.

============================  =====================================  =======================================
quantity                      drawn as                               because
============================  =====================================  =======================================
teeth, inner/outer            60 % 40/44, 8 % 44/40, rest others     reference-values V2 to V5, V9
bar diameter, length          18-28 mm; 500-680 mm                   light to heavy cars; the length is read
bar rate                      3 % common, 1 % each side              modulus 74-80 GPa (G8), diameter
arm                           350-480 mm; measured 3 mm off          tape between centres; sides share 2.8
wind-up on its wheels         13-24 degrees at the guessed load      usual hanging angles 17-24 (trade)
load                          guess from wind-up, each side 7 % off  tank, battery, driver's side, unweighed
unsprung mass                 22 ± 5 kg a side                       wheel, tyre, hub, drum
tyre                          180 ± 35 kN/m, sides 5 % apart         same make and pressure, other tyre
bush                          4.5 ± 2 % of the bar, sides 10 %       rubber, age
bush clamped at               stop ± 3.5 a side, ± 2 each clamping   ± 4 as found, ± 2.8 from one to the next
roll support                  lognormal, median 13 kN/m, sigma 0.4;  front springs and bars differ widely;
                              or uniform 5-25 kN/m                   a quarter of the cars from the flat draw
front uneven                  0 ± 4 mm                               front springs sag too
friction at each settle       anywhere within ± 1-2 mm (the car's     left after rolling: dry friction holds
                              own band), each side by itself         an arm anywhere in its band
marks                         230 ± 25 mm, sides ± 2.5 mm            a seam or a jacking point
riding angle at the target    -1 ± 2.5 degrees                       arm near level
stop                          6-10 degrees below that                room for droop
job                           70 % raise, 15 % lower, 15 % level     by 15-50 mm; each side's angle off by
                                                                     ± 1.8; level: sides 4-8 degrees apart
============================  =====================================  =======================================
"""

import math
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from shop.car import GRAVITY, Car, Side, as_found, clamped_anew, needed_hanging_deg, rest, stream
from shop.judge import as_usual

__all__ = ["USUAL", "Make", "More", "draw"]

TEETH = ((40, 44), (44, 40), (40, 42), (24, 25), (30, 31), (32, 33), (30, 32))
TEETH_SHARE = (0.60, 0.08, 0.08, 0.06, 0.06, 0.06, 0.06)


class Make(NamedTuple):
    """What all cars of one make share: teeth at the inner and outer end, bar and arm, [mm]."""

    teeth: tuple[int, int]
    diameter_mm: float
    length_mm: float
    arm_mm: float


class More(NamedTuple):
    """What a car has beyond the usual draw; the usual draw itself stays the same car.

    ``longer``: the lever's length over the taped arm's, as a share of it. ``stiffens``: see ``car.Side``,
    [1/rad^2]. ``far``: to be raised by 80-110 mm, with the true droop for it, instead of 15-50.
    """

    longer: float = 0.0
    stiffens: float = 0.0
    far: bool = False


USUAL = More()


def _draw_once(
    rng: np.random.Generator, seed: int, friction: float, make: Make | None, more: More
) -> Car | None:
    z = {name: float(rng.normal()) for name in (
        "bar", "bar left", "bar right", "arm", "arm left", "arm right", "bush", "bush left", "bush right",
        "clamp left", "clamp right", "load left", "load right", "tyre", "tyre left", "tyre right", "roll",
        "uneven", "mark left", "mark right", "unsprung left", "unsprung right",
    )}  # fmt: skip
    teeth = TEETH[int(rng.choice(len(TEETH), p=TEETH_SHARE))]
    diameter, length = round(rng.uniform(18.0, 28.0), 1), round(rng.uniform(500.0, 680.0))
    arm_mm = round(rng.uniform(350.0, 480.0))
    if make is not None:
        teeth, diameter, length, arm_mm = make
    by_paper = 78.5e9 * math.pi * (diameter * 1e-3) ** 4 / (32.0 * length * 1e-3)
    design = math.radians(rng.normal(-1.0, 2.5))
    load_kg = 5.0 * round(by_paper * math.radians(rng.uniform(13.0, 24.0)) / (arm_mm * 1e-3 * GRAVITY) / 5.0)
    if not 110.0 <= load_kg <= 600.0:
        return None
    stop_deg = round(2.0 * (math.degrees(design) + rng.uniform(6.0, 10.0))) / 2.0
    roll = 13e3 * math.exp(0.4 * z["roll"])
    if rng.random() < 0.25:
        roll = rng.uniform(5e3, 25e3)
        z["roll"] = math.log(roll / 13e3) / 0.4
    bush = max(0.005, 0.045 + 0.02 * z["bush"])
    tyre = max(80e3, 180e3 + 35e3 * z["tyre"])
    mark, hub_mark = rng.normal(0.230, 0.025), rng.normal(0.190, 0.025)
    sides = []
    for name in ("left", "right"):
        bar = by_paper * (1.0 + 0.03 * z["bar"] + 0.01 * z["bar " + name])
        sides.append(
            Side(
                bar=bar,
                bush=bush * by_paper * (1.0 + 0.10 * z["bush " + name]),
                clamp=math.radians(stop_deg + 3.5 * z["clamp " + name]),
                arm=(arm_mm + 2.8 * z["arm"] + 1.0 * z["arm " + name]) * 1e-3 * (1.0 + more.longer),
                load=load_kg * GRAVITY * (1.0 + 0.07 * z["load " + name]),
                tyre=tyre * (1.0 + 0.035 * z["tyre " + name]),
                mark=mark + 2.5e-3 * z["mark " + name],
                hub_mark=hub_mark + 2.5e-3 * z["mark " + name],
                unsprung=max(8.0, 22.0 + 5.0 * z["unsprung " + name]),
                hanging=0.0,
                stiffens=more.stiffens,
            )
        )
    car = Car(
        seed=seed, sides=(sides[0], sides[1]), roll=roll, uneven=4e-3 * z["uneven"],
        friction=friction * rng.uniform(1e-3, 2e-3), clamp_scatter=math.radians(2.0), teeth=teeth,
        diameter_mm=diameter, length_mm=length, arm_mm=arm_mm, load_kg=load_kg, stop_deg=stop_deg,
        bump_mm=0.0, droop_mm=0.0, target_mm=0.0, tolerance_mm=5.0, lean_mm=5.0, job="", drawn=z,
    )  # fmt: skip
    clamped = clamped_anew(car, 0)
    reach = [side.mark + side.arm * math.sin(design) - side.load / side.tyre for side in sides]
    car = replace(car, target_mm=float(round(500.0 * (reach[0] + reach[1]))))
    job = str(rng.choice(["raise", "lower", "level"], p=[0.70, 0.15, 0.15]))
    by = rng.uniform(15.0, 50.0)
    if more.far:
        job, by = "raise", 80.0 + 30.0 * (by - 15.0) / 35.0
    up = {"raise": by, "lower": -by, "level": rng.normal(0.0, 5.0)}[job]
    apart = rng.normal(0.0, 1.8, 2)
    if job == "level":
        apart = rng.choice([-1.0, 1.0]) * rng.uniform(2.0, 4.0) * np.array([1.0, -1.0])
    start = [h - up for h in (car.target_mm, car.target_mm)]
    hanging = needed_hanging_deg(car, clamped, start)
    sides = [replace(sides[s], hanging=math.radians(hanging[s] + apart[s])) for s in (0, 1)]
    car = replace(car, sides=(sides[0], sides[1]), job=job)
    found = rest(car, as_found(car))
    heights = [h * 1e3 for h in found.height]
    stop = math.radians(stop_deg)
    if as_usual(car).lands(heights) or max(found.riding) > stop - math.radians(2.0):
        return None
    return replace(
        car,
        bump_mm=float(max(5, round(rng.uniform(60.0, 90.0) - up))),
        droop_mm=float(
            round(arm_mm * (1.0 + more.longer) * (math.sin(stop) - math.sin(sum(found.riding) / 2.0)))
        ),
    )


def draw(seed: int, *, friction: float = 1.0, make: Make | None = None, more: More = USUAL) -> Car:
    """One car of the season; ``friction`` widens or narrows every band of settling, for a look at its
    weight. ``make`` fixes what it shares with others of its make, ``more`` adds what the usual draw has
    not; the rest is drawn.

    Drawn again until it could exist: a load that suits the bar (110-600 kg a side), arms clear of the
    droop stop, and something to do, which a car already within tolerance has not.
    """
    rng = stream(seed, 1)
    while True:
        car = _draw_once(rng, seed, friction, make, more)
        if car is not None:
            return car
