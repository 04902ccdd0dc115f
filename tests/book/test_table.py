"""Cells of a table: true and false, nothing for nothing, and no text that a spreadsheet would work out.

Source: OWASP, CSV Injection (owasp.org/www-community/attacks/CSV_Injection, text of 2026): a cell must begin
with none of NEVER; separators and quotes inside a text must not let one begin there either; an apostrophe in
front makes a text of a cell. EXAMPLES are the two inputs of that page. That blanks and letters nobody sees
may stand before the sign is not said there; a spreadsheet that trims a cell sees the sign first.
"""

import csv
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from bothends.book import table

NEVER = ("=", "+", "-", "@", "\t", "\r", "\n")
EXAMPLES = ('=1+2";=1+2', "=1+2'\" ;,=1+2")
UNSEEN = (
    " \u00a0\u00ad\u034f\u115f\u1680\u180e\u2003\u200b\u200e\u2028\u202e"
    "\u2060\u2800\u3000\u3164\ufe0f\ufeff\uffa0\x00\x0b\x7f"
)


def cells(text, delimiter=","):
    """The cells of one record below a heading, as a spreadsheet told of that delimiter parts them."""
    written = table.text(["title", "left_mm"], [{"title": text, "left_mm": -3.5}])
    rows = list(csv.reader(io.StringIO(written, newline=""), delimiter=delimiter))
    return [cell for row in rows[1:] for cell in row]


def test_a_plain_value_is_its_own_cell_and_nothing_an_empty_one():
    assert [table.cell(v) for v in (None, True, False, -12.5, 3, "Gannet")] == [
        "",
        "true",
        "false",
        -12.5,
        3,
        "Gannet",
    ]


@pytest.mark.parametrize("sign", [*NEVER, *"＝＋－＠"])
def test_a_text_that_begins_as_a_formula_does_gets_an_apostrophe(sign):
    assert cells(f"{sign}1+1") == [f"'{sign}1+1", "-3.5"]


@pytest.mark.parametrize("unseen", UNSEEN)
@pytest.mark.parametrize("sign", "=+-@")
def test_blanks_and_letters_that_nobody_sees_before_the_sign_make_no_difference(sign, unseen):
    for before in (unseen, unseen * 3, f" {unseen}"):
        assert cells(f"{before}{sign}1+1") == [f"'{before}{sign}1+1", "-3.5"]


@pytest.mark.parametrize(
    "text", ["12 - 3", "Gannet", "a=1", "(=1+1)", " Gannet", "2 - 1; 3 + 4", "019a-7000"]
)
def test_a_sign_that_cannot_begin_a_cell_stays_as_it_is(text):
    assert cells(text) == [text, "-3.5"]


WORDS = st.text(st.sampled_from([*NEVER, *UNSEEN, *"＝;,'\"ab1 \r\n"]), max_size=12)


@given(text=WORDS | st.text(st.characters(exclude_categories=["Cs"]), max_size=12))
@example(EXAMPLES[0])
@example(EXAMPLES[1])
@example('x;"=1+1;y')
@example("x\t\u200b=1+1\ty")
def test_no_cell_of_a_text_is_taken_for_a_formula_whatever_parts_the_cells(text):
    *_, number = cells(text)
    assert number == "-3.5"
    for delimiter in (",", ";", "\t"):
        found = cells(text, delimiter)
        # The last cell ends in our own number, which is meant to be one.
        ours = found[:-1] if delimiter == "," else [found[-1].removesuffix("-3.5"), *found[:-1]]
        for cell in ours:
            assert not table.formula(cell), (delimiter, cell)
    assert not found[0].startswith(NEVER)


@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=12))
def test_what_was_typed_is_what_is_left_without_the_apostrophes_that_were_put_in(text):
    first, _ = cells(text)
    left = iter(first)
    assert all(letter in left for letter in text)
    assert len(first) - len(text) == first.count("'") - text.count("'")
