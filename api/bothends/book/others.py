"""Contents that came under an id which is taken by a record with other content.

Owns keeping them beside the log, so that every device can show that there are two, and handing them out in order of
arrival. They are never folded: a person chooses which holds, and that is a record of its own. Functions of an open
database, run by ``store``.
"""

from typing import Any

import msgspec
from sqlite_utils import Database

from .entries import same

__all__ = ["PER_ID", "keep", "since"]

PER_ID = 8
"""Most further contents that are kept of one id: a person can still choose among so many."""


def keep(db: Database, entry: dict[str, Any], received: str) -> bool:
    """Keep a content that differs, once; whether it is kept, now or since before."""
    found = db.conn.execute("SELECT entry FROM others WHERE id = ?", [entry["id"]]).fetchall()
    if any(same(entry, msgspec.json.decode(text)) for (text,) in found):
        return True
    if len(found) >= PER_ID:
        return False
    db.conn.execute(
        "INSERT INTO others (id, entry, received) VALUES (?, ?, ?)",
        [entry["id"], msgspec.json.encode(entry).decode(), received],
    )
    return True


def since(db: Database, after: int, limit: int) -> list[tuple[int, dict[str, Any]]]:
    """Contents that arrived after number ``after``, in order of arrival, with their numbers."""
    found = db.conn.execute(
        "SELECT number, entry FROM others WHERE number > ? ORDER BY number LIMIT ?", [after, limit]
    )
    return [(number, msgspec.json.decode(text)) for number, text in found]
