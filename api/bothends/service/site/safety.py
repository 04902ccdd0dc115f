"""The model's cautions as a module of the page: ``python -m bothends.service.precache`` writes web/work/safety.js.

Owns only how they are written in JavaScript; the words are ``model.safety``'s. A test fails while the file differs.
"""

import json
import textwrap
from typing import Any

from bothends.model import safety

__all__ = ["PATH", "text"]

PATH = "work/safety.js"
_WIDTH = 105
"""Characters of a line's text, so that the formatter leaves the lines as they are."""

_HEAD = """\
/* What can hurt somebody, and how not to be hurt. Written by python -m bothends.service.precache from
   api/bothends/model/safety.py; change it there. */

/**
 * A caution: signal word, then hazard, consequence, avoidance.
 *
 * Where forces are named: `text` has the gaps {low}, {high} and {unit}, for a range; `exact` has {force} and
 * {unit}, for one figure; `nothing` is for a lift whose high end is nothing; `unknown` for one that was not worked
 * out. Where a bar is still wound with the wheels hanging, `text` has {torque} and {energy}.
 *
 * @typedef {Object} Caution
 * @property {"WARNING" | "NOTICE"} word
 * @property {string} text
 * @property {string} [exact]
 * @property {string} [nothing]
 * @property {string} [unknown]
 */
"""


def _string(name: str, value: str, indent: str) -> str:
    """A property of a text, over as many lines as it needs."""
    whole = f"{indent}{name}: {json.dumps(value, ensure_ascii=False)},\n"
    if len(whole) <= _WIDTH + 15:
        return whole
    pieces = textwrap.wrap(value, _WIDTH, drop_whitespace=False)
    inner = f"{indent}  "
    lines = " +\n".join(f"{inner}{json.dumps(piece, ensure_ascii=False)}" for piece in pieces)
    return f"{indent}{name}:\n{lines},\n"


def _cautions(rows: tuple[Any, ...], indent: str) -> str:
    out = ""
    for word, said in rows:
        out += f"{indent}{{\n" + _string("word", word, indent + "  ")
        for name, value in (said if isinstance(said, dict) else {"text": said}).items():
            out += _string(name, value, indent + "  ")
        out += f"{indent}}},\n"
    return out


def text() -> str:
    """The module as it should be."""
    steps = ""
    for key, rows in safety.STEPS.items():
        name = key if key.isidentifier() else json.dumps(key)
        steps += f"  {name}: [\n{_cautions(rows, '    ')}  ],\n"
    return (
        f"{_HEAD}\n/** What holds for every job. @type {{readonly Caution[]}} */\n"
        f"export const STANDING = [\n{_cautions(safety.STANDING, '  ')}];\n"
        "\n/** By the stored key of a step (`turn` for either end), or by where else it is shown.\n"
        " * @type {Record<string, readonly Caution[]>} */\n"
        f"export const STEPS = {{\n{steps}}};\n"
    )
