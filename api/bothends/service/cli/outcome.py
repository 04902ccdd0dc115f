"""How a command ends where it does not end well: exit codes, and what goes to standard error."""

import sqlite3
import sys
from pathlib import Path

__all__ = ["BAD_INPUT", "CUT_OFF", "EXITS", "FAILED", "INTERRUPTED", "failed", "unreadable"]

FAILED = 1
BAD_INPUT = 2
INTERRUPTED = 130
CUT_OFF = 141
EXITS = {
    0: "done",
    FAILED: "failed: standard error says why; of import, some records were refused or are missing; of doctor,"
    " something is wrong",
    BAD_INPUT: "the input or the options were wrong; nothing was changed",
    INTERRUPTED: "ended by Ctrl-C",
    CUT_OFF: "whoever read standard output left before the end",
}
"""Every exit code of every command. The last two are those that a shell gives for these signals."""


def failed(words: object, code: int = FAILED) -> int:
    """Say why; the exit code."""
    print(f"bothends: {words}", file=sys.stderr)
    return code


FULL = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY)
"""Primary result codes of a disk that takes nothing (sqlite.org, Result and Error Codes)."""


def unreadable(data: Path, error: sqlite3.DatabaseError) -> None:
    """Say that a book cannot be read, or its disk takes nothing, and what to do."""
    # The lower byte is the primary code.
    if getattr(error, "sqlite_errorcode", 0) & 0xFF in FULL:
        words = f"the shop database in {data} cannot be written: {error}; make room on its disk"
    else:
        words = f"the shop database in {data} cannot be read: {error}; restore a copy, or use another folder"
    print(f"bothends: {words}", file=sys.stderr)
