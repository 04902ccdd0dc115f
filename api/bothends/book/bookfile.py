"""The whole book as one file, and the way back: a heading line, then one entry a line, in order of arrival.

The same format as a phone's exported log ("bothends-log", version 1; web/book/file.js), which is one JSON object
with the entries in it; this is its layout in lines, for books of any size. Both sides read both layouts, packed
by gzip or not. The heading: format, version, made (RFC 3339), epoch, lines (how many entries follow) and
simulated, where the book is. An entry is the JSON that travels, every field it came with included.

Owns layout and report. Checking an entry is ``entries``' business, keeping it ``log``'s.
"""

import codecs
import gzip
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any, Literal, cast

import msgspec
from sqlite_utils import Database

from . import entries, erasing, log, simulated

__all__ = [
    "FORMAT",
    "OBJECT_BYTES",
    "BookFileError",
    "Heading",
    "Refused",
    "Report",
    "heading",
    "lines",
    "look",
    "pour",
    "unpack",
    "write_file",
    "write_to",
]

FORMAT = "bothends-log"
VERSION = 1
OBJECT_BYTES = 64 * 1024 * 1024
"""Largest file in the layout of one object, [bytes]; lines may be as many as there are."""
LINE_BYTES = entries.BYTES + 2
PAGE = 1000
PAGE_BYTES = 1024 * 1024
GZIP = b"\x1f\x8b"

REFUSED = {
    "other": ("other-content", "$.id", "the id is taken by a record with other content"),
    "full": ("job-full", "$.job", "its job has as many records as one may have"),
    "unfit": ("unfit", "$", "it cannot be kept"),
    "held": (
        "not-erased",
        "$.kind",
        "it would erase the customer of a job that is here; where that is meant, import the file with --erase",
    ),
}
"""Code, path and words of an entry that the log did not take."""

Write = Callable[[Callable[[Database], Any]], Any]
"""Runs some work as one transaction of the book that is filled."""


class BookFileError(Exception):
    """A file that is not such a log, or may not go into this book; nothing was taken."""


class Heading(msgspec.Struct, kw_only=True, omit_defaults=True):
    """The first line."""

    format: Literal["bothends-log"]
    version: int
    made: str = ""
    epoch: str = ""
    simulated: bool = False
    lines: int | None = None
    entries: list[msgspec.Raw] | None = None
    disputed: list[msgspec.Raw] | None = None


class Refused(msgspec.Struct, kw_only=True):
    """An entry that was not taken: where it stands in the file, and why."""

    line: int
    """Line of the file; in the layout of one object, which of its entries, counted from 1."""
    id: str
    code: str
    path: str
    detail: str


class Report(msgspec.Struct, kw_only=True):
    """What became of a file."""

    stored: int = 0
    known: int = 0
    """Entries that were there already: they changed nothing."""
    refused: list[Refused] = msgspec.field(default_factory=list)
    missing: int = 0
    """Entries that the heading promises and the file has not: it was cut off."""


def heading(db: Database, *, jobs: list[str] | None = None) -> bytes:
    """The first line of the book's file."""
    where, values = _of(jobs)
    count = db.execute(f"SELECT count(*) FROM entries {where}", values).fetchone()[0]
    found = {"format": FORMAT, "version": VERSION, "made": log.now(), "epoch": log.epoch(db), "lines": count}
    if simulated.marked(db):
        found["simulated"] = True
    return msgspec.json.encode(found) + b"\n"


def lines(db: Database, *, jobs: list[str] | None = None) -> Iterator[bytes]:
    """The heading, then every entry (or those of some jobs) as a line, in order of arrival."""
    yield heading(db, jobs=jobs)
    wanted = None if jobs is None else set(jobs)
    after = 0
    while page := log.since(db, after, PAGE):
        after = page[-1][0]
        for _, entry in page:
            if wanted is None or entry["job"] in wanted:
                yield msgspec.json.encode(entry) + b"\n"


def _of(jobs: list[str] | None) -> tuple[str, list[str]]:
    if jobs is None:
        return "", []
    return "WHERE job IN (SELECT value FROM json_each(?))", [msgspec.json.encode(jobs).decode()]


def look(file: IO[bytes]) -> None:
    """See that a file is such a log and, where it is packed, whole; it stands at its beginning afterwards.

    Raises
    ------
    BookFileError
        If it is not; nothing was taken.
    """
    try:
        plain = unpack(file)
        _rows(plain)
        while plain is not file and plain.read(PAGE_BYTES):
            pass
    except (EOFError, zlib.error, gzip.BadGzipFile) as error:
        raise BookFileError(f"the packed file is damaged or cut off: {error}; nothing was taken") from error
    file.seek(0)


def unpack(file: IO[bytes]) -> IO[bytes]:
    """The file's own bytes, where it is packed by gzip."""
    begins = file.read(2)
    file.seek(0)
    return cast(IO[bytes], gzip.GzipFile(fileobj=file)) if begins == GZIP else file


