"""What cards of jobs were made by, as a module of the page: ``python -m bothends.service.precache`` writes
web/book/fold-mark.js.

A phone keeps how a job looks in its list, and makes that anew where another version of the fold or of its words
made it. Owns the mark that tells versions apart: a hash of the Python that folds and of the modules that decide.
A test fails while the file differs.
"""

import hashlib

from . import places

__all__ = ["PATH", "text"]

PATH = "book/fold-mark.js"
LENGTH = 12


def mark() -> str:
    """A hash of everything that a card follows from."""
    whole = hashlib.sha256()
    web = places.web()
    files = [
        *sorted(places.SHEET.glob("*.py")),
        *sorted(places.MODEL.glob("*.py")),
        *sorted((web / "work").glob("*.js")),
        web / "model" / "facts.js",
    ]
    for path in files:
        whole.update(path.name.encode())
        whole.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return whole.hexdigest()[:LENGTH]


def text() -> str:
    """The module as it should be."""
    return (
        "/* By which fold and words cards of jobs are made. Written by python -m bothends.service.precache. */\n"
        "\n"
        f'export const FOLD_MARK = "{mark()}";\n'
    )
