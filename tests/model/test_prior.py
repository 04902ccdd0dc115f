"""What is believed before the readings, and what is refused as an earlier visit's memory."""

import copy
import math

import pytest

from bothends.model.estimate import Estimate
from bothends.model.prior import NAMES
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import solve
from bothends.model.statics import ARM, BUSH, LOAD_LEFT, RATE, ROLL, TYRE, UNEVEN
from model.cars import BOOK_RATE, DEG, GRAVITY, Sheet, Truth, plain


def prior(**car):
    return Estimate(read(plain(**car)))


def test_the_books_beliefs_are_those_of_the_request():
    estimate = prior()
    expected = {
        RATE: (math.log(BOOK_RATE), 0.03),
        ARM: (0.415, 0.003),
        BUSH: (0.045, 0.02),
        LOAD_LEFT: (235 * GRAVITY, 0.07 * 235 * GRAVITY),
        LOAD_LEFT + 1: (235 * GRAVITY, 0.07 * 235 * GRAVITY),
        ROLL: (math.log(13e3), 5 / 13),
        UNEVEN: (0.0, 0.004),
        TYRE: (math.log(180e3), 35 / 180),
    }
    for k, (mean, sd) in expected.items():
        assert estimate.mean[k] == pytest.approx(mean, rel=1e-12, abs=1e-15)
        assert estimate.scale[k] == pytest.approx(sd, rel=1e-12)


def test_a_hanging_angle_is_as_good_as_unknown_before_it_is_read():
    estimate = prior()
    for side in (0, 1):
        assert estimate.scale[side] > 30 * DEG


def test_the_first_hanging_angle_is_the_one_as_found():
    sheet = Sheet(Truth()).move(left=(0, 1), right=(0, 2)).plain()
    estimate = Estimate(read(sheet.request()))
    assert estimate.theta[0] / DEG == pytest.approx(9.0, abs=1e-6)
    assert estimate.theta[1] / DEG == pytest.approx(11.0, abs=1e-6)


KNOWN = {
    "names": list(NAMES),
    "mean": [math.log(BOOK_RATE), 0.415, 0.045, math.log(13e3), 0.0, math.log(180e3)],
    "covariance": [[1e-4 if i == j else 0.0 for j in range(6)] for i in range(6)],
}


def changed(**fields) -> dict:
    return {**copy.deepcopy(KNOWN), **fields}


def poked(i: int, j: int, value) -> dict:
    known = copy.deepcopy(KNOWN)
    known["covariance"][i][j] = value
    return known


def told(k: int, value) -> dict:
    known = copy.deepcopy(KNOWN)
    known["mean"][k] = value
    return known


REFUSED = {
    "names that are not known": changed(names=["colour", *NAMES[1:]]),
    "a name twice": changed(names=[NAMES[1], *NAMES[1:]]),
    "too few means": changed(mean=KNOWN["mean"][:5]),
    "too few rows": changed(covariance=KNOWN["covariance"][:5]),
    "short rows": changed(covariance=[row[:5] for row in KNOWN["covariance"]]),
    "a negative variance": poked(1, 1, -1e-4),
    "no variance": poked(1, 1, 0.0),
    "a variance that is no number": poked(1, 1, math.nan),
    "more shared than there is": poked(1, 0, 1e-3),
    "a covariance that is no number": poked(1, 0, math.nan),
    "a mean that is no number": told(1, math.nan),
    "an endless mean": told(1, math.inf),
    "no arm": told(1, 0.0),
    "a rate beyond arithmetic": told(0, 1000.0),
    "a roll support beyond arithmetic": told(3, -800.0),
    "a tyre beyond arithmetic": told(5, 800.0),
    "names that are no list": changed(names=5),
    "a word for a mean": told(1, "0.415"),
    "a word for a variance": poked(1, 1, "1e-4"),
    "a word for a covariance": poked(1, 0, "0"),
    "a row that is no list": changed(covariance=[1e-4, *KNOWN["covariance"][1:]]),
    "a bush that takes away the whole bar": told(2, -1.0),
}


@pytest.mark.parametrize("known", REFUSED.values(), ids=REFUSED.keys())
def test_a_memory_that_makes_no_sense_is_refused(known):
    with pytest.raises(ModelProblem) as caught:
        solve(plain(known=known))
    assert (caught.value.code, caught.value.path) == ("out-of-range", "$.car.known")


def test_a_memory_of_some_constants_leaves_the_others_to_the_book():
    known = {"names": ["arm"], "mean": [0.42], "covariance": [[1e-6]]}
    estimate = prior(known=known)
    assert (estimate.mean[ARM], estimate.scale[ARM]) == (0.42, pytest.approx(1e-3))
    assert estimate.mean[ROLL] == pytest.approx(math.log(13e3))


def test_an_empty_memory_is_none():
    assert solve(plain(known={})) == solve(plain())


def test_what_a_memory_ties_together_stays_tied():
    known = poked(0, 1, 0.9e-4)
    known["covariance"][1][0] = 0.9e-4
    estimate = prior(known=known)
    # Correlation 0.9 in the prior: the precision couples rate and arm.
    assert estimate.precision[RATE][ARM] == pytest.approx(-0.9 / (1 - 0.81))
    assert estimate.precision[RATE][RATE] == pytest.approx(1 / (1 - 0.81))
