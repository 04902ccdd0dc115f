"""The phone's cautions are the model's: written out, whole, each with its signal word and its gaps."""

import json
import re

import pytest

from bothends.model import safety as table
from bothends.service.site import places, safety

STEPS = (
    "stands",
    "eyes",
    "bolts-out",
    "cover-off",
    "arm-down",
    "turn",
    "arm-up",
    "cover-on",
    "bolts-in",
    "down",
)
ACROSS = ("arm-down-across", "cover-on-across")
"""Of arms that go across the car, where other words fit."""
ADJUSTING = (
    "wheels-hang",
    "thread-clean",
    "scribe",
    "unclamp",
    "adjust",
    "adjust-eccentric",
    "adjust-notch",
    "clamp",
    "drive",
)
ELSEWHERE = ("droop-test", "board", "ballast", "centre-jack", "scales", "owner-sheet")
GAPS = {"text": {"low", "high", "unit"}, "exact": {"force", "unit"}, "nothing": set(), "unknown": set()}


def texts() -> list[tuple[str, str]]:
    """Signal word and every text of every caution."""
    rows = [row for rows in table.STEPS.values() for row in rows] + list(table.STANDING)
    return [
        (word, text) for word, said in rows for text in (said.values() if isinstance(said, dict) else [said])
    ]


def test_the_pages_cautions_are_the_models():
    committed = (places.web() / safety.PATH).read_text(encoding="utf-8")
    assert committed == safety.text(), "run python -m bothends.service.precache and commit web/work/safety.js"
    steps = (places.web() / safety.STEPS_PATH).read_text(encoding="utf-8")
    assert steps == safety.steps(), "run python -m bothends.service.precache and commit what it wrote"


def test_the_module_says_every_text_once_it_is_put_together():
    # A long text is written as pieces: joined again they are the whole of it.
    joined = re.sub(r'"\s*\+\n\s*"', "", safety.text() + safety.steps())
    for word, text in texts():
        assert json.dumps(text, ensure_ascii=False) in joined
        assert f'word: "{word}"' in joined


def test_no_line_of_the_module_is_longer_than_the_formatter_leaves_it():
    assert max(len(line) for line in safety.text().splitlines()) <= 120


def test_there_are_cautions_for_every_step_that_can_hurt_and_for_every_test_with_the_car_up():
    assert set(table.STEPS) == {*STEPS, *ACROSS, *ADJUSTING, *ELSEWHERE}
    assert len(table.STANDING) == 8


def test_every_caution_begins_with_a_signal_word_and_says_what_to_do():
    for word, text in texts():
        assert word in (table.WARNING, table.NOTICE)
        assert text.endswith(".")
        assert "!" not in text
        assert not re.search(r"\barm (down|up)\b|\bslack\b|\bodds\b", text)


@pytest.mark.parametrize("step", ["arm-down", "arm-down-across", "arm-up"])
def test_a_lift_is_told_as_a_range_as_one_figure_as_nothing_and_as_not_known(step):
    ((word, said),) = table.STEPS[step]
    assert word == table.WARNING
    assert {name: set(re.findall(r"\{(\w+)\}", text)) for name, text in said.items()} == GAPS


def test_a_bar_still_wound_is_told_with_torque_and_energy_as_nothing_and_as_not_known():
    word, said = table.STEPS["thread-clean"][0]
    assert word == table.WARNING
    gaps = {name: set(re.findall(r"\{(\w+)\}", text)) for name, text in said.items()}
    assert gaps == {"text": {"torque", "energy"}, "nothing": set(), "unknown": set()}
