"""Links: whoever has the token reads one job, until it ends or is revoked.

Owns their table. A link that ended or was revoked stays on record, so that it answers "gone" and not "never
was". Functions of an open database, run by ``store``.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlite_utils import Database

from . import secret

__all__ = ["GONE", "MOST_DAYS", "USUAL_DAYS", "find", "make", "of", "revoke", "revoke_of"]

USUAL_DAYS = 30
MOST_DAYS = 366
GONE = "gone"
FIELDS = "id, job, device, made, expires, revoked"


def _text(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")


def make(
    db: Database, *, job: str, device: str, days: float = USUAL_DAYS, moment: datetime | None = None
) -> tuple[dict[str, Any], str]:
    """A link to a job and its token, shown this once."""
    moment = moment or datetime.now(UTC)
    token = secret.make()
    db.execute(
        "INSERT INTO links (id, token_hash, job, device, made, expires) VALUES (?, ?, ?, ?, ?, ?)",
        [token.name, token.hash, job, device, _text(moment), _text(moment + timedelta(days=days))],
    )
    return _link(db, token.name), token.text


def find(db: Database, token: str, *, moment: datetime | None = None) -> dict[str, Any] | str | None:
    """The link of a token; GONE where it ended or was revoked; None where there never was one."""
    moment = moment or datetime.now(UTC)
    name, given = secret.split(token)
    kept = db.execute("SELECT token_hash FROM links WHERE id = ?", [name]).fetchone()
    if not secret.matches(given, kept and kept[0]):
        return None
    link = _link(db, name)
    return GONE if link["revoked"] or link["expires"] <= _text(moment) else link


def revoke(db: Database, token: str, *, moment: datetime | None = None) -> bool:
    """End a link by its token or its id; False where there is no such link. Again changes nothing."""
    moment = moment or datetime.now(UTC)
    name = token.partition(".")[0]
    done = db.execute("UPDATE links SET revoked = coalesce(revoked, ?) WHERE id = ?", [_text(moment), name])
    return done.rowcount == 1


def revoke_of(db: Database, device: str, *, moment: datetime | None = None) -> int:
    """End every link that a device made and that still opens; how many."""
    moment = moment or datetime.now(UTC)
    done = db.execute(
        "UPDATE links SET revoked = ?1 WHERE device = ?2 AND revoked IS NULL AND expires > ?1",
        [_text(moment), device],
    )
    return int(done.rowcount)


def of(db: Database, job: str, after: str, limit: int) -> list[dict[str, Any]]:
    """Links of a job (of all jobs where it is empty) in order of their ids, after one of them."""
    return list(
        db.query(
            f"SELECT {FIELDS} FROM links WHERE (job = ?1 OR ?1 = '') AND id > ?2 ORDER BY id LIMIT ?3",
            [job, after, limit],
        )
    )


def _link(db: Database, name: str) -> dict[str, Any]:
    return next(iter(db.query(f"SELECT {FIELDS} FROM links WHERE id = ?", [name])))
