"""The server's codes as a module of the page: ``python -m bothends.service.precache`` writes web/shop/codes.js.

Owns only how they are written in JavaScript; the list stands in ``http.problems``. By it the page takes a refusal
for the shop's own, and anything else for a stranger's. A test fails while the file differs.
"""

import json

from ..http.problems import CODES, MEDIA_TYPE

__all__ = ["PATH", "text"]

PATH = "shop/codes.js"


def _name(code: str) -> str:
    return code if code.isidentifier() else json.dumps(code)


def text() -> str:
    """The module as it should be, a line for every code."""
    rows = "".join(f"  {_name(code)}: {status},\n" for code, (status, _) in CODES.items())
    return (
        "/* What the shop's server says where it does not answer as asked. Written by python -m\n"
        "   bothends.service.precache from api/bothends/service/http/problems.py; change it there. */\n"
        "\n"
        "/** The media type of a problem; nobody else's answer has it by chance. */\n"
        f'export const PROBLEM = "{MEDIA_TYPE}";\n'
        "\n"
        "/** Every code, and the status that it comes with.\n"
        " * @type {Readonly<Record<string, number>>} */\n"
        f"export const CODES = {{\n{rows}}};\n"
    )
