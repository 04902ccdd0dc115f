"""What common sense doubts in a log that is too short to contradict itself, and how a doubt is put into words."""

import math

import pytest

from bothends.model.doubt_words import READINGS, SENTENCES, figure, sentence
from bothends.model.misread import UNIT, neighbours
from bothends.model.request import read
from bothends.model.sense import LEAST_HEIGHT, USUAL_HEIGHT, unlikely
from bothends.model.slip import GUESSES
from bothends.model.solve import solve
from bothends.model.units import MM
from model.cars import SIDES, Sheet, Truth


def first_visit(left: float, right: float, rounds: int = 1) -> dict:
    """A plain log whose body heights are typed so."""
    request = Sheet(Truth()).plain(rounds).request()
    for entry in request["log"]:
        if entry["what"] == "body-height":
            entry["value"] = left if entry["side"] == "left" else right
    return request


def heights(request: dict, side: str | None = None) -> list:
    return [
        i
        for i, e in enumerate(request["log"])
        if e["what"] == "body-height" and (side is None or e["side"] == side)
    ]


@pytest.mark.parametrize("rounds", [1, 2])
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(
    ("typed", "guess", "value"),
    [
        (9.0, "inches for millimetres", 228.6),
        (23.5, "centimetres for millimetres", 235.0),
        (2350.0, "decimal point lost", 235.0),
    ],
)
def test_one_height_in_another_unit_is_named_on_a_first_visit(rounds, side, typed, guess, value):
    request = first_visit(*((typed, 240.0) if side == "left" else (240.0, typed)), rounds)
    (doubt,) = solve(request)["doubts"]
    assert (doubt["guess"], doubt["side"]) == (guess, side)
    assert doubt["entries"] == heights(request, side)
    assert doubt["log_index"] == doubt["entries"][0]
    assert doubt["repaired_value"] == pytest.approx(value)


@pytest.mark.parametrize(
    ("typed", "guess", "value"),
    [((9.4, 9.0), "inches for millimetres", 238.76), ((24.0, 23.5), "centimetres for millimetres", 240.0)],
)
def test_both_heights_in_another_unit_are_one_doubt(typed, guess, value):
    request = first_visit(*typed)
    (doubt,) = solve(request)["doubts"]
    assert (doubt["guess"], doubt["side"]) == (guess, "both")
    assert doubt["entries"] == heights(request)
    assert doubt["repaired_value"] == pytest.approx(value)
    assert "both sides" in doubt["text"]


def test_a_height_unlike_the_other_sides_that_no_unit_explains_is_to_be_read_again():
    (doubt,) = solve(first_visit(240.0, 88.0))["doubts"]
    assert (doubt["guess"], doubt["side"], doubt["repaired_value"]) == ("unexplained", "right", None)
    assert "240.0 mm" in doubt["text"]


@pytest.mark.parametrize(("left", "right"), [(240.0, 250.0), (150.0, 155.0), (450.0, 440.0), (60.0, 61.0)])
def test_heights_that_a_car_may_have_are_left_in_peace(left, right):
    assert unlikely(read(first_visit(left, right))) == []


@pytest.mark.parametrize("side", SIDES)
def test_a_wheel_load_in_pounds_beside_one_in_kilograms_is_named(side):
    sheet = Sheet(Truth()).plain().both("wheel-load")
    request = sheet.request(load_kg=None)
    i = next(i for i, e in enumerate(request["log"]) if e["what"] == "wheel-load" and e["side"] == side)
    right = request["log"][i]["value"]
    request["log"][i]["value"] = right / 0.45359237
    doubt = solve(request)["doubts"][0]
    assert (doubt["log_index"], doubt["guess"]) == (i, "pounds for kilograms")
    assert doubt["repaired_value"] == pytest.approx(right)


@pytest.mark.parametrize("rounds", [1, 2])
def test_both_wheel_loads_in_pounds_are_one_doubt_where_bars_and_arms_say_what_they_carry(rounds):
    sheet = Sheet(Truth()).plain()
    for _ in range(rounds):
        sheet.both("wheel-load")
    request = sheet.request(load_kg=None)
    entries = [i for i, e in enumerate(request["log"]) if e["what"] == "wheel-load"]
    right = request["log"][entries[0]]["value"]
    for i in entries:
        request["log"][i]["value"] /= 0.45359237
    (doubt,) = solve(request)["doubts"]
    assert (doubt["guess"], doubt["side"], doubt["entries"]) == ("pounds for kilograms", "both", entries)
    assert doubt["repaired_value"] == pytest.approx(right)
    assert "both sides" in doubt["text"]


@pytest.mark.parametrize("odd", [0, 1])
def test_of_two_repeats_a_unit_apart_the_one_that_is_no_cars_height_is_doubted(odd):
    request = first_visit(132.0, 132.0, 2)
    typed = heights(request, "right")[odd]
    request["log"][typed]["value"] = 5.2
    doubt = solve(request)["doubts"][0]
    assert (doubt["log_index"], doubt["guess"]) == (typed, "inches for millimetres")
    assert doubt["repaired_value"] == pytest.approx(132.08)


def test_the_limits_of_sense_are_in_order():
    assert 0.0 < LEAST_HEIGHT < USUAL_HEIGHT[0] < USUAL_HEIGHT[1]


# -- words ------------------------------------------------------------------------------------------------------


def test_every_guess_has_its_sentence():
    assert set(GUESSES) <= set(SENTENCES)
    assert len(set(GUESSES)) == len(GUESSES)
    assert {kind for kind, _ in READINGS} == set(UNIT)


@pytest.mark.parametrize("words", sorted(SENTENCES))
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_sentence_is_whole_whatever_its_gaps_hold(words, units):
    gaps = {
        "reading": ("body-height", 0),
        "value": (231.0, "mm"),
        "datum": (3.0, "deg"),
        "left": (231.0, "mm"),
        "right": (240.0, "mm"),
        "other": (240.0, "mm"),
        "lean": (41.0, "mm"),
        "inner": (-3, "teeth"),
        "outer": (0, "teeth"),
        "turns": (2.25, "turns"),
        "side": "left",
        "teardown": 1,
        "count": 8,
        "misfit": (6.2, ""),
    }
    text = sentence(words, gaps, units)
    assert text.split()[0] in ("Check", "Read")
    assert text.endswith(".")
    assert "%" not in text
    assert ". " not in text


def test_figures_are_written_in_the_reader_s_units():
    assert figure(254.0, "mm", "metric") == "254.0 mm"
    assert figure(254.0, "mm", "inch") == "10 in"
    assert figure(100.0, "kg", "inch") == "220 lb"
    assert figure(-9.6, "deg", "inch") == figure(-9.6, "deg", "metric") == "-9.6°"
    assert figure(3, "teeth", "metric") == "+3"
    assert figure(-2.25, "turns", "inch") == "-2.25 turns"


def test_digits_are_swapped_with_their_neighbours_only():
    assert neighbours(231.0) == [2031.0, 321.0, 213.0]
    assert neighbours(1.7) == [10.7, 7.1]
    assert neighbours(7.0, True) == [70.0, 0.7]
    assert neighbours(11.0) == [101.0]
    for figure_typed in (231.0, 98.6, -12.3):
        for other in neighbours(figure_typed):
            assert figure_typed in neighbours(other) or abs(other) > 10 * abs(figure_typed) / 2
            assert math.copysign(1.0, other) == math.copysign(1.0, figure_typed)


def test_the_least_height_is_where_the_brief_puts_it():
    assert pytest.approx(40.0) == LEAST_HEIGHT / MM
