"""The plan as text, and quantities in words."""

import copy

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.service.answer import Doubt, Estimate, plan
from bothends.service.demo import jobs
from bothends.service.measure import Measures, odds_words
from bothends.service.sheet import sheet, turns

REQUESTS = {job["name"]: job["request"] for job in jobs()}


@pytest.fixture(scope="module")
def answer():
    """The plan for the Gannet; copied before it is changed."""
    return plan(REQUESTS["gannet"])


@pytest.mark.parametrize(
    ("inner", "outer", "words"),
    [
        (-3, 4, "inner end: 3 teeth tail up; outer end: 4 teeth tail down"),
        (1, -1, "inner end: 1 tooth tail down; outer end: 1 tooth tail up"),
        (0, 2, "inner end: leave it; outer end: 2 teeth tail down"),
        (0, 0, "leave it"),
    ],
)
def test_teeth_are_told_as_tail_up_or_down(inner, outer, words):
    assert turns(inner, outer) == words


@pytest.mark.parametrize(
    ("odds", "words"),
    [
        (1.0, "very good odds, more than 99 in 100"),
        (0.91, "very good odds, 91 in 100"),
        (0.75, "good odds, 75 in 100"),
        (0.5, "fair odds, 50 in 100"),
        (0.3, "poor odds, 30 in 100"),
        (0.02, "very poor odds, 2 in 100"),
        (1e-7, "hardly any odds, less than 1 in 100"),
    ],
)
def test_odds_come_in_words_and_number(odds, words):
    assert odds_words(odds) == words


@given(st.floats(0.0, 1.0))
def test_odds_never_read_as_certain(odds):
    assert "100 in 100" not in odds_words(odds)
    assert ", 0 in 100" not in odds_words(odds)


@pytest.mark.parametrize("name", sorted(REQUESTS))
def test_a_sheet_has_all_that_is_needed_under_the_car(name):
    answer = plan(REQUESTS[name])
    text = sheet(answer, REQUESTS[name])
    best = answer.options[0]
    for side in (best.left, best.right):
        assert turns(side.inner, side.outer) in text
        assert f"{side.body_height_mm.value:.1f} ± {side.body_height_mm.sd:.1f} mm" in text
        assert f"{side.lift.energy_j:.0f} J stored" in text
    unwrapped = " ".join(text.split())
    for words in (*answer.cautions, *best.cautions, *(item.text for item in answer.measure_next)):
        assert " ".join(words.split()) in unwrapped


def test_inches_and_pounds_stand_beside_the_metric_figure():
    # 25.4 mm and 0.45359237 kg exactly (definitions of the inch and the pound); N and J by g 9.80665.
    m = Measures(inches=True)
    assert m.length(Estimate(value=254.0, sd=2.54)) == "254.0 ± 2.5 mm (10.00 ± 0.10 in)"
    assert m.mass(Estimate(value=45.359237, sd=4.5359237)) == "45 ± 5 kg (100 ± 10 lb)"
    assert m.force(444.8221615) == "445 N (100 lbf)"
    assert m.torque(135.5817948) == "136 N·m (100 lbf·ft)"
    assert m.energy(13.55817948) == "14 J (10 ft·lbf)"


def test_metric_sheets_name_no_inch(answer):
    assert " in)" not in sheet(answer, REQUESTS["gannet"])


def test_doubts_and_what_stops_a_plan_come_before_the_teeth(answer):
    changed = copy.deepcopy(answer)
    changed.options[0].recommended = False
    changed.options[0].stopped_by = ["left: the arm would rest on its bump stop, 9 mm too far up"]
    changed.doubts = [
        Doubt(
            log_index=2,
            misfit=6.2,
            guess="sign flipped",
            repaired_value=-5.0,
            text="Read it again.",
            side="left",
        )
    ]
    text = sheet(changed, REQUESTS["gannet"])
    assert "STOPPED: left: the arm would rest on its bump stop" in text
    assert "not recommended as it stands" in text
    assert text.index(
        "entry 2 (riding-angle left): sign flipped. Read it again. It would then be -5."
    ) < text.index("Plan:")


def test_a_doubted_move_is_named_by_its_teardown(answer):
    request = copy.deepcopy(REQUESTS["gannet"])
    request["log"].append({"kind": "move", "teardown": 1})
    changed = copy.deepcopy(answer)
    changed.doubts = [
        Doubt(
            log_index=8,
            misfit=9.0,
            guess="one tooth more at the inner end",
            repaired_value=4,
            text="Count again.",
        )
    ]
    assert "entry 8 (move of teardown 1): one tooth more at the inner end" in sheet(changed, request)


def test_a_plan_survives_the_way_through_json(answer):
    assert msgspec.json.decode(msgspec.json.encode(answer), type=type(answer)) == answer
