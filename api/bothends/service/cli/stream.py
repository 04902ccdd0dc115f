"""What the commands print on, and how they show that long work goes on.

Owns that words reach whoever reads them: a terminal or a file of any encoding gets plain letters in place of those
it has not, a reader that leaves ends the command without a word, and progress is shown where a person looks only.
"""

import codecs
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO

__all__ = ["Progress", "close_quietly", "progress", "readable"]

PLAIN = {
    "→": "->",
    "±": "+/-",
    "−": "-",
    "–": "-",
    "×": "x",
    "·": ".",
    "°": " deg",
    "…": "...",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "²": "2",
    "³": "3",
    "µ": "u",
    "φ": "phi",
}
"""What stands for a letter where the reader's encoding has none for it; any other is a question mark."""
ERRORS = "bothends.plain"
OFTEN_S = 0.1
"""How often progress is written anew, seconds."""


def _plain(error: UnicodeError) -> tuple[str, int]:
    """Plain letters for those that cannot be encoded.

    >>> "12 ± 3°, ♞".encode("ascii", ERRORS)
    b'12 +/- 3 deg, ?'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(PLAIN.get(c, "?") for c in error.object[error.start : error.end]), error.end


codecs.register_error(ERRORS, _plain)


def readable() -> None:
    """Have standard output and standard error take every word, whatever their encoding."""
    for stream in (sys.stdout, sys.stderr):
        # A test's own stream may have no such method.
        if change := getattr(stream, "reconfigure", None):
            change(errors=ERRORS)


def close_quietly() -> None:
    """Write nothing more to a standard output whose reader is gone, not even what is still to be written out."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


class Progress:
    """One line that says how far some work is, written over; nothing where nobody looks."""

    def __init__(self, words: str, stream: IO[str]) -> None:
        self._words = words
        self._stream = stream
        self._looked_at = stream.isatty()
        self._next = 0.0
        self._width = 0

    def __call__(self, done: int) -> None:
        """Say how many records are done."""
        now = time.monotonic()
        if self._looked_at and now >= self._next:
            self._next = now + OFTEN_S
            self._write(f"{self._words}: {done:,} records")

    def begin(self) -> None:
        """Say what is being done, where no number can be told."""
        if self._looked_at:
            self._write(f"{self._words} ...")

    def end(self) -> None:
        """Take the line away."""
        if self._width:
            self._write("")
            self._stream.write("\r")
            self._stream.flush()

    def _write(self, text: str) -> None:
        self._stream.write("\r" + text.ljust(self._width))
        self._stream.flush()
        self._width = len(text)


@contextmanager
def progress(words: str, stream: IO[str] | None = None) -> Iterator[Progress]:
    """Progress of some work on standard error, gone when the work ends, however it ends."""
    shown = Progress(words, stream or sys.stderr)
    try:
        shown.begin()
        yield shown
    finally:
        shown.end()
