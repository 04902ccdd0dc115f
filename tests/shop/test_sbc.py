"""The posterior against its own beliefs: cars drawn from them, read by the model's equations, and fitted.

Truths must fall evenly in every quantity's posterior, by Kolmogorov's test and by a chi-square over ten bins. The
draws are fixed. ``DRAWS`` of each design; the band is the chance that any of all the quantities of all designs,
were the posterior exact, looks this uneven by either measure: ``CHANCE``, shared out evenly (Bonferroni).
``bench_sbc.py`` is the large version.
"""

import numpy as np
import pytest
from scipy import stats

from bothends.model.estimate import Estimate
from shop import sbc
from shop.bands import most

DRAWS = 200
CHANCE = 0.01
HONEST = ("given-boards", "closed", "closed-boards", "returned")
TAPED = ("given-boards-taped", "closed-taped", "closed-boards-taped")
OFTEN = ("given-boards", "closed-taped")
"""Designs in every run, of as many draws as the others: all facts and boards, and the car of which least
is known."""
MEASURES = 2
QUANTITIES = 22
"""The most that one design has."""
BAND = CHANCE / (MEASURES * QUANTITIES * (len(HONEST) + len(TAPED)))
REFUSED = 0.01
"""Share of draws that the fit may refuse: beliefs so wide hold cars on which it finds no way."""


def each(*cases):
    """Designs, or cases that begin with one; those that only a long run draws are marked so."""
    less = pytest.mark.long(f"the designs {' and '.join(OFTEN)}, of as many draws")
    made = [case if isinstance(case, tuple) else (case,) for case in cases]
    return [pytest.param(*case, marks=() if case[0] in OFTEN else less) for case in made]


@pytest.fixture(scope="module")
def drawn():
    held: dict[str, sbc.Shares] = {}

    def of(name: str) -> sbc.Shares:
        if name not in held:
            held[name] = sbc.shares(sbc.DESIGNS[name], DRAWS)
        return held[name]

    return of


def _uneven(found: sbc.Shares, but: tuple[str, ...] = ()) -> dict:
    assert len(found.share) <= QUANTITIES
    even = {name: sbc.evenness(share) for name, share in found.share.items() if name not in but}
    return {name: e for name, e in even.items() if min(e.kolmogorov, e.chi_square) < BAND}


@pytest.mark.parametrize("name", each(*HONEST))
def test_the_truth_falls_evenly_in_the_posterior_of_every_constant_and_of_heights_after_a_move(name, drawn):
    found = drawn(name)
    assert len(found.refused) / DRAWS <= most(REFUSED, DRAWS), found.refused
    assert _uneven(found) == {}


@pytest.mark.parametrize("name", each(*TAPED))
def test_a_lever_that_may_be_longer_than_its_tape_leaves_what_does_not_hang_on_it_even(name, drawn):
    hangs_on_it = ("arm", "mark left", "mark right", "height left", "height right")
    assert _uneven(drawn(name), but=("arm",) if name.startswith("given") else hangs_on_it) == {}


@pytest.mark.parametrize(
    ("name", "arm", "height"),
    each(
        ("given-boards-taped", 0.20, 0.145),
        ("closed-boards-taped", 0.36, 0.18),
        ("closed-taped", 0.39, 0.205),
    ),
)
def test_levers_longer_than_their_tape_lie_above_their_posterior_no_oftener_than_measured(
    name, arm, height, drawn
):
    """Not honest, and known: one normal stands for a belief in two parts, the arm as taped and a longer one.

    ``arm`` and ``height`` are the shares of 600 draws whose lever, and whose height after the move, lay in the
    posterior's upper tenth; a tenth would be right. (truth - mean) / sd of the lever had mean and spread 0.47 ±
    1.53 with facts and boards, 1.02 ± 1.98 with boards on a closed car, 1.25 ± 2.12 on a closed car without,
    where no reading speaks of the lever and the tape stands. Of heights 0.13 ± 1.05, 0.26 ± 1.10, 0.28 ± 1.13.
    """
    share = drawn(name).share
    assert np.mean(share["arm"] > 0.9) <= most(arm, len(share["arm"]))
    for side in sbc.SIDES:
        assert np.mean(share["height " + side] > 0.9) <= most(height, len(share["arm"])), side


def test_a_log_read_again_after_driving_is_fitted():
    found = sbc.shares(sbc.DESIGNS["driven"], 15)
    assert len(found.refused) / 15 <= most(REFUSED, 15)


def test_a_posterior_that_is_too_narrow_or_off_is_caught(drawn):
    for stretch, shift in ((1.0 / 1.5, 0.0), (1.6, 0.0), (1.0, 0.5)):
        z = drawn("given-boards").z
        wrong = {name: stats.norm.cdf((value + shift) / stretch) for name, value in z.items()}
        caught = _uneven(sbc.Shares(wrong, z, []))
        assert len(caught) > 0.8 * len(wrong), (stretch, shift)


@pytest.mark.long("a posterior that is too narrow, too wide or off is caught")
def test_a_fit_that_knows_too_little_friction_is_caught():
    """Fitted with a third of the usual band and without learning it."""
    found = sbc.shares(sbc.DESIGNS["closed"], DRAWS, fit=lambda case: Estimate(case, friction=0.3e-3))
    assert "lean" in _uneven(found)


def test_draws_are_the_same_each_time_and_no_two_alike():
    design = sbc.DESIGNS["returned"]
    one, again, other = (sbc.draw(design, index)[1] for index in (3, 3, 4))
    assert one == again
    assert one != other


def test_repeats_of_one_reading_are_read_anew():
    case = sbc.draw(sbc.DESIGNS["given-boards"], 0)[0]
    read = [r.value for r in case.readings if r.kind == "hanging-angle" and r.side == 0]
    assert len(set(read)) == len(read) == 2
