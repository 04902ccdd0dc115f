"""Photos in the book: bytes under the name that their content has, beside the records that name them.

A photo is two things. Its record (kind ``photo``) is a record like any other and goes with them. Its bytes are kept
here under their SHA-256, come later and in parts, and never in the way of a record. So a record whose bytes are not
here yet is an ordinary state, and bytes that no record names are not taken.

They stand in the book's own file. Then a copy by the day, ``backup`` and ``restore`` are still one file of one
moment, what was answered for outlives a power cut as records do, and whoever erases a customer erases records and
photos in one transaction. The price is that every copy has them all, and that is why there is a bound in all.

Owns the bounds of photos, the only ones there are, and what counts as an image. Functions of an open database, run
by ``store``.
"""

import hashlib
from collections.abc import Iterator
from typing import Any

import msgspec
from sqlite_utils import Database

__all__ = [
    "BYTES",
    "IN_ALL",
    "KINDS",
    "PART",
    "PER_JOB",
    "SHA256",
    "SIGN",
    "WORDS",
    "Held",
    "PhotoError",
    "entries_of",
    "found",
    "held",
    "kind_of",
    "let_go",
    "names",
    "part",
    "sweep",
    "whole",
]

BYTES = 512 * 1024
"""Largest photo, [bytes]. Phones scale theirs to some 300 kB."""
PART = 64 * 1024
"""Most bytes of one part: what a poor network brings over in some seconds."""
PER_JOB = 16 * 1024 * 1024
"""Most bytes of photos of one job, some fifty: a file of one job can still carry them."""
IN_ALL = 2 * 1024 * 1024 * 1024
"""Most bytes of photos in the book, some seven thousand; each of the copies by the day has as many again."""
WORDS = 200
"""Most characters of what somebody writes on one."""
SIGN = 12
"""Bytes by which an image is known; where the first part has fewer, the last one tells."""
SHA256 = "^[0-9a-f]{64}$"
"""The name of a photo: the SHA-256 of its bytes."""
KINDS = ("image/jpeg", "image/png", "image/webp")
"""Media types of what is taken."""

NAMED = "kind = 'photo' AND body ->> '$.sha256' = ?"
COUNTS = "(s.folded_seq < s.last_seq OR EXISTS (SELECT 1 FROM job_holds h WHERE h.id = e.id))"
"""Whether record ``e`` of job ``s`` counts; of a job that is not folded yet every one may."""
LIVING = f"""EXISTS (SELECT 1 FROM entries e JOIN job_sheets s USING (job)
    WHERE e.kind = 'photo' AND e.body ->> '$.sha256' = p.sha256 AND {COUNTS})"""
"""Whether a record that counts names photo ``p``."""


class PhotoError(Exception):
    """Bytes that are not taken: ``code`` and ``path`` for programs, words and remedy for people."""

    def __init__(self, code: str, path: str, detail: str, remedy: str) -> None:
        super().__init__(detail)
        self.code = code
        self.path = path
        self.detail = detail
        self.remedy = remedy


class Held(msgspec.Struct, kw_only=True):
    """How much of a photo is here."""

    sha256: str
    size: int
    """Bytes that it has in all; 0 where nothing of it has come."""
    have: int
    """Bytes that are here, from the beginning without a gap."""
    whole: bool
    """Whether all of it is here, and is what its name says."""
    wrong: bool = False
    """Whether all of it has come and was something else; nothing of it is here then."""


def kind_of(data: bytes) -> str | None:
    """The media type of an image by its first bytes; None where it is none of those that are taken.

    >>> kind_of(b"\\xff\\xd8\\xff\\xe0 ...."), kind_of(b"<svg onload=alert(1)>")
    ('image/jpeg', None)
    """
    if data.startswith(b"\xff\xd8\xff"):
        return KINDS[0]
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return KINDS[1]
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return KINDS[2]
    return None


def held(db: Database, sha256: str) -> Held:
    """How much of a photo is here."""
    row = db.execute("SELECT size, kind FROM photos WHERE sha256 = ?", [sha256]).fetchone()
    if row is None:
        return Held(sha256=sha256, size=0, have=0, whole=False)
    return Held(sha256=sha256, size=row[0], have=_have(db, sha256), whole=row[1] is not None)


def found(db: Database, sha256: str) -> tuple[str, bytes] | None:
    """The media type and the bytes of a photo that is here whole."""
    row = db.execute("SELECT kind FROM photos WHERE sha256 = ? AND kind IS NOT NULL", [sha256]).fetchone()
    return (row[0], _bytes(db, sha256)) if row else None


def part(db: Database, sha256: str, data: bytes, *, at: int, size: int) -> Held:
    """Take one part of a photo; how much is here then.

    A part that does not begin where the last one ended changes nothing: the answer says where to go on.

    Parameters
    ----------
    at : where it begins, [bytes]
    size : bytes of the whole photo; another one than before begins anew

    Raises
    ------
    PhotoError
        not-found (no record names it), out-of-range, photos-full or not-an-image.
    """
    if at + len(data) > size:
        words = f"a part of {len(data)} bytes from {at} on ends beyond the photo's {size}"
        raise PhotoError("out-of-range", "at", words, "Ask how much is here, and go on from there.")
    now = held(db, sha256)
    if now.whole:
        return now
    if now.size and now.size != size:
        _drop(db, sha256)
        now = held(db, sha256)
    if not now.size:
        _admit(db, sha256, size)
        db.conn.execute("INSERT INTO photos (sha256, size) VALUES (?, ?)", [sha256, size])
    if at != now.have or not data:
        return held(db, sha256)
    if at == 0 and kind_of(data) is None and len(data) >= min(size, SIGN):
        words = "these are not the bytes of a JPEG, WebP or PNG image"
        raise PhotoError("not-an-image", "body", words, "Send a photo as JPEG, WebP or PNG.")
    db.conn.execute("INSERT INTO photo_parts (sha256, at, data) VALUES (?, ?, ?)", [sha256, at, data])
    if now.have + len(data) < size:
        return held(db, sha256)
    return _ended(db, sha256)


