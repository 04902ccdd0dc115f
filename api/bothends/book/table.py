"""Rows as CSV: RFC 4180, and nothing that a spreadsheet would take for a formula.

Owns how a value becomes a cell. Which columns there are is the business of ``history`` and ``export``.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

__all__ = ["FORMULA", "cell", "text"]

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How a text begins that some spreadsheet would work out, the wide letters of Japanese keyboards included."""


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
    """A value as its cell: nothing for None, yes or no, and an apostrophe before what looks like a formula.

    Titles and names are typed by people, and a table is opened by others. Numbers are left as they are. The
    whole book as a file, and JSON, have every text as it was typed.

    >>> cell("=1+1"), cell("-12 mm"), cell(-12.0), cell(True), cell(None)
    ("'=1+1", "'-12 mm", -12.0, 'yes', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(FORMULA):
        return "'" + value
    return value
