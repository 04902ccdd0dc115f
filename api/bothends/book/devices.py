"""Devices that may read and write the book: pairing by a code, listing, revoking, recognising by key.

Owns their table and the codes'. A revoked device stays listed; its entries stay in the book. Functions of
an open database, run by ``store``.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlite_utils import Database

from . import secret

__all__ = [
    "CODE_MINUTES",
    "allowed",
    "anybody",
    "good",
    "new_code",
    "overdue",
    "pair",
    "recognise",
    "revoke",
    "seen",
    "since",
    "writers",
]

CODE_MINUTES = 10
SEEN_EVERY = timedelta(hours=1)
"""A device's last visit is noted no finer than this, so that reading does not become writing."""
FIELDS = "id, name, paired, seen, revoked, writes_as"


def _text(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")


def new_code(db: Database, *, device: str | None = None, moment: datetime | None = None) -> tuple[str, str]:
    """A pairing code, good once and for minutes, and when it ends. Codes that have ended are dropped.

    ``device`` is the id of the one that asked for it; None where somebody at the shop's PC did.
    """
    moment = moment or datetime.now(UTC)
    code = secret.code()
    expires = _text(moment + timedelta(minutes=CODE_MINUTES))
    db.execute("DELETE FROM pairing_codes WHERE expires <= ?", [_text(moment)])
    db.execute(
        "INSERT INTO pairing_codes (code_hash, expires, device) VALUES (?, ?, ?)",
        [secret.code_hash(code), expires, device],
    )
    return code, expires


def pair(
    db: Database, code: str, name: str, *, writes_as: str | None = None, moment: datetime | None = None
) -> tuple[dict[str, Any], str] | None:
    """Use up a code: the new device and its key, shown this once; None where the code is not good.

    ``writes_as`` is what its entries say in their field ``device``.
    """
    moment = moment or datetime.now(UTC)
    used = db.execute(
        "DELETE FROM pairing_codes WHERE code_hash = ? AND expires > ?",
        [secret.code_hash(code), _text(moment)],
    )
    if used.rowcount != 1:
        return None
    key = secret.make()
    db.execute(
        "INSERT INTO devices (id, name, key_hash, paired, writes_as) VALUES (?, ?, ?, ?, ?)",
        [key.name, name, key.hash, _text(moment), writes_as],
    )
    return _device(db, key.name), key.text


def good(db: Database, code: str, *, moment: datetime | None = None) -> bool:
    """Whether a code can still be used."""
    moment = moment or datetime.now(UTC)
    found = db.execute(
        "SELECT 1 FROM pairing_codes WHERE code_hash = ? AND expires > ?",
        [secret.code_hash(code), _text(moment)],
    )
    return found.fetchone() is not None


def recognise(db: Database, key: str) -> dict[str, Any] | None:
    """The device of a key, or None where there is none or it was revoked."""
    name, given = secret.split(key)
    kept = db.execute("SELECT key_hash FROM devices WHERE id = ? AND revoked IS NULL", [name]).fetchone()
    return _device(db, name) if secret.matches(given, kept and kept[0]) else None


def allowed(db: Database, names: list[str]) -> set[str]:
    """Those of some devices that have access."""
    marks = ", ".join("?" * len(names))
    found = db.execute(f"SELECT id FROM devices WHERE id IN ({marks}) AND revoked IS NULL", names)
    return {str(row[0]) for row in found}


def anybody(db: Database) -> bool:
    """Whether some device has access."""
    return db.execute("SELECT 1 FROM devices WHERE revoked IS NULL LIMIT 1").fetchone() is not None


def overdue(device: dict[str, Any], *, moment: datetime | None = None) -> bool:
    """Whether a device's visit is worth noting again."""
    moment = moment or datetime.now(UTC)
    return device["seen"] is None or bool(device["seen"] < _text(moment - SEEN_EVERY))


def seen(db: Database, name: str, *, moment: datetime | None = None) -> None:
    """Note that a device came by."""
    moment = moment or datetime.now(UTC)
    db.execute(
        "UPDATE devices SET seen = ? WHERE id = ? AND (seen IS NULL OR seen < ?)",
        [_text(moment), name, _text(moment - SEEN_EVERY)],
    )


def revoke(db: Database, name: str, *, moment: datetime | None = None) -> bool:
    """End a device's access and the codes it made; False where there is no such device. Again changes nothing."""
    moment = moment or datetime.now(UTC)
    db.execute("DELETE FROM pairing_codes WHERE device = ?", [name])
    done = db.execute("UPDATE devices SET revoked = coalesce(revoked, ?) WHERE id = ?", [_text(moment), name])
    return done.rowcount == 1


def since(db: Database, after: str, limit: int) -> list[dict[str, Any]]:
    """Devices in order of their ids, after one of them."""
    return list(db.query(f"SELECT {FIELDS} FROM devices WHERE id > ? ORDER BY id LIMIT ?", [after, limit]))


def writers(db: Database) -> dict[str, str]:
    """Names of all devices, revoked ones too, by what their entries say in ``device``, and by their ids."""
    rows = db.execute("SELECT id, coalesce(writes_as, id), name FROM devices").fetchall()
    return {**{row[0]: row[2] for row in rows}, **{row[1]: row[2] for row in rows}}


def find(db: Database, name: str) -> dict[str, Any] | None:
    """The device with an id, whether it still has access or not."""
    return next(db.query(f"SELECT {FIELDS} FROM devices WHERE id = ?", [name]), None)


def _device(db: Database, name: str) -> dict[str, Any]:
    return next(iter(db.query(f"SELECT {FIELDS} FROM devices WHERE id = ?", [name])))
