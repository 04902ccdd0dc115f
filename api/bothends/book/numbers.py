"""The short number by which people at a shop call a job: given as its first record arrives, never to another.

Owns the table job_numbers. A number stays with its job whatever becomes of the job's records, so that a sheet
of paper means the same job for as long as it is kept; another shop's database counts for itself. Functions of
an open database, run by ``store``.
"""

from collections.abc import Iterable

from sqlite_utils import Database

__all__ = ["give", "of"]


def give(db: Database, jobs: Iterable[str]) -> None:
    """Number the jobs that have none yet, in the order given."""
    for job in jobs:
        if db.conn.execute("SELECT 1 FROM job_numbers WHERE job = ?", [job]).fetchone() is None:
            db.conn.execute("INSERT INTO job_numbers (job) VALUES (?)", [job])


def of(db: Database, jobs: Iterable[str]) -> dict[str, int]:
    """The numbers of these jobs; none for a job that has no record here."""
    names = list(jobs)
    marks = ", ".join("?" for _ in names)
    found = db.conn.execute(f"SELECT job, number FROM job_numbers WHERE job IN ({marks})", names)
    return {str(job): int(number) for job, number in found.fetchall()}
