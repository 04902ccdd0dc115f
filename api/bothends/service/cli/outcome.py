"""How a command ends where it does not end well: exit codes, and what goes to standard error."""

import sqlite3
import sys
from pathlib import Path

__all__ = ["BAD_INPUT", "failed", "unreadable"]

BAD_INPUT = 2
"""Exit code where the input or the options were wrong; 1 where something else failed."""


def failed(words: object, code: int = 1) -> int:
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
