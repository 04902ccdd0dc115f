"""The shop's name, address and phone as they stand on its papers: entered once, kept in the book.

Owns the place they are kept at, and how long each may be. Functions of an open database, run by ``store``.
"""

import msgspec
from sqlite_utils import Database

__all__ = ["ADDRESS", "NAME", "PHONE", "Letterhead", "enter", "kept"]

NAME, ADDRESS, PHONE = 80, 200, 40
"""Most letters of each."""


class Letterhead(msgspec.Struct, kw_only=True):
    """What stands at the head of the shop's papers; "" where nobody has entered it."""

    name: str = ""
    address: str = ""
    phone: str = ""


def kept(db: Database) -> Letterhead:
    """As it was entered last."""
    row = db.execute("SELECT value FROM book WHERE name = 'letterhead'").fetchone()
    return msgspec.json.decode(row[0], type=Letterhead) if row else Letterhead()


def enter(db: Database, new: Letterhead) -> None:
    """Keep it in place of the one before."""
    db.execute("DELETE FROM book WHERE name = 'letterhead'")
    db.execute("INSERT INTO book VALUES ('letterhead', ?)", [msgspec.json.encode(new).decode()])
