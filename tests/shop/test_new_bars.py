"""Other bars fitted to simulated cars, as a trial said: the odds it gave must hold.

The cars have more physics than the model: every bar its own rate, every side its own arm, tyre, bush and clamping.
A new pair is off its dimensions by 3 %, of which a part is common to the old pair (the modulus, how lengths are
measured), and each new bar by 1 % of its own. The mechanic sets each arm by one reading of gauge and datum to the
nearest of the new bars' steps, whose phase nobody knew.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from bothends.model.what_if import what_if
from shop.car import State, as_found, clamped_anew, rest, settling_mm, stream
from shop.fleet import draw
from shop.judge import as_usual
from shop.mechanic import hire

SEEDS = range(1_000_000, 1_000_000 + 300)
COMMON, SPREAD, PAIR, GAUGE_DEG = 0.5, 0.03, 0.01, 0.2


def outcome(seed: int, thicker: float, style: str) -> tuple[float, bool, float]:
    """Odds given, whether it landed, and the left height's error over its spread, of one car."""
    car = draw(seed)
    mechanic = hire(car, always_datum=True)
    request = mechanic.request(mechanic.log(as_found(car), style))
    rng = stream(seed, 77)
    trial = what_if(request, {"bar": {"diameter_mm": car.diameter_mm + thicker}})["trial"]
    if trial["left"] is None:
        return math.nan, False, math.nan
    by_paper = 78.5e9 * math.pi * ((car.diameter_mm + thicker) * 1e-3) ** 4 / (32.0 * car.length_mm * 1e-3)
    off = COMMON * car.drawn["bar"] + math.sqrt(1.0 - COMMON**2) * rng.normal()
    sides = [replace(side, bar=by_paper * (1.0 + SPREAD * off + PAIR * rng.normal())) for side in car.sides]
    hanging = []
    for name in ("left", "right"):
        step = trial["step_deg"]["fine"]
        phase = rng.uniform(0.0, step)
        misread = math.sqrt(2.0) * GAUGE_DEG * rng.normal()
        wanted = trial[name]["hanging_deg"] - misread
        hanging.append(math.radians(phase + step * round((wanted - phase) / step)))
    then = replace(car, sides=(sides[0], sides[1]))
    state = State((hanging[0], hanging[1]), clamped_anew(car, 1), 1)
    stood = [h * 1e3 for h in rest(then, state, settle_mm=settling_mm(car, 1)).height]
    error = (stood[0] - trial["left"]["body_height_mm"]["value"]) / trial["left"]["body_height_mm"]["sd"]
    return trial["odds"]["typical"], as_usual(car).lands(stood), error


@pytest.mark.parametrize(("style", "thicker"), [("plain", 2.0), ("boards", 1.0)])
def test_of_trials_given_so_many_in_a_hundred_as_many_land(style, thicker):
    found = [outcome(seed, thicker, style) for seed in SEEDS]
    found = [one for one in found if not math.isnan(one[0])]
    assert len(found) > 0.95 * len(SEEDS)
    odds, landed, errors = (np.array(column, dtype=float) for column in zip(*found, strict=True))
    # 300 cars tell a share to 0.03 (one standard deviation); the season itself runs up to 0.03 on the modest side.
    spread = math.sqrt(float((odds * (1.0 - odds)).sum())) / len(odds)
    assert landed.mean() == pytest.approx(odds.mean(), abs=2.5 * spread + 0.03)
    assert 0.8 < errors.std() < 1.15
    assert abs(errors.mean()) < 0.25
