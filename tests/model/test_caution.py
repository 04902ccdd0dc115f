"""Cautions a case earns come first; those of the trade are always there."""

import pytest

from bothends.model.solve import solve
from model.cars import Sheet, Truth

GIVEN = {"bump_mm": 300.0, "droop_mm": 300.0}


def cautions(teeth=(40, 44), **car) -> list:
    return solve(Sheet(Truth(), teeth=teeth).plain().request(**car))["cautions"]


def test_the_standing_cautions_close_every_list_in_the_same_order():
    one, two = cautions(limits=GIVEN), cautions(teeth=(44, 44))
    assert one == two[-len(one) :]
    assert len(one) == 6
    assert "wound bar" in one[0]
    assert "believe the car" in one[-1]


@pytest.mark.parametrize("limits", [None, {"bump_mm": 60.0}, {"droop_mm": 90.0}, {}])
def test_travel_that_was_not_measured_is_asked_for(limits):
    more = {} if limits is None else {"limits": limits}
    assert any("assumed" in words for words in cautions(**more))


def test_travel_that_was_measured_is_not_asked_for():
    assert not any("assumed" in words for words in cautions(limits=GIVEN))


@pytest.mark.parametrize(
    ("teeth", "words"),
    [((40, 40), "no fine step"), ((22, 44), "divides"), ((44, 22), "divides")],
)
def test_counts_without_a_vernier_are_said(teeth, words):
    assert any(words in text for text in cautions(teeth=teeth, limits=GIVEN))


def test_counts_with_a_vernier_earn_no_caution():
    for teeth in ((40, 44), (24, 25), (30, 32)):
        assert len(cautions(teeth=teeth, limits=GIVEN)) == 6


def test_words_are_plain():
    for words in cautions():
        assert "!" not in words
        assert words.endswith(".")
