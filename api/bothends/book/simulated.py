"""Whether a book is a simulated one: a mark in the book itself, so that a copy of it is marked too.

Owns the mark. Who shows it is the business of pages and exports. Functions of an open database, run by ``store``.
"""

from sqlite_utils import Database

__all__ = ["WORDS", "mark", "marked"]

WORDS = "Simulated season: cars, owners and readings are invented"
"""What stands wherever something of such a book is shown."""


def marked(db: Database) -> bool:
    """Whether the book is marked as simulated."""
    return db.execute("SELECT 1 FROM book WHERE name = 'simulated'").fetchone() is not None


def mark(db: Database) -> None:
    """Mark the book as simulated, for good."""
    db.execute("INSERT INTO book VALUES ('simulated', 'yes') ON CONFLICT (name) DO NOTHING")
