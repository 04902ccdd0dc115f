"""Where the shop's public copy of the app is: entered once, kept in the book, so that a restored copy has it too.

Owns the place it is kept at, and which addresses may be one. Functions of an open database, run by ``store``.
"""

from sqlite_utils import Database

from .ids import END

__all__ = ["MOST", "PATTERN", "address", "enter"]

BLANK = r"\s\x00-\x1f\x7f-\x9f\ufeff"
"""Blanks and control characters, spelled out: Python and JSON Schema do not mean the same by ``\\s``."""
PATTERN = (
    rf"^(https://[^{BLANK}/?#@\\]+|http://(localhost|127(\.[0-9]{{1,3}}){{3}}|\[::1\])(:[0-9]{{1,5}})?)"
    rf"/([^{BLANK}?#\\]*/)?{END}"
)
"""An HTTPS address that is a folder, so that the job can follow in its fragment; this very machine by HTTP too."""
MOST = 300


def address(db: Database) -> str | None:
    """The address, ending in a slash; None where none was entered."""
    row = db.execute("SELECT value FROM book WHERE name = 'public_copy'").fetchone()
    return row and str(row[0])


def enter(db: Database, address: str | None) -> None:
    """Keep an address in place of the one before; None forgets it."""
    db.execute("DELETE FROM book WHERE name = 'public_copy'")
    if address is not None:
        db.execute("INSERT INTO book VALUES ('public_copy', ?)", [address])