def pour(
    file: IO[bytes],
    write: Write,
    *,
    read: Callable[[bytes], dict[str, Any]] = entries.read,
    why: Callable[[Exception], tuple[str, str, str] | None] = lambda _: None,
    told: Callable[[int], None] = lambda _: None,
    erase: bool = False,
) -> Report:
    """Take a file's entries into a book: good ones by the hundred, each bad one named.

    Parameters
    ----------
    file : as a program reads it; packed or not
    write : runs a function of the open database as one transaction
    read : checks one entry, as ``entries.read``
    why : code, path and words of what ``read`` raised; None where it is nothing that ``read`` means
    told : hears how many entries were looked at, now and then
    erase : whether an erasure in the file takes words from a job that has some here; else it is refused

    Raises
    ------
    BookFileError
        If it is no such log, was written by a newer version, or is simulated where the book is not, or the
        other way round. An empty book becomes what the file is.
    """
    report = Report()
    try:
        plain = unpack(file)
        head, rows = _rows(plain)
        write(lambda db: _admit(db, head))
        batch: list[tuple[int, dict[str, Any]]] = []
        seen = 0
        for line, raw in rows:
            seen += 1
            try:
                batch.append((line, read(raw)))
            except Exception as error:
                report.refused.append(_refusal(line, raw, error, why))
            if len(batch) >= entries.BATCH:
                _take(write, batch, report, erase)
                batch = []
                told(seen)
        _take(write, batch, report, erase)
    except (EOFError, zlib.error, gzip.BadGzipFile) as error:
        raise BookFileError(
            f"the packed file is damaged or cut off: {error}; what came before is kept"
        ) from error
    report.missing = max(0, (head.lines or 0) - seen)
    return report


def _rows(file: IO[bytes]) -> tuple[Heading, Iterator[tuple[int, bytes]]]:
    # Some editors begin a file with a byte order mark.
    first = file.readline(OBJECT_BYTES + 1).removeprefix(codecs.BOM_UTF8)
    try:
        head = msgspec.json.decode(first, type=Heading)
    except (msgspec.DecodeError, msgspec.ValidationError, UnicodeDecodeError):
        head = _object(first + file.read(OBJECT_BYTES + 1))
    if head.version > VERSION:
        raise BookFileError(
            "this file was written by a newer version of the program; bring this one up to date first"
        )
    if head.entries is not None:
        within = [*head.entries, *(head.disputed or [])]
        return head, ((number, bytes(raw)) for number, raw in enumerate(within, 1))
    if head.lines is None:
        raise BookFileError("this file has no records; choose one that was exported by this program")
    return head, _lines(file)


def _object(whole: bytes) -> Heading:
    if len(whole) > OBJECT_BYTES:
        raise BookFileError("this file is not an export of this program, or too large to be one")
    try:
        return msgspec.json.decode(whole, type=Heading)
    except (msgspec.DecodeError, msgspec.ValidationError, UnicodeDecodeError) as error:
        raise BookFileError(
            f"this file is not an export of this program ({error}); choose one that was exported by it"
        ) from error


def _lines(file: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    number = 1
    while raw := file.readline(LINE_BYTES):
        number += 1
        whole = raw.endswith(b"\n")
        yield number, raw.strip()
        # The rest of a line that is too long to be an entry.
        while not whole and (rest := file.readline(LINE_BYTES)):
            whole = rest.endswith(b"\n")


def _admit(db: Database, head: Heading) -> None:
    if head.simulated == simulated.marked(db):
        return
    if log.last(db):
        which, other = ("simulated", "is not") if head.simulated else ("not simulated", "is")
        raise BookFileError(
            f"this file is {which} and the shop database {other}; the two are kept apart:"
            " use another folder (--data)"
        )
    if not head.simulated:
        raise BookFileError(
            "this shop database is for a simulated season and the file is of a real one; use another folder"
        )
    simulated.mark(db)


def _take(write: Write, batch: list[tuple[int, dict[str, Any]]], report: Report, erase: bool) -> None:
    def work(db: Database) -> list[log.Taken]:
        held = set() if erase else {entry["id"] for _, entry in batch if erasing.would_erase(db, entry)}
        return log.append_but(db, [entry for _, entry in batch], held)

    taken = write(work) if batch else []
    for (line, entry), what in zip(batch, taken, strict=True):
        if what.status == "stored":
            report.stored += 1
        elif what.status == "known":
            report.known += 1
        else:
            code, path, words = REFUSED[what.status]
            report.refused.append(
                Refused(line=line, id=entry["id"], code=code, path=path, detail=what.note or words)
            )


def _refusal(
    line: int, raw: bytes, error: Exception, why: Callable[[Exception], tuple[str, str, str] | None]
) -> Refused:
    found = why(error)
    if found is None and isinstance(error, entries.EntryError):
        found = error.code, error.path, error.detail
    if found is None and isinstance(error, (msgspec.DecodeError, UnicodeDecodeError, RecursionError)):
        found = "unfit", "$", str(error)
    if found is None:
        raise error
    return Refused(line=line, id=_id(raw), code=found[0], path=found[1], detail=found[2])


def _id(raw: bytes) -> str:
    """The id of an entry that is refused, where it has one that can be read."""
    try:
        name = msgspec.json.decode(raw)["id"]
    except Exception:
        return ""
    return name if isinstance(name, str) else ""


def write_file(
    db: Database,
    target: Path,
    *,
    jobs: list[str] | None = None,
    told: Callable[[int], None] = lambda _: None,
) -> int:
    """Write the book's file, packed where the name ends in .gz; how many entries; ``told`` as in ``pour``."""
    with target.open("wb") as plain:
        packed = gzip.GzipFile(fileobj=plain, mode="wb", mtime=0) if target.name.endswith(".gz") else None
        count = write_to(db, cast(IO[bytes], packed or plain), jobs=jobs, told=told)
        if packed:
            packed.close()
    return count


def write_to(
    db: Database,
    file: IO[bytes],
    *,
    jobs: list[str] | None = None,
    told: Callable[[int], None] = lambda _: None,
) -> int:
    """Write the book's lines to an open file; how many entries they are."""
    count = -1
    for line in lines(db, jobs=jobs):
        file.write(line)
        count += 1
        if count % PAGE == 0:
            told(count)
    return count
