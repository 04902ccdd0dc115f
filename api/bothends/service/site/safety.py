"""The model's cautions as modules of the page, which ``python -m bothends.service.precache`` writes: those of every
job as web/work/safety.js, those of each step, which the way to the first plan does without, as step-cautions.js.

Owns only how they are written in JavaScript; the words are ``model.safety``'s. A test fails while a file differs.
"""

import json
import textwrap
from typing import Any

from bothends.model import safety

__all__ = ["PATH", "STEPS_PATH", "steps", "text"]

PATH, STEPS_PATH = "work/safety.js", "work/step-cautions.js"
_WIDTH = 105
"""Characters of a line's text, so that the formatter leaves the lines as they are."""

_FROM = """\
Written by python -m bothends.service.precache from
   api/bothends/model/safety.py; change it there. */
"""
_HEAD = f"""\
/* What can hurt somebody, and how not to be hurt. {_FROM}"""
_STEPS_HEAD = f"""\
/* The cautions of each step. {_FROM}
/** @import {{ Caution }} from "./safety.js" */
"""
_CAUTION = """\
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
    """The module of what holds for every job, as it should be."""
    return (
        f"{_HEAD}\n{_CAUTION}\n/** What holds for every job. @type {{readonly Caution[]}} */\n"
        f"export const STANDING = [\n{_cautions(safety.STANDING, '  ')}];\n"
    )


def steps() -> str:
    """The module of the steps' cautions, as it should be."""
    rows = ""
    for key, said in safety.STEPS.items():
        name = key if key.isidentifier() else json.dumps(key)
        rows += f"  {name}: [\n{_cautions(said, '    ')}  ],\n"
    return (
        f"{_STEPS_HEAD}\n/** By the stored key of a step (`turn` for either end), or by where else it is shown.\n"
        f" * @type {{Record<string, readonly Caution[]>}} */\nexport const STEPS = {{\n{rows}}};\n"
    )
