"""The commands export, import and demo: the book as files, files as entries, a season to look at.

Owns what they do to files and what they say. The formats are the book's (``export``, ``bookfile``), the season
is ``book.season``'s. All of them work beside a running server.
"""

import itertools
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import IO, Any

from sqlite_utils import Database

from bothends.book import bookfile, devices, export, folded, log, photo_files, photos, season, simulated
from bothends.book.schema import UnfitBookError
from bothends.book.store import BOOK, BookFullError, BookInUseError, Store, glance, visit

from .outcome import BAD_INPUT, FAILED, failed
from .stream import Progress, progress

__all__ = ["FORMATS", "bring_in", "fill_demo", "take_out"]

FORMATS = ("csv", "json")
SHOWN = 20
"""Refused entries that are named one by one."""
TROUBLES = (BookFullError, BookInUseError, UnfitBookError, sqlite3.DatabaseError)


def take_out(
    data: Path,
    target: Path,
    *,
    tables: list[str] | None,
    formats: list[str],
    since: str = "",
    until: str = "",
) -> int:
    """Write the book, or tables of it, to a folder or a file; the exit code.

    A folder gets a file of every table in every format and the whole book; a file is what its name ends in:
    the whole book (.jsonl, .jsonl.gz), or one table (.csv, .json).
    """
    if not (data / BOOK).exists():
        return failed(f"there is no shop database in {data}", BAD_INPUT)
    if since and until and since > until:
        return failed(f"--since {since} is after --until {until}; change one of them", BAD_INPUT)
    if str(target) == "-":
        return _stream_out(data, tables, formats, since, until)
    plan = _plan(target, tables, formats)
    if isinstance(plan, str):
        return failed(plan, BAD_INPUT)
    if there := [path for path, _, _ in plan if path.exists()]:
        return failed(f"{there[0]} is there already; name another, or move it away", BAD_INPUT)
    try:
        _fresh(data)
        plan[0][0].parent.mkdir(parents=True, exist_ok=True)
        with progress("writing") as told:
            counts, words = glance(
                data, lambda db: (_write(db, plan, since, until, told), _photos(db, plan, since, until))
            )
    except (*TROUBLES, OSError) as error:
        return failed(error)
    for (path, _, _), count in zip(plan, counts, strict=True):
        print(f"{path}: {count}")
    if words:
        print(words)
    return 0


def _photos(db: Database, plan: list[tuple[Path, str, str]], since: str, until: str) -> str:
    """Write the photos beside the whole book where that goes into a folder; what is to be said of them."""
    book = next((path for path, table, _ in plan if table == "book"), None)
    if book is None:
        return ""
    jobs = export.jobs_between(db, since=since, until=until)
    if len(plan) == 1 and book.name != "book.jsonl":
        count = sum(1 for _ in photos.names(db, jobs))
        return (
            f"photos that are not in it: {count}; an export to a folder and a backup have them"
            if count
            else ""
        )
    folder = book.parent / photo_files.FOLDER
    count = photo_files.write(db, folder, jobs=jobs)
    return f"{folder}: {count} photos" if count else ""


def _fresh(data: Path) -> None:
    """Bring the tables of a book up to date."""
    if visit(data, folded.stale):
        folded.catch_up(partial(glance, data), partial(visit, data))


def _stream_out(data: Path, tables: list[str] | None, formats: list[str], since: str, until: str) -> int:
    """Write one table, or the whole book, to standard output; the exit code."""
    out = sys.stdout.buffer
    whole = tables is None or tables == ["book"]
    if not whole and (len(tables or ()) != 1 or len(formats) != 1):
        words = f"--table {' or '.join(export.TABLES)} and --format {' or '.join(FORMATS)}"
        return failed(f"standard output takes one table in one format; say which: {words}", BAD_INPUT)

    def write(db: Database) -> None:
        if whole:
            bookfile.write_to(db, out, jobs=export.jobs_between(db, since=since, until=until))
        else:
            make: Callable[..., Iterator[bytes]] = export.as_csv if formats == ["csv"] else export.as_json
            out.writelines(make(db, (tables or [""])[0], since=since, until=until))

    try:
        _fresh(data)
        glance(data, write)
    except BrokenPipeError:
        raise
    except (*TROUBLES, OSError) as error:
        return failed(error)
    return 0


def _plan(target: Path, tables: list[str] | None, formats: list[str]) -> list[tuple[Path, str, str]] | str:
    """Which files to write, each with its table and format; or what is wrong with the choice."""
    name = target.name
    if not target.is_dir():
        if name.endswith((".jsonl", ".jsonl.gz")):
            return [(target, "book", "jsonl")]
        ending = target.suffix.removeprefix(".")
        if ending in FORMATS:
            if tables is None or len(tables) != 1 or tables[0] == "book":
                return f"{name} takes one table; say which: --table {' or '.join(export.TABLES)}"
            return [(target, tables[0], ending)]
        if ending:
            return f"{name}: a file ends in .csv, .json, .jsonl or .jsonl.gz; a folder has no ending"
    wanted = tables or [*export.TABLES, "book"]
    out = [
        (target / f"{table}.{form}", table, form) for table in wanted if table != "book" for form in formats
    ]
    return out + ([(target / "book.jsonl", "book", "jsonl")] if "book" in wanted else [])


