"""/api/export: tables of the book for other programs, and the whole book as one file.

Owns the addresses and media types. What stands in them is the book's business (``export``, ``bookfile``). A
file is written on the disk first, of one moment of the book, and sent from there: a book of years does not
pass through memory, and a slow reader keeps nobody waiting.
"""

import asyncio
import tempfile
from collections.abc import AsyncIterator, Callable, Iterator
from typing import IO, Annotated, Any

from litestar import Request, Response, get
from litestar.params import PathParameter
from litestar.response import Stream
from sqlite_utils import Database

from bothends.book import bookfile, export

from ..http.problems import Refusal, documented
from ..wire.table import Table
from . import access
from .headers import VARIES
from .open_book import OpenBook, book_of
from .parameters import CSV, Day

__all__ = ["book", "one_table"]

LINES = "application/jsonl"
CHUNK = 256 * 1024


Name = Annotated[
    str,
    PathParameter(pattern=f"^({'|'.join(sorted(export.TABLES))})$", description="Which table.", max_length=9),
]


@get(
    "/api/export/book",
    operation_id="exportBook",
    summary="The whole shop database as one file",
    description=(
        "JSON Lines: a heading (format, version, epoch, how many lines follow), then every record in order of"
        " arrival. With since or until the jobs that were worked on between these days, whole. The command"
        " import, the page and POST /api/entries take entries in again; those that are known change nothing."
    ),
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    media_type=LINES,
)
async def book(request: Request[Any, Any, Any], since: Day = "", until: Day = "") -> Response[str]:
    """The book's file, as of one moment."""
    kept = book_of(request)
    if since or until:
        await kept.fresh(whole=True)

    def pieces(db: Database) -> Iterator[bytes]:
        return bookfile.lines(db, jobs=export.jobs_between(db, since=since, until=until))

    return await _sent(kept, pieces, LINES)


@get(
    "/api/export/{name:str}",
    operation_id="exportTable",
    summary="A table of the shop database",
    description=(
        "Jobs, readings, moves or teardowns, as JSON or with Accept: text/csv as CSV (RFC 4180), units in the"
        " headings. In CSV a text that a spreadsheet would take for a formula has an apostrophe in front."
    ),
    responses=documented(*access.ENDS, "bad-parameter", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    response_headers=[VARIES],
    opt={"also": CSV},
)
async def one_table(
    request: Request[Any, Any, Any], name: Name, since: Day = "", until: Day = ""
) -> Response[Table]:
    """One table, whole, as of one moment."""
    kept = book_of(request)
    await kept.fresh(whole=True)
    csv = request.accept.best_match(["application/json", CSV]) == CSV

    def pieces(db: Database) -> Iterator[bytes]:
        return (export.as_csv if csv else export.as_json)(db, name, since=since, until=until)

    return await _sent(kept, pieces, f"{CSV}; header=present" if csv else "application/json")


async def _sent(
    kept: OpenBook, pieces: Callable[[Database], Iterator[bytes]], media_type: str
) -> Response[Any]:
    """Write a file of one moment of the book, and send it piece by piece.

    The file has no name: it is gone when it is closed, however that comes about.
    """

    def write(db: Database) -> IO[bytes]:
        file = tempfile.TemporaryFile()  # noqa: SIM115 (closed by whoever sends it)
        try:
            file.writelines(pieces(db))
            file.flush()
        except BaseException:
            file.close()
            raise
        return file

    try:
        file = await kept.read(write)
    except OSError as error:
        raise Refusal(
            "no-room",
            f"the file cannot be written: {error.strerror}",
            remedy="Make room on the shop's disk, or export a part: since, until.",
        ) from error
    size = file.tell()
    file.seek(0)
    headers = {"Vary": "Accept", "Cache-Control": "no-store", "Content-Length": str(size)}
    stream: Any = Stream(lambda: _chunks(file), media_type=media_type, headers=headers)
    answer: Response[Any] = stream
    return answer


async def _chunks(file: IO[bytes]) -> AsyncIterator[bytes]:
    with file:
        while chunk := await asyncio.to_thread(file.read, CHUNK):
            yield chunk
