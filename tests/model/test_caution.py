"""Cautions a case earns come first; those of the trade are always there."""

import pytest

from bothends.model.sentences import CAUTIONS, STANDING
from bothends.model.solve import solve
from model.cars import BAR, Sheet, Truth

GIVEN = {"bump_mm": 300.0, "droop_mm": 300.0}


def cautions(teeth=(40, 44), **car) -> list:
    return solve(Sheet(Truth(), teeth=teeth).plain().request(**car))["cautions"]


def test_the_standing_cautions_close_every_list_in_the_same_order():
    one, two = cautions(limits=GIVEN), cautions(teeth=(44, 44))
    assert one == two[-len(one) :]
    assert one == list(STANDING)
    assert "loaded torsion bar" in one[0]
    assert "trust the car" in one[-1]


@pytest.mark.parametrize("limits", [{}, {"bump_mm": 60.0}, {"droop_mm": 90.0}, GIVEN])
def test_travel_that_was_not_measured_is_said_where_it_matters_and_not_to_everybody(limits):
    # It stands under ``assumed``, and beside the option that would use more of it than is believed.
    assert cautions(limits=limits) == list(STANDING)


def test_teeth_that_nobody_counted_are_asked_for():
    for bar in ({}, dict(BAR, inner_teeth=None), dict(BAR, outer_teeth=None)):
        assert cautions(bar=bar)[0] == CAUTIONS["uncounted"]


def test_a_car_whose_ends_are_all_held_is_not_asked_to_have_them_counted():
    every = ["inner", "outer"]
    for bar in ({}, BAR):
        words = cautions(bar=bar, held={"left": every, "right": every})
        assert words[0] == CAUTIONS["held"]
        assert len(words) == 1 + len(STANDING)


@pytest.mark.parametrize(
    ("teeth", "words"),
    [((40, 40), "no fine step"), ((22, 44), "divides"), ((44, 22), "divides")],
)
def test_counts_without_a_vernier_are_said(teeth, words):
    assert any(words in text for text in cautions(teeth=teeth, limits=GIVEN))


def test_counts_with_a_vernier_earn_no_caution():
    for teeth in ((40, 44), (24, 25), (30, 32)):
        assert cautions(teeth=teeth, limits=GIVEN) == list(STANDING)


def test_words_are_plain():
    for words in cautions():
        assert "!" not in words
        assert words.endswith(".")


@pytest.mark.parametrize("board", [False, True])
def test_loads_given_that_only_fit_as_pounds_are_told_first(board):
    sheet = Sheet(Truth()).plain(2)
    if board:
        sheet.boards()
    typed = {"left": 518.0, "right": 518.0}
    request = sheet.request(load_kg=typed)
    answer = solve(request)
    said = answer["cautions"][0]
    assert "left 518 kg and right 518 kg" in said
    assert "as pounds they are 235 kg and 235 kg" in said
    assert answer["doubts"] == []
    # What was typed stays as it is; where it decides the teeth, nothing is recommended and the headline says why.
    assert request["car"]["load_kg"] == typed
    if answer["withheld"]:
        assert answer["headline"]["code"] == "read-first"
        assert "loads" in answer["headline"]["words"]
        assert not answer["options"][0]["recommended"]


@pytest.mark.parametrize("share", [0.9, 1.0, 1.1])
def test_loads_given_in_kilograms_are_left_in_peace(share):
    answer = solve(Sheet(Truth()).plain(2).request(load_kg={"left": 235.0 * share, "right": 235.0 * share}))
    assert answer["cautions"] == list(STANDING)