def _write(
    db: Database, plan: list[tuple[Path, str, str]], since: str, until: str, told: Progress
) -> list[str]:
    """Write all files of one moment of the book, each under another name until it is whole."""
    counts = []
    for path, table, form in plan:
        part = path.with_name(path.name + ".part.gz" if path.name.endswith(".gz") else path.name + ".part")
        try:
            if table == "book":
                only = export.jobs_between(db, since=since, until=until)
                counts.append(f"{bookfile.write_file(db, part, jobs=only, told=told)} records")
            else:
                make: Callable[..., Iterator[bytes]] = export.as_csv if form == "csv" else export.as_json
                with part.open("wb") as file:
                    file.writelines(make(db, table, since=since, until=until))
                counts.append(f"{sum(1 for _ in export.rows(db, table, since=since, until=until))} rows")
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    return counts


def why(error: Exception) -> tuple[str, str, str] | None:
    """Code, path and words of an entry's refusal."""
    from ..http.problems import Refusal

    if not isinstance(error, Refusal):
        return None
    problem = error.problem
    return problem.code, problem.path if isinstance(problem.path, str) else "$", problem.detail


@contextmanager
def _opened(source: Path) -> Iterator[IO[bytes]]:
    """A file that can be read twice; - is standard input."""
    if str(source) != "-":
        with source.open("rb") as file:
            yield file
        return
    with tempfile.TemporaryFile() as kept:
        shutil.copyfileobj(sys.stdin.buffer, kept)
        kept.seek(0)
        yield kept


def bring_in(data: Path, source: Path, *, erase: bool = False) -> int:
    """Take the entries of a file into the book; the exit code is FAILED where some were refused or are missing.

    ``erase`` lets erasures in it take words from jobs that are here.
    """
    # Their reading hangs on the web framework, which takes most of a second to load: the other commands do without.
    from ..api import entries

    try:
        with _opened(source) as file, progress("importing") as told:
            # A file that is refused leaves nothing behind, not even an empty shop database.
            bookfile.look(file)
            if not (data / BOOK).exists():
                Store(data).close()
            report = bookfile.pour(
                file, lambda work: visit(data, work), read=entries.read, why=why, told=told, erase=erase
            )
            pictures = _bring_photos(data, source, file)
    except bookfile.BookFileError as error:
        return failed(f"{source}: {error}", BAD_INPUT)
    except (*TROUBLES, OSError) as error:
        return failed(error)
    print(
        f"{source}: {report.stored} records new, {report.known} known already, {len(report.refused)} refused"
    )
    if pictures:
        print(pictures)
    for row in report.refused[:SHOWN]:
        who = f" {row.id}" if row.id else ""
        print(f"  line {row.line}{who}: {row.detail}, at {row.path} ({row.code})", file=sys.stderr)
    if len(report.refused) > SHOWN:
        print(f"  and {len(report.refused) - SHOWN} more", file=sys.stderr)
    if report.missing:
        print(
            f"  the file was cut off: {report.missing} records that it lists are missing",
            file=sys.stderr,
        )
    return FAILED if report.refused or report.missing else 0


def _bring_photos(data: Path, source: Path, file: IO[bytes]) -> str:
    """Take the photos inside a phone's file, and of the folder beside an exported book; what is to be said."""
    file.seek(0)
    inside = bookfile.unpack(file).read(bookfile.OBJECT_BYTES + 1)
    images = itertools.chain(
        photo_files.in_object(inside) if len(inside) <= bookfile.OBJECT_BYTES else (),
        photo_files.read(source.parent / photo_files.FOLDER) if str(source) != "-" else (),
    )
    new, refused, why = photo_files.bring_in(lambda work: visit(data, work), images)
    words = f"photos: {new} new" if new or refused else ""
    return words + (f", {refused} refused: {why}" if refused else "")


def _admitted(db: Database) -> bool:
    """Whether the book may hold the season: it does already, or nobody has used it; marked from now on."""
    if not simulated.marked(db) and (log.last(db) or devices.anybody(db)):
        return False
    simulated.mark(db)
    return True


def fill_demo(data: Path) -> int:
    """Put the season of Slipway Garage into a folder of its own; the exit code."""
    try:
        with Store(data) as store:
            if not store.write(_admitted):
                words = f"{data} has a shop database of its own; the demo season needs another folder (--data DIR)"
                return failed(words, BAD_INPUT)
            if not store.read(season.there):
                found: Any = season.entries()
                store.write(lambda db: season.fill(db, found))
                folded.catch_up(store.read, store.write)
    except (*TROUBLES, OSError) as error:
        return failed(error)
    print(f"{simulated.WORDS}. The database is in {data}.", flush=True)
    return 0
