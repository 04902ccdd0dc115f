"""The tables and views of the book's file that say nothing the entries do not: made anew when they should
differ.

Owns job_teardowns and the views jobs, readings, moves and teardowns. Their columns are those of `columns`, so
they are no part of the migrations: where the file has them otherwise, as an older version made them, they are
dropped and made again, and every job is folded again to fill them.
"""

from sqlite_utils import Database

from bothends.model import fields

from .columns import TABLES, TEARDOWNS, kind_of

__all__ = ["AS_ENTERED", "OF_THE_SHEET", "current", "make"]

OF_THE_SHEET = ("title", "owner", "car", "hidden")
"""Columns of a teardown that stand in job_sheets."""
AS_ENTERED = ("value", "sd")
"""What the view readings has beside its columns, which have these by kind and unit."""
# Hand-over day has no after_km, which a unique index would take for another each time.
_KM = "coalesce(after_km, 0)"
_READING = (
    *("value", "sd", "method", "corrects"),
    *(*fields.names("log"), *fields.told("log")),
    *(f"pose.{name}" for name in (*fields.names("log.pose"), *fields.told("log.pose"))),
)
_MOVE = (
    "teardown",
    "axle",
    "corrects",
    *(f"{side}.{name}" for side in fields.SIDES for name in (*fields.ENDS, "turns")),
)


def _wanted() -> dict[str, str]:
    """What there should be: the name of each, and the statement that makes it."""
    kept = (column for column in TEARDOWNS if column.name not in OF_THE_SHEET)
    table = ", ".join(f"{column.name} {kind_of(column)}" for column in kept)
    stage = f"job, teardown, {_KM}"
    indexes = {
        "at": f"ON job_teardowns (at, {stage})",
        "car": f"ON job_teardowns (car_key, at, {stage})",
        "odds": "ON job_teardowns (odds) WHERE odds IS NOT NULL",
    }
    return {
        "job_teardowns": f"CREATE TABLE job_teardowns ({table}) STRICT",
        "job_teardowns_stage": f"CREATE UNIQUE INDEX job_teardowns_stage ON job_teardowns ({stage})",
        **{f"job_teardowns_{n}": f"CREATE INDEX job_teardowns_{n} {on}" for n, on in indexes.items()},
        "jobs": _view("jobs", "job_sheets"),
        "moves": _view("moves", _entries("move", _MOVE)),
        "readings": _view("readings", _entries("reading", _READING), *AS_ENTERED),
        "teardowns": _view("teardowns", f"({_stages()})"),
    }


def _entries(kind: str, paths: tuple[str, ...]) -> str:
    """Entries of a kind with what their bodies say, the job's words beside them, and whether they count."""
    body = ", ".join(f"e.body ->> '$.{path}' AS {path.replace('.', '_')}" for path in paths)
    words = ", ".join(f"j.{name}" for name in OF_THE_SHEET)
    return (
        f"(SELECT e.id, e.job, {words}, e.at, e.device, {body},"
        " EXISTS (SELECT 1 FROM job_holds h WHERE h.id = e.id) AS holds"
        f" FROM entries e LEFT JOIN job_sheets j USING (job) WHERE e.kind = '{kind}')"
    )


def _stages() -> str:
    """Rows of job_teardowns with the job's words beside them."""
    columns = ", ".join(f"{'j' if c.name in OF_THE_SHEET else 't'}.{c.name}" for c in TEARDOWNS)
    return f"SELECT {columns} FROM job_teardowns t JOIN job_sheets j USING (job)"


def _view(name: str, source: str, *more: str) -> str:
    columns = [f"{column.sql or column.name} AS {column.name}" for column in TABLES[name]]
    return f"CREATE VIEW {name} AS SELECT {', '.join((*columns, *more))} FROM {source}"


def _there(db: Database, names: list[str]) -> dict[str, str]:
    marks = ", ".join("?" for _ in names)
    found = db.execute(f"SELECT name, sql FROM sqlite_master WHERE name IN ({marks})", names)
    return dict(found.fetchall())


def current(db: Database) -> bool:
    """Whether the file has them as they should be."""
    wanted = _wanted()
    return _there(db, list(wanted)) == wanted


def make(db: Database) -> None:
    """Make them as they should be, in one transaction; nothing is done where they are."""
    wanted = _wanted()
    there = _there(db, list(wanted))
    if there == wanted:
        return
    with db.atomic():
        for name in TABLES:
            db.execute(f"DROP VIEW IF EXISTS {name}")
        of_table = [name for name in wanted if name not in TABLES]
        if any(there.get(name) != wanted[name] for name in of_table):
            db.execute("DROP TABLE IF EXISTS job_teardowns")
            db.execute("UPDATE job_sheets SET folded_seq = 0")
            for name in of_table:
                db.execute(wanted[name])
        for name in TABLES:
            db.execute(wanted[name])
