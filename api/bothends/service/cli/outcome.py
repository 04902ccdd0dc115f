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


def unreadable(data: Path, error: sqlite3.DatabaseError) -> None:
    """Say that a book cannot be read, and what to do."""
    words = f"the shop database in {data} cannot be read: {error}; restore a copy, or use another folder"
    print(f"bothends: {words}", file=sys.stderr)
