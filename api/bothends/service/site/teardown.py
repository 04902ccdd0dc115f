"""Headings of a teardown's row as a module of the page: ``python -m bothends.service.precache`` writes it.

Owns only how they are written in JavaScript; which there are, and where a stage has them, is ``book.columns``'s
business. The page makes such rows for itself where the shop does not answer. A test fails while the file differs.
"""

import json

from bothends.book.columns import TEARDOWNS

__all__ = ["PATH", "text"]

PATH = "work/pc/stage-columns.js"


def text() -> str:
    """The module as it should be, a line for every column."""
    lines = (f"  {column.name}: {json.dumps(list(column.stage))},\n" for column in TEARDOWNS if column.stage)
    return (
        "/* Headings of a teardown's row, and the steps to each value in a stage of a job. Written by\n"
        "   python -m bothends.service.precache from api/bothends/book/columns.py; change it there. */\n\n"
        "/** @type {Record<string, (string | number)[]>} */\n"
        f"export const IN_STAGE = {{\n{''.join(lines)}}};\n"
    )
