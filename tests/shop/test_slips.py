"""The slip study: each slip is what it says, and on a few judging seeds is told by the product.

Bounds as in ``test_season``. ``bench_season.py --slips`` is the large version, with every kind.
"""

import pytest

from bothends.model.solve import solve
from shop import mistakes, slips
from shop.bands import least, most

JUDGING = 1_000_000
SLIPPED = 12, 20
"""How many cars in every run, and with ``--long``: every bound follows the count."""
OFTEN = (*slips.KINDS, "digits swapped", "value typed twice", "two teeth", "a height in inches")
"""Kinds in every run: the five older ones, and of each sort of further ones the likeliest."""
FURTHER_TOLD = 0.85


@pytest.fixture(scope="module")
def verdicts(long):
    kinds = slips.ORDER if long else OFTEN
    return [v for i in range(SLIPPED[long]) for v in slips.study(JUDGING + i, solve, kinds)]


@pytest.mark.parametrize("kind", [k for k in slips.ORDER if k not in slips.AT_THE_CAR])
def test_a_slip_changes_what_it_says_and_nothing_else(kind):
    found = 0
    for seed in range(20):
        made = slips.with_slip(seed, kind)
        if made is None:
            continue
        log, slip, _ = made
        moved = any(e["kind"] == "move" for e in log)
        right = (slips.first_log(seed) if kind in slips.FIRST_VISIT else slips.log_of(seed, moved=moved))[0]
        off = [i for i, (a, b) in enumerate(zip(log, right, strict=True)) if a != b]
        assert off == list(slip.indexes)
        found += 1
    assert found >= 10


@pytest.mark.parametrize("kind", slips.AT_THE_CAR)
def test_a_slip_in_turning_leaves_the_log_and_changes_what_is_read_after_it(kind):
    found = 0
    for seed in range(20):
        made = slips.with_slip(seed, kind)
        if made is None:
            continue
        log, slip, _ = made
        right = slips.log_of(seed, moved=True)[0]
        at = slip.indexes[0]
        assert log[: at + 1] == right[: at + 1]
        assert log[at]["kind"] == "move"
        assert log[at + 1 :] != right[at + 1 :]
        found += 1
    assert found >= 5


def test_small_slips_in_writing_do_not_count():
    def places(what, value, kind):
        entry = {"kind": "reading", "what": what, "side": "left", "value": value, "teardown": 0}
        return mistakes.places([entry, {**entry, "side": "right"}], kind)

    assert places("body-height", 214.0, "digits swapped")
    # 244 typed as 244 or 424; 210 as 201 or 120.
    assert places("body-height", 244.0, "digits swapped")
    # Nothing to swap; 1.2 and 2.1 are less than 2 degrees apart; nobody types 09.
    assert not places("body-height", 222.0, "digits swapped")
    assert not places("riding-angle", 1.2, "digits swapped")
    assert not places("body-height", 90.0, "digits swapped")
    assert places("riding-angle", -9.6, "digits swapped")
    assert places("riding-angle", 0.3, "decimal point lost")
    assert not places("riding-angle", 0.1, "decimal point lost")
    assert not places("riding-angle", 8.0, "value typed twice")


def test_a_slip_named_by_the_wrong_word_or_at_the_wrong_place_is_not_told():
    log, slip, mechanic = slips.with_slip(3, "value typed twice")
    at = slip.indexes[0]

    def judged(index, guess):
        doubts = [{"log_index": index, "guess": guess}]
        answer = {"doubts": doubts}
        return slips.judge(3, slip.kind, mechanic.request(log), slip, lambda _: answer)

    assert judged(at, "value typed twice").told
    assert not judged(at, "sides swapped").told
    assert judged(at, "sides swapped").placed
    assert not judged(at - 1, "value typed twice").told


def test_slips_are_found_and_named(verdicts):
    wrong = [v for v in verdicts if v.kind in slips.KINDS]
    assert sum(v.told for v in wrong) / len(wrong) >= least(0.90, len(wrong))


LESS = pytest.mark.long(
    "the five older kinds, digits swapped, a figure typed twice, two teeth, a height in inches"
)


@pytest.mark.parametrize(
    "kind",
    [
        pytest.param(kind, marks=() if kind in OFTEN else LESS)
        for kind in (*slips.FURTHER, *slips.FIRST_VISIT)
    ],
)
def test_each_further_kind_of_slip_is_found_and_named(kind, verdicts):
    """The goal is ``FURTHER_TOLD`` each; on 60 judging seeds the least told was a decimal point lost, 0.87."""
    wrong = [v for v in verdicts if v.kind == kind]
    assert len(wrong) >= 5
    assert sum(v.told for v in wrong) / len(wrong) >= least(FURTHER_TOLD, len(wrong))


def test_no_log_with_a_slip_is_refused(verdicts):
    assert [v.guess for v in verdicts if v.refused] == []


def test_logs_without_a_slip_raise_no_doubt(verdicts):
    clean = [not v.told for v in verdicts if v.kind in slips.CLEAN]
    assert sum(clean) / len(clean) <= most(0.02, len(clean))
