"""bothends erase: a customer erased on request from the command line, also while the app runs.

Owns what it says. Without --yes it only shows what would go; what it does is ``book.erasures``' business.
"""

import argparse
import sqlite3
from functools import partial
from pathlib import Path

from sqlite_utils import Database

from bothends.book import copies, erasures, folded
from bothends.book.schema import UnfitBookError
from bothends.book.store import BOOK, BookFullError, BookInUseError, glance, visit
from bothends.book.visits import with_visits

from .home import data_home
from .outcome import BAD_INPUT, failed

__all__ = ["LEFT", "erase"]

LEFT = (
    f"Daily copies of the shop database made before hold it for up to {copies.LONGEST_DAYS} days, and lose it when"
    " they are restored. Files, pages and long links made before cannot be recalled: delete those you have, and"
    " files book-replaced-… in the data folder"
)
"""What no erasure reaches."""


def erase(options: argparse.Namespace) -> int:
    """Show what would be erased, or erase it; the exit code."""
    data = options.data or data_home()
    if not (data / BOOK).exists():
        return failed(f"there is no shop database in {data}", BAD_INPUT)
    try:
        if visit(data, folded.stale):
            folded.catch_up(partial(glance, data), partial(visit, data))
        found = glance(data, lambda db: _looked(db, options.jobs, options.visits))
        lacking = [job for job in options.jobs if job not in {one.job for one in found}]
        if lacking:
            return failed(f"there is no job {lacking[0]}; nothing was erased", BAD_INPUT)
        for one in found:
            _show(one)
        if not options.yes:
            print("Nothing was erased. To erase these words give --yes; it cannot be undone.")
            return 0
        _do(data, [one.job for one in found], options.car)
    except (BookFullError, BookInUseError, UnfitBookError, sqlite3.DatabaseError, OSError) as error:
        return failed(error)
    return 0


def _looked(db: Database, jobs: list[str], visits: bool) -> list[erasures.Look]:
    wanted = [each for job in jobs for each in (with_visits(db, job) if visits else [job])]
    return [found for job in dict.fromkeys(wanted) if (found := erasures.look(db, job))]


def _show(one: erasures.Look) -> None:
    words = ", ".join(word for word in (one.title, one.owner, one.plate, one.car) if word) or "no name"
    print(f"{one.job}: {words}; {one.entries} records have words of or about a person")


def _do(data: Path, jobs: list[str], car: str) -> None:
    cars = dict.fromkeys(jobs, car)
    done = visit(data, lambda db: erasures.erase(db, jobs, device=erasures.SHOP, cars=cars))
    folded.catch_up(partial(glance, data), partial(visit, data))
    for one in done:
        print(f"{one.job}: customer erased on {one.at}; {one.entries} records lost words, figures stand")
    print(f"{LEFT}.")
