"""/api/backup: copies of the shop database by the day, made while the app runs, and the last good one."""

import asyncio
import contextlib
import logging
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Annotated, Any

import msgspec
from litestar import Litestar, Request, get, post
from msgspec import Meta

from bothends.book import copies
from bothends.book.backup import BadCopyError
from bothends.book.log import stamp

from ..http.problems import Refusal, documented
from . import access
from .open_book import book_of

__all__ = ["Copies", "copied", "make", "opened"]

LOG = logging.getLogger("bothends")
FIRST_S = 120.0
"""A shop that has just been switched on has other things to do."""
EVERY_S = 3600.0


class Backup(msgspec.Struct, kw_only=True):
    """The last good copy, and whether there is something to see to."""

    last_at: Annotated[
        str | None, Meta(description="When it was made and checked; null where there is none.")
    ]
    size: Annotated[int | None, Meta(description="Its size, bytes.")]
    folder: Annotated[str, Meta(description="Where copies are, on the machine of the server.")]
    same_disk: Annotated[
        bool, Meta(description="Whether that is the disk of the shop database itself, which dies with it.")
    ]
    old: Annotated[bool, Meta(description=f"Whether it is more than {copies.OLD_DAYS} days old, or none.")]
    trouble: Annotated[str, Meta(description="Why the last try failed; empty where it did not.")]


class Copies:
    """Makes a copy of the book a day while the app runs, and one when asked to."""

    def __init__(self, data: Path, folder: Path) -> None:
        self._data = data
        self._folder = folder
        self._turn = asyncio.Lock()
        self._trouble = ""

    async def make(self) -> None:
        """Make one now; what went wrong is told by ``said``."""
        async with self._turn:
            try:
                await asyncio.to_thread(copies.make, self._data, self._folder, datetime.now(UTC))
                self._trouble = ""
            except (BadCopyError, OSError, sqlite3.Error) as error:
                self._trouble = str(error)
                LOG.error("no copy of the shop database could be made: %s", error)

    async def daily(self) -> None:
        """Make one a day, as long as this is not cancelled."""
        await asyncio.sleep(FIRST_S)
        while True:
            if await asyncio.to_thread(copies.due, self._data, self._folder, datetime.now(UTC)):
                await self.make()
            await asyncio.sleep(EVERY_S)

    def said(self) -> Backup:
        """The last good copy."""
        newest = copies.last(self._folder)
        past = datetime.now(UTC) - timedelta(days=copies.OLD_DAYS)
        return Backup(
            last_at=stamp(newest.at) if newest else None,
            size=newest.size if newest else None,
            folder=str(self._folder),
            same_disk=copies.same_disk(self._data, self._folder),
            old=newest is None or newest.at < past,
            trouble=self._trouble,
        )


@asynccontextmanager
async def opened(app: Litestar) -> AsyncIterator[None]:
    """Copies as long as the application runs."""
    settings = app.state.settings
    if settings.data is None:
        yield
        return
    kept = Copies(settings.data, settings.copies or settings.data / copies.FOLDER)
    app.state.copies = kept
    task = asyncio.create_task(kept.daily())
    try:
        yield
    finally:
        task.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await task


def _of(request: Request[Any, Any, Any]) -> Copies:
    """The copies of the book behind a request.

    Raises
    ------
    Refusal
        no-book, where the server keeps none.
    """
    book_of(request)
    kept: Copies = request.app.state.copies
    return kept


@get(
    "/api/backup",
    operation_id="backup",
    summary="The last good copy of the shop database",
    description="One is made a day while the app runs. `bothends restore` puts one back.",
    responses=documented(*access.ENDS),
    guards=[access.needs_key],
    security=access.KEY,
)
async def copied(request: Request[Any, Any, Any]) -> Backup:
    """When it was made, and where it is."""
    return await asyncio.to_thread(_of(request).said)


@post(
    "/api/backup",
    operation_id="make_backup",
    summary="Copy the shop database now",
    description="It takes the place of an earlier one of the same day.",
    status_code=200,
    responses=documented(*access.ENDS, "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def make(request: Request[Any, Any, Any]) -> Backup:
    """Make one, and say how it went."""
    await _of(request).make()
    told = await asyncio.to_thread(_of(request).said)
    if told.trouble:
        raise Refusal(
            "no-room",
            f"no copy could be made: {told.trouble}",
            remedy="Make room on the disk of the copies, or give another folder with --copies.",
        )
    return told
