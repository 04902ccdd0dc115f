"""The texts that an erasure leaves, for the page: ``bothends.service.precache`` writes web/book/kept-texts.js.

Owns only how they are written in JavaScript; the table stands in ``book.sheet.erased``. A test fails while the file
differs.
"""

import json

from bothends.book.sheet.erased import KEPT

__all__ = ["PATH", "text"]

PATH = "book/kept-texts.js"
LONGEST = 120
"""Characters of a line."""


def _row(name: str, allowed: tuple[str, ...]) -> str:
    line = f"    {name}: {json.dumps(allowed)},\n"
    if len(line) <= LONGEST:
        return line
    rows = "".join(f"      {json.dumps(each)},\n" for each in allowed)
    return f"    {name}: [\n{rows}    ],\n"


def text() -> str:
    """The module as it should be, a line for every text."""
    kinds = ""
    for kind, texts in KEPT.items():
        rows = "".join(_row(name, allowed) for name, allowed in texts.items())
        kinds += f"  {kind}: {{\n{rows}  }},\n" if rows else f"  {kind}: {{}},\n"
    return (
        "/* Texts that stay where a customer is erased. Written by python -m bothends.service.precache from\n"
        "   api/bothends/book/sheet/erased.py; change it there. */\n"
        "\n"
        '/** By kind and name the texts allowed: none says any, "" any of an id\'s letters alone.\n'
        " * @type {Readonly<Record<string, Readonly<Record<string, readonly string[]>>>>} */\n"
        f"export const KEPT_TEXTS = {{\n{kinds}}};\n"
    )
