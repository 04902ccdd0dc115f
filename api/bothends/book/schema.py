"""The tables of the book and how an older file becomes today's: migrations, one transaction each.

Owns tables, indexes and triggers, but for what `derived` makes of the entries anew. A migration that has been
released is never changed; a new one is added below it. Each runs in one transaction together with the note
that it ran, so a crash leaves the file at one schema or the next, never between.
"""

import secrets
import sqlite3

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from . import derived

__all__ = [
    "APPLICATION",
    "BOOK",
    "ForeignBookError",
    "NewerBookError",
    "UnfitBookError",
    "claim",
    "current",
    "names",
    "upgrade",
]

APPLICATION = 0x424F5448
"""Written in the file's header, so that restoring can tell a book from any other SQLite file."""
BOOK = Migrations("book")


class UnfitBookError(Exception):
    """The file is a sound database that this version does not take; it is left untouched."""


class NewerBookError(UnfitBookError):
    """The file was written by a newer version of the program."""


class ForeignBookError(UnfitBookError):
    """The file is another program's database."""


def claim(db: sqlite3.Connection, name: str) -> None:
    """Make sure that an open file is a book, or nothing yet.

    Raises
    ------
    ForeignBookError
        If it has another program's tables.
    """
    (application,) = db.execute("PRAGMA application_id").fetchone()
    # A first start that was killed leaves the list of migrations and no more.
    others = (
        "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name NOT LIKE '\\_sqlite%' ESCAPE '\\'"
    )
    if application != APPLICATION and db.execute(others).fetchone()[0]:
        raise ForeignBookError(
            f"{name} is a database, but not one of this program; move it away, or use another folder"
        )


def upgrade(db: Database) -> None:
    """Bring a file to today's schema.

    Raises
    ------
    NewerBookError
        If it has seen migrations that this version does not know; it is left untouched.
    """
    known = set(names())
    if unknown := [m.name for m in BOOK.applied(db) if m.name not in known]:
        raise NewerBookError(
            f"this shop database was written by a newer version ({unknown[0]});"
            " use that version, or restore an older copy"
        )
    BOOK.apply(db)
    derived.make(db)


def current(db: Database) -> bool:
    """Whether a file has today's schema."""
    return not BOOK.pending(db) and derived.current(db)


def names() -> list[str]:
    """The migrations in order."""
    empty = Database(memory=True)
    try:
        return [m.name for m in BOOK.pending(empty)]
    finally:
        empty.close()


def _run(db: Database, *statements: str) -> None:
    for statement in statements:
        db.execute(statement)