def whole(db: Database, data: bytes) -> bool:
    """Take a photo in one piece, from a file; whether it is new here.

    Raises
    ------
    PhotoError
        As ``part``, and too-large.
    """
    if not 0 < len(data) <= BYTES:
        words = f"a photo may have {BYTES} bytes, this one has {len(data)}"
        raise PhotoError("too-large", "size", words, "Scale it down.")
    name = hashlib.sha256(data).hexdigest()
    if held(db, name).whole:
        return False
    _drop(db, name)
    return part(db, name, data, at=0, size=len(data)).whole


def _ended(db: Database, sha256: str) -> Held:
    """All bytes are here: see that they are what the name says."""
    data = _bytes(db, sha256)
    if hashlib.sha256(data).hexdigest() != sha256 or kind_of(data) is None:
        # Not an error that undoes this transaction: what is wrong must go.
        _drop(db, sha256)
        return Held(sha256=sha256, size=0, have=0, whole=False, wrong=True)
    db.conn.execute("UPDATE photos SET kind = ? WHERE sha256 = ?", [kind_of(data), sha256])
    return held(db, sha256)


def sweep(db: Database) -> int:
    """Delete every photo that no record which counts names; the bytes that are free then.

    A removed photo stays until then, so that the removal can be undone. Whoever erases records calls this after it,
    in the same transaction or later: parts of photos that have not come whole go as well.
    """
    gone = db.execute(f"SELECT sha256, size FROM photos p WHERE NOT {LIVING}").fetchall()
    for sha256, _ in gone:
        _drop(db, sha256)
    return sum(size for _, size in gone)


def let_go(db: Database, sha256: str) -> None:
    """Delete a photo unless a record still names it: one whose customer was erased names none."""
    if not entries_of(db, sha256):
        _drop(db, sha256)


def names(db: Database, jobs: list[str] | None = None) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Photos that are here whole and count, the oldest first: name, media type, and the record that names it."""
    seen = set()
    for name, kind, job, at, body in db.execute(
        "SELECT p.sha256, p.kind, e.job, e.at, e.body FROM entries e JOIN job_sheets s USING (job) JOIN photos p"
        " ON p.sha256 = e.body ->> '$.sha256'"
        f" WHERE e.kind = 'photo' AND p.kind IS NOT NULL AND {COUNTS} ORDER BY e.id"
    ).fetchall():
        if name not in seen and (jobs is None or job in jobs):
            seen.add(name)
            yield name, kind, {**msgspec.json.decode(body), "job": job, "at": at}


def entries_of(db: Database, sha256: str) -> list[str]:
    """Jobs whose records name a photo."""
    return [job for (job,) in db.execute(f"SELECT DISTINCT job FROM entries WHERE {NAMED}", [sha256])]


def _admit(db: Database, sha256: str, size: int) -> None:
    """See that a record names it and that there is room for it.

    Raises
    ------
    PhotoError
        not-found or photos-full.
    """
    jobs = entries_of(db, sha256)
    if not jobs:
        words = f"no record names a photo {sha256}"
        raise PhotoError("not-found", "sha256", words, "Send the record of kind photo first.")
    if _in_all(db) + size > IN_ALL:
        sweep(db)
        if (there := _in_all(db)) + size > IN_ALL:
            _full("photos in the shop database", IN_ALL, there)
    for job in jobs:
        if _of_job(db, job) + size > PER_JOB:
            sweep(db)
            if (there := _of_job(db, job)) + size > PER_JOB:
                _full("photos of this job", PER_JOB, there)


def _full(what: str, bound: int, there: int) -> None:
    words = (
        f"{what} may have {bound >> 20} MB in all, and {there / (1 << 20):.1f} MB are there; size is over it"
    )
    remedy = "Remove photos that are of no more use; the photo stays where it was taken, and records go on."
    raise PhotoError("photos-full", "size", words, remedy)


def _in_all(db: Database) -> int:
    return int(db.execute("SELECT coalesce(sum(size), 0) FROM photos").fetchone()[0])


def _of_job(db: Database, job: str) -> int:
    query = """SELECT coalesce(sum(size), 0) FROM photos WHERE sha256 IN
        (SELECT body ->> '$.sha256' FROM entries WHERE job = ? AND kind = 'photo')"""
    return int(db.execute(query, [job]).fetchone()[0])


def _have(db: Database, sha256: str) -> int:
    query = "SELECT coalesce(sum(length(data)), 0) FROM photo_parts WHERE sha256 = ?"
    return int(db.execute(query, [sha256]).fetchone()[0])


def _bytes(db: Database, sha256: str) -> bytes:
    parts = db.execute("SELECT data FROM photo_parts WHERE sha256 = ? ORDER BY at", [sha256])
    return b"".join(data for (data,) in parts.fetchall())


def _drop(db: Database, sha256: str) -> None:
    db.conn.execute("DELETE FROM photo_parts WHERE sha256 = ?", [sha256])
    db.conn.execute("DELETE FROM photos WHERE sha256 = ?", [sha256])
