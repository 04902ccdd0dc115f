"""Rows as CSV: RFC 4180, and nothing that a spreadsheet would take for a formula.

Owns how a value becomes a cell. Which columns there are is the business of ``history`` and ``export``.
"""

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Any

__all__ = ["SIGNS", "cell", "disarmed", "formula", "text"]

SIGNS = "=+-@＝＋－＠"
"""What a formula begins with in some spreadsheet, the wide letters of Japanese keyboards included."""
_BREAKS = re.compile("[;\t\r\n]")
"""Where a spreadsheet of another country, or one told to import by tabs, begins a cell inside of ours."""
_NEVER_FIRST = ("\t", "\r", "\n")
_UNSEEN = ("Cc", "Cf", "Cn", "Me", "Mn", "Zl", "Zp", "Zs")
"""Categories of characters that are drawn as a blank, or not at all."""
_BLANK = '"\u115f\u1160\u2800\u3164\uffa0'
"""Others not seen: fillers and blanks among letters and symbols, and the quotes that an import takes off."""


def text(columns: Sequence[str], rows: Iterable[dict[str, Any]], *, heading: bool = True) -> str:
    """Rows as CSV, one record each, lines ending in CRLF.

    Parameters
    ----------
    columns : names of the fields, in order
    heading : whether a line of the names comes first
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    if heading:
        writer.writerow(columns)
    for row in rows:
        writer.writerow([cell(row[name]) for name in columns])
    return out.getvalue()


def cell(value: Any) -> Any:
    """A value as its cell: nothing for None, true or false, a number as it is, a text ``disarmed``.

    >>> cell("=1+1"), cell("-12 mm"), cell(-12.0), cell(True), cell(None)
    ("'=1+1", "'-12 mm", -12.0, 'true', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return disarmed(value) if isinstance(value, str) else value


def formula(text: str) -> bool:
    """Whether a cell of this text might be worked out: a sign of SIGNS is the first thing that is seen of it.

    >>> formula("\\u200b =1+1"), formula("1+1")
    (True, False)
    """
    for letter in text:
        if letter in SIGNS:
            return True
        if letter not in _BLANK and unicodedata.category(letter) not in _UNSEEN:
            return False
    return False


def disarmed(text: str) -> str:
    """A text with an apostrophe before whatever could begin a cell that is taken for a formula.

    Titles and names are typed by people, and a table is opened by others. The apostrophe makes a text of the
    cell. It stands at the beginning, and inside after a semicolon, tab or line break, where a spreadsheet
    that parts cells by those would begin another one. The whole book as a file, and JSON, have every text as
    it was typed.

    >>> disarmed(" =1+1"), disarmed("low;=1+1"), disarmed("low; lean 3")
    ("' =1+1", "low;'=1+1", 'low; lean 3')

    Source: OWASP, CSV Injection (beside the tests).
    """
    if text[:1].isascii() and text[:1].isalnum() and not _BREAKS.search(text):
        return text
    out = []
    begun = 0
    for found in (*_BREAKS.finditer(text), None):
        end = len(text) if found is None else found.end()
        # The break that ends a cell is no part of what it shows.
        part = text[begun:end]
        first = begun == 0 and part.startswith(_NEVER_FIRST)
        out.append("'" + part if first or formula(part) else part)
        begun = end
    return "".join(out)
