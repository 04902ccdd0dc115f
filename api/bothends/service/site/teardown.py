"""Headings of a teardown's row as a module of the page: ``python -m bothends.service.precache`` writes it.

Owns only how they are written in JavaScript; which there are, and where a stage has them, is ``book.columns``'s
business. The page makes such rows for itself where the shop does not answer. A test fails while the file differs.
"""

import json

from bothends.book.columns import TEARDOWNS, Column

__all__ = ["PATH", "text"]

PATH = "work/pc/stage-columns.js"


def _column(column: Column) -> str:
    digits = "" if column.digits is None else f", digits: {column.digits}"
    return f"  {column.name}: {{ at: {json.dumps(list(column.stage))}{digits} }},\n"


def text() -> str:
    """The module as it should be, a line for every column."""
    return (
        "/* Headings of a teardown's row, the steps to each value in a stage, and the decimals it is rounded to.\n"
        "   Written by python -m bothends.service.precache from api/bothends/book/columns.py; change it there. */\n"
        "\n"
        "/** @type {Record<string, { at: (string | number)[], digits?: number }>} */\n"
        f"export const IN_STAGE = {{\n{''.join(_column(c) for c in TEARDOWNS if c.stage)}}};\n"
    )