@BOOK()
def m001_entries(db: Database) -> None:
    """Entries in order of arrival; nothing is ever changed or erased."""
    _run(
        db,
        "CREATE TABLE book (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
        """CREATE TABLE entries (
            seq INTEGER PRIMARY KEY AUTOINCREMENT,
            id TEXT NOT NULL UNIQUE,
            job TEXT NOT NULL,
            device TEXT NOT NULL,
            device_seq INTEGER,
            at TEXT NOT NULL,
            kind TEXT NOT NULL,
            schema INTEGER NOT NULL,
            body TEXT NOT NULL,
            extra TEXT,
            points_to TEXT,
            received TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX entries_job ON entries (job, seq)",
        "CREATE INDEX entries_points_to ON entries (points_to) WHERE points_to IS NOT NULL",
        """CREATE TRIGGER entries_stay BEFORE UPDATE ON entries
            BEGIN SELECT RAISE(ABORT, 'an entry is never changed; correct it by another'); END""",
        """CREATE TRIGGER entries_remain BEFORE DELETE ON entries
            BEGIN SELECT RAISE(ABORT, 'an entry is never erased; strike it by another'); END""",
    )
    db.execute("INSERT INTO book VALUES ('epoch', ?)", [secrets.token_hex(8)])
    db.execute(f"PRAGMA application_id = {APPLICATION}")


@BOOK()
def m002_sheets(db: Database) -> None:
    """What the entries of each job come to, for lists and history; made anew from entries at any time."""
    _run(
        db,
        """CREATE TABLE job_sheets (
            job TEXT PRIMARY KEY,
            last_seq INTEGER NOT NULL,
            folded_seq INTEGER NOT NULL DEFAULT 0,
            title TEXT NOT NULL DEFAULT '',
            owner TEXT NOT NULL DEFAULT '',
            wish TEXT NOT NULL DEFAULT '',
            car TEXT NOT NULL DEFAULT '',
            car_key TEXT NOT NULL DEFAULT '',
            search TEXT NOT NULL DEFAULT '',
            state TEXT NOT NULL DEFAULT 'measuring',
            teardowns INTEGER NOT NULL DEFAULT 0,
            entries INTEGER NOT NULL DEFAULT 0,
            conflicts INTEGER NOT NULL DEFAULT 0,
            puzzles INTEGER NOT NULL DEFAULT 0,
            first_at TEXT,
            last_at TEXT,
            left_mm REAL,
            right_mm REAL,
            odds REAL,
            bar TEXT,
            posterior TEXT,
            learned TEXT
        ) STRICT""",
        "CREATE UNIQUE INDEX job_sheets_last ON job_sheets (last_seq)",
        "CREATE INDEX job_sheets_car ON job_sheets (car_key, last_seq)",
        "CREATE INDEX job_sheets_stale ON job_sheets (job) WHERE folded_seq < last_seq",
        """CREATE TABLE job_teardowns (
            job TEXT NOT NULL,
            teardown INTEGER NOT NULL,
            at TEXT NOT NULL,
            car_key TEXT NOT NULL,
            left_inner INTEGER, left_outer INTEGER, right_inner INTEGER, right_outer INTEGER,
            odds REAL,
            promised_left_mm REAL, promised_left_sd_mm REAL,
            promised_right_mm REAL, promised_right_sd_mm REAL,
            followed INTEGER,
            target_left_mm REAL, target_right_mm REAL, tolerance_mm REAL, lean_mm REAL,
            left_mm REAL, right_mm REAL,
            hanging_left_deg REAL, hanging_right_deg REAL, riding_left_deg REAL, riding_right_deg REAL,
            hit INTEGER,
            unsettled INTEGER NOT NULL,
            PRIMARY KEY (job, teardown)
        ) STRICT, WITHOUT ROWID""",
        "CREATE INDEX job_teardowns_at ON job_teardowns (at, job, teardown)",
        "CREATE INDEX job_teardowns_car ON job_teardowns (car_key, at, job, teardown)",
        "CREATE INDEX job_teardowns_odds ON job_teardowns (odds) WHERE odds IS NOT NULL",
        "CREATE TABLE job_holds (id TEXT PRIMARY KEY, job TEXT NOT NULL) STRICT, WITHOUT ROWID",
        "CREATE INDEX job_holds_job ON job_holds (job)",
        "INSERT INTO job_sheets (job, last_seq) SELECT job, max(seq) FROM entries GROUP BY job",
    )


@BOOK()
def m003_access(db: Database) -> None:
    """Who may read and write: devices, pairing codes, links; keys and tokens as hashes only."""
    _run(
        db,
        """CREATE TABLE devices (
            id TEXT PRIMARY KEY,
            name TEXT NOT NULL,
            key_hash BLOB NOT NULL,
            paired TEXT NOT NULL,
            seen TEXT,
            revoked TEXT
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE pairing_codes (
            code_hash BLOB PRIMARY KEY,
            expires TEXT NOT NULL
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE links (
            id TEXT PRIMARY KEY,
            token_hash BLOB NOT NULL,
            job TEXT NOT NULL,
            device TEXT NOT NULL,
            made TEXT NOT NULL,
            expires TEXT NOT NULL,
            revoked TEXT
        ) STRICT, WITHOUT ROWID""",
        "CREATE INDEX links_job ON links (job)",
    )


@BOOK()
def m004_views(db: Database) -> None:
    """The book as somebody with any SQLite tool would like it; holds: it counts on the job's sheet."""
    holds = "EXISTS (SELECT 1 FROM job_holds h WHERE h.id = e.id) AS holds"

    def body(*paths: str) -> str:
        return ", ".join(f"e.body ->> '$.{p}' AS {p.replace('.', '_')}" for p in paths)

    _run(
        db,
        f"""CREATE VIEW readings AS SELECT e.id, e.job, j.car, j.owner, e.at, e.device,
            {body("teardown", "side", "what", "value", "datum", "sd", "reference", "method")},
            {body("pose.hanging", "pose.board_left_mm", "pose.board_right_mm")},
            {body("pose.ballast_left_kg", "pose.ballast_right_kg", "corrects")},
            {holds}
            FROM entries e LEFT JOIN job_sheets j USING (job) WHERE e.kind = 'reading'""",
        f"""CREATE VIEW moves AS SELECT e.id, e.job, j.car, j.owner, e.at, e.device,
            {body("teardown", "left.inner", "left.outer", "right.inner", "right.outer", "corrects")},
            {holds}
            FROM entries e LEFT JOIN job_sheets j USING (job) WHERE e.kind = 'move'""",
        """CREATE VIEW jobs AS SELECT job, title, owner, car, wish, state, teardowns, left_mm, right_mm,
            odds, conflicts, entries, first_at, last_at FROM job_sheets""",
        """CREATE VIEW teardowns AS SELECT t.*, j.title, j.owner, j.car
            FROM job_teardowns t JOIN job_sheets j USING (job)""",
    )


@BOOK()
def m005_finding(db: Database) -> None:
    """For the table of jobs and the shop's figures: what a search looks at in one index, and which tests were
    read.

    A row of job_sheets is some kilobytes with what was learned; the index has all that is searched, sorted and
    narrowed by, so that only the rows of one page are read. Every job is folded again, to say its tests.
    """
    _run(
        db,
        "ALTER TABLE job_sheets ADD COLUMN tests TEXT NOT NULL DEFAULT ''",
        """CREATE INDEX job_sheets_found ON job_sheets (last_seq, state, first_at, last_at, car_key, car, owner,
            wish, teardowns, odds, conflicts, left_mm, right_mm, search)""",
        "UPDATE job_sheets SET folded_seq = 0",
    )


@BOOK()
def m006_writers(db: Database) -> None:
    """Under which id a paired device writes its entries, so that an entry can be told by the device's name."""
    _run(db, "ALTER TABLE devices ADD COLUMN writes_as TEXT")


@BOOK()
def m007_stages(db: Database) -> None:
    """A row for every follow-up beside hand-over day's, with what has settled since; every job is folded again.

    The table holds nothing that entries do not say, so it is made anew. Hand-over day has no after_km, which a
    primary key could not hold.
    """
    km = "coalesce(after_km, 0)"
    _run(
        db,
        "DROP TABLE job_teardowns",
        """CREATE TABLE job_teardowns (
            job TEXT NOT NULL,
            teardown INTEGER NOT NULL,
            after_km REAL,
            at TEXT NOT NULL,
            car_key TEXT NOT NULL,
            left_inner INTEGER, left_outer INTEGER, right_inner INTEGER, right_outer INTEGER,
            odds REAL,
            promised_left_mm REAL, promised_left_sd_mm REAL,
            promised_right_mm REAL, promised_right_sd_mm REAL,
            followed INTEGER,
            target_left_mm REAL, target_right_mm REAL, tolerance_mm REAL, lean_mm REAL,
            left_mm REAL, right_mm REAL,
            hub_left_mm REAL, hub_right_mm REAL,
            hanging_left_deg REAL, hanging_right_deg REAL, riding_left_deg REAL, riding_right_deg REAL,
            hit INTEGER,
            settled_left_mm REAL, settled_right_mm REAL,
            still_within INTEGER,
            unsettled INTEGER NOT NULL
        ) STRICT""",
        f"CREATE UNIQUE INDEX job_teardowns_stage ON job_teardowns (job, teardown, {km})",
        f"CREATE INDEX job_teardowns_at ON job_teardowns (at, job, teardown, {km})",
        f"CREATE INDEX job_teardowns_car ON job_teardowns (car_key, at, job, teardown, {km})",
        "CREATE INDEX job_teardowns_odds ON job_teardowns (odds) WHERE odds IS NOT NULL",
        "UPDATE job_sheets SET folded_seq = 0",
    )


@BOOK()
def m008_spots(db: Database) -> None:
    """Where a reading was taken, how far after hand-over, and of which settling: three more columns of readings."""
    paths = (
        *("teardown", "side", "what", "value", "datum", "sd", "reference", "method", "pose.hanging"),
        *("pose.board_left_mm", "pose.board_right_mm", "pose.ballast_left_kg", "pose.ballast_right_kg"),
        *("spot", "after_km", "resettled", "corrects"),
    )
    body = ", ".join(f"e.body ->> '$.{path}' AS {path.replace('.', '_')}" for path in paths)
    _run(
        db,
        "DROP VIEW readings",
        f"""CREATE VIEW readings AS SELECT e.id, e.job, j.car, j.owner, e.at, e.device, {body},
            EXISTS (SELECT 1 FROM job_holds h WHERE h.id = e.id) AS holds
            FROM entries e LEFT JOIN job_sheets j USING (job) WHERE e.kind = 'reading'""",
    )


@BOOK()
def m009_headings(db: Database) -> None:
    """One heading for one thing in tables, views, files and answers; from here on `derived` makes these of it."""
    _run(
        db,
        "DROP VIEW jobs",
        "DROP VIEW readings",
        "DROP VIEW moves",
        "DROP VIEW teardowns",
        "DROP TABLE job_teardowns",
        "UPDATE job_sheets SET folded_seq = 0",
    )


@BOOK()
def m010_code_of(db: Database) -> None:
    """Which device a pairing code was made by: it ends with that device's access."""
    _run(db, "ALTER TABLE pairing_codes ADD COLUMN device TEXT")


@BOOK()
def m011_others(db: Database) -> None:
    """Contents that came under an id which was taken, so that every device can show that there are two."""
    _run(
        db,
        """CREATE TABLE others (
            number INTEGER PRIMARY KEY AUTOINCREMENT,
            id TEXT NOT NULL,
            entry TEXT NOT NULL,
            received TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX others_id ON others (id)",
    )


@BOOK()
def m012_photos(db: Database) -> None:
    """Photos by the SHA-256 of their bytes, in the parts in which they came; ``kind`` once one is whole.

    A photo that a version before this kept as a record unknown to it counts from now on.
    """
    _run(
        db,
        """CREATE TABLE photos (
            sha256 TEXT PRIMARY KEY,
            size INTEGER NOT NULL,
            kind TEXT
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE photo_parts (
            sha256 TEXT NOT NULL,
            at INTEGER NOT NULL,
            data BLOB NOT NULL,
            PRIMARY KEY (sha256, at)
        ) STRICT""",
        "CREATE INDEX entries_photo ON entries (body ->> '$.sha256') WHERE kind = 'photo'",
        "UPDATE job_sheets SET folded_seq = 0 WHERE job IN (SELECT job FROM entries WHERE kind = 'photo')",
    )


@BOOK()
def m013_job_numbers(db: Database) -> None:
    """A short number for every job, in the order in which their first entries arrived."""
    _run(
        db,
        "CREATE TABLE job_numbers (number INTEGER PRIMARY KEY AUTOINCREMENT, job TEXT NOT NULL UNIQUE) STRICT",
        "INSERT INTO job_numbers (job) SELECT job FROM entries GROUP BY job ORDER BY min(seq)",
    )


@BOOK()
def m014_cars(db: Database) -> None:
    """What each job says of which car it is, whose visit that makes it, and whether it is hidden.

    The index that lists are answered from has what is hidden too. Every job is folded again, to say all that.
    """
    texts = ("car_said", "car_own", "car_named", "chassis", "plate")
    _run(
        db,
        *(
            f"ALTER TABLE job_sheets ADD COLUMN {name} TEXT NOT NULL DEFAULT ''"
            for name in (*texts, "car_apart")
        ),
        "ALTER TABLE job_sheets ADD COLUMN car_by TEXT NOT NULL DEFAULT 'own'",
        "ALTER TABLE job_sheets ADD COLUMN hidden INTEGER NOT NULL DEFAULT 0",
        *(
            f"CREATE INDEX job_sheets_{name} ON job_sheets ({name}) WHERE {name} != ''"
            for name in (*texts, "car_apart")
        ),
        "DROP INDEX job_sheets_found",
        """CREATE INDEX job_sheets_found ON job_sheets (last_seq, state, first_at, last_at, car_key, car, owner,
            wish, teardowns, odds, conflicts, left_mm, right_mm, hidden, search)""",
        "UPDATE job_sheets SET folded_seq = 0",
    )


@BOOK()
def m015_erasures(db: Database) -> None:
    """One change of an entry is let through: to less, marked so, in a job whose customer was erased.

    What it identifies, and the figures' writer, moment and kind stay; a record of an erasure itself never changes.
    Where a comparison has no answer the change is refused.
    """
    kept = ("seq", "id", "job", "device", "device_seq", "at", "kind", "schema", "received")
    allowed = (
        *(f"NEW.{name} IS OLD.{name}" for name in kept),
        "OLD.kind <> 'erase'",
        "(NEW.points_to IS OLD.points_to OR NEW.points_to IS NULL)",
        "length(NEW.body) <= length(OLD.body)",
        "NEW.extra ->> '$.erased' = 1",
        "EXISTS (SELECT 1 FROM entries e WHERE e.job = OLD.job AND e.kind = 'erase')",
    )
    _run(
        db,
        "CREATE INDEX entries_erase ON entries (job, id) WHERE kind = 'erase'",
        "DROP TRIGGER entries_stay",
        f"""CREATE TRIGGER entries_stay BEFORE UPDATE ON entries WHEN NOT coalesce({" AND ".join(allowed)}, 0)
            BEGIN SELECT RAISE(ABORT, 'an entry is never changed; correct it by another'); END""",
    )
