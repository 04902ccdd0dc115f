"""The book of a running application: opened at its start, closed at its end, folded again when it has grown.

Knows no routes. Everything that touches the file happens on the store's threads, never on the event loop.
"""

import asyncio
import contextlib
import logging
import math
import sqlite3
import time
from collections.abc import AsyncIterator, Callable, Coroutine, Iterator
from contextlib import asynccontextmanager
from functools import partial
from typing import Any, TypeVar

from litestar import Litestar, Request
from sqlite_utils import Database

from bothends.book import folded, log, moved
from bothends.book.backup import BadCopyError
from bothends.book.schema import UnfitBookError
from bothends.book.store import BookFullError, BookInUseError, BookMovedError, Store

from ..http.problems import Refusal
from ..settings import Settings
from ..solver.pool import Pool

__all__ = ["OpenBook", "book_of", "no_job", "opened"]

T = TypeVar("T")
LOG = logging.getLogger("bothends")
FOLD_S = 60.0
"""How long a process may take to fold a job, [s]: a hundred times what the largest takes."""
MANY = folded.AT_ONCE
"""Jobs that a question waits for, however long: more grow at once by an import alone, read in the background."""
SURE = 5
"""Of an import's jobs those that a question waits for all the same: what grew last may be its asker's own."""
WAIT_S = 0.3
"""How long a question goes on reading an import's jobs beyond these, [s]: those worked on last are read with it."""
PART = 10
"""Jobs of an import that are read in one go: a question about another job waits for as many at most."""
QUIET_S = 0.5
"""Pause after a push before jobs are folded again: phones push in bursts, and lists fold for themselves."""


class OpenBook:
    """One open book.

    Attributes
    ----------
    watchers : called after every write
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._folding: asyncio.Task[None] | None = None
        self._turn = asyncio.Lock()
        self._catching_up: set[asyncio.Task[None]] = set()
        self._folders = Pool(size=1, waiting=2, seconds=FOLD_S)
        # Jobs whose last entry is up to this number are read in the background; 0 where none are.
        self._bulk = 0
        self._reading: asyncio.Task[None] | None = None
        self._closing = False
        self._opening = asyncio.Lock()
        self.watchers: list[Callable[[], None]] = []

    async def read(self, work: Callable[[Database], T]) -> T:
        """Run a read of the book.

        Raises
        ------
        Refusal
            book-moved, where its file was deleted or replaced.
        """
        async with self._open() as store:
            return await store.reading(work)

    async def write(self, work: Callable[[Database], T]) -> T:
        """Run a write of the book; what it wrote has reached the disk when this returns.

        Raises
        ------
        Refusal
            no-room, where nothing could be kept; book-moved, where its file was deleted or replaced.
        """
        async with self._open() as store:
            with _told():
                done = await store.writing(work)
        for written in self.watchers:
            written()
        return done

    @asynccontextmanager
    async def _open(self) -> AsyncIterator[Store]:
        """The open book; where its file has gone, what is there now is opened, and this request asks again."""
        store = self._store
        try:
            yield store
        except BookMovedError as error:
            async with self._opening:
                if self._store is store:
                    LOG.error("%s", error)
                    await self._again(store)
            raise Refusal(
                "book-moved",
                f"{error}; nothing of this was kept",
                remedy="Ask again. What the old file held is kept in the data folder.",
                headers={"Retry-After": "1"},
            ) from error

    async def _again(self, store: Store) -> None:
        try:
            self._store, kept = await asyncio.to_thread(moved.again, store)
            LOG.error("opened anew%s", f"; what was there before is {kept}" if kept else "")
        except (BadCopyError, BookInUseError, UnfitBookError, OSError, sqlite3.Error) as error:
            LOG.error("the shop database cannot be opened anew: %s", error)

    async def fresh(self, *, whole: bool = False) -> None:
        """Bring lists and history up to date with every entry that was answered for before this was called.

        So no device reads a list that is older than what it has pushed, and none waits for what others push
        meanwhile. Jobs are folded on a thread of the store's that reads, large ones in a process of their own:
        there they take no turn from the threads that answer. A caller that goes away does not stop it.

        Where more than MANY jobs have grown, which takes an import, the SURE ones that grew last are waited for, as
        many more as are read within WAIT_S, and the rest is read in the background: an answer then says how many
        are still to be read (``unread``). Who must have the ``whole`` waits for all.
        """
        if whole:
            await self._shielded(self._catch_up())
            return
        ends = 0.0
        if await self.read(lambda db: folded.behind(db, self._bulk)) > MANY:
            self._bulk = await self.read(lambda db: folded.newest(db, SURE))
            ends = time.monotonic() + WAIT_S
        await self._shielded(self._catch_up(self._bulk))
        if time.monotonic() < ends:
            await self._shielded(self._catch_up(ends=ends))
        if self._bulk and self._reading is None and not self._closing:
            self._reading = asyncio.get_running_loop().create_task(self._read_bulk())

    def unread(self, db: Database) -> int:
        """How many jobs are still to be read in the background: lists lack them, or have them as they were."""
        return folded.behind(db, 0, self._bulk) if self._bulk else 0

    def waiting(self, db: Database) -> int:
        """The same for who has not asked for ``fresh`` rows: what an import brought waits for who does."""
        behind = folded.behind(db)
        return self.unread(db) or (behind if behind > MANY else 0)

    async def _shielded(self, work: Coroutine[Any, Any, None]) -> None:
        task = asyncio.get_running_loop().create_task(work)
        self._catching_up.add(task)
        task.add_done_callback(self._catching_up.discard)
        await asyncio.shield(task)

    async def _read_bulk(self) -> None:
        """Read what an import brought, part by part, in a process of its own."""
        try:
            with contextlib.suppress(Refusal):
                await self._catch_up(background=True)
                self._bulk = self._bulk if self._closing else 0
        finally:
            self._reading = None

    async def _catch_up(self, after: int = 0, *, ends: float = math.inf, background: bool = False) -> None:
        """Bring up to date the jobs with entries after a number; until a moment of the monotonic clock, [s]."""
        upto = await self.read(log.last)
        elsewhere = partial(self._elsewhere, asyncio.get_running_loop())
        most = folded.AT_ONCE if ends == math.inf and not background else PART
        more = True
        while more and time.monotonic() < ends and not (background and self._closing):
            # One at a time: a second one would fold the same jobs.
            async with self._turn, self._open() as store:
                with _told():
                    more = await asyncio.to_thread(
                        folded.part,
                        store.read,
                        store.write,
                        upto,
                        after=after,
                        most=most,
                        elsewhere=elsewhere,
                        all_elsewhere=background,
                    )

    def _elsewhere(self, loop: asyncio.AbstractEventLoop, job: str) -> folded.Change:
        """Fold a large job, asked by the thread that catches up."""
        try:
            asked = self._folders.change(self._store.path.parent, job)
            return asyncio.run_coroutine_threadsafe(asked, loop).result()
        except (Refusal, RuntimeError, OSError):
            LOG.exception("job %s could not be folded in a process of its own", job)
            return self._store.read(partial(folded.change_of, job=job))

    def grown(self) -> None:
        """Fold soon, for whoever looks at the file with another program."""
        if self._folding is None or self._folding.done():
            self._folding = asyncio.get_running_loop().create_task(self._fold_soon())

    async def _fold_soon(self) -> None:
        await asyncio.sleep(QUIET_S)
        # A disk without room has been told to whoever pushed.
        with contextlib.suppress(Refusal):
            await self.fresh()

    async def close(self) -> None:
        """Fold what has grown, but for what is read in the background, and close the file."""
        self._closing = True
        if self._folding is not None:
            self._folding.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._folding
        if self._reading is not None:
            # Its thread waits for this loop: it ends with the part that it is at.
            await self._reading
        with contextlib.suppress(Refusal):
            await self.fresh()
        await self._folders.close()
        await asyncio.to_thread(self._store.close)


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Say of a full disk what to do about it."""
    try:
        yield
    except BookFullError as error:
        raise Refusal(
            "no-room",
            str(error),
            remedy="Make room on the shop's disk; until then phones keep what they have.",
        ) from error


@asynccontextmanager
async def opened(app: Litestar) -> AsyncIterator[None]:
    """The application's book while it runs, where it was told to keep one."""
    settings: Settings = app.state.settings
    if settings.data is None:
        yield
        return
    app.state.book = OpenBook(await asyncio.to_thread(Store, settings.data))
    # What an import brought while the app did not run, or was not read before it was stopped.
    if await app.state.book.read(folded.stale):
        app.state.book.grown()
    try:
        yield
    finally:
        await app.state.book.close()


def book_of(request: Request[Any, Any, Any]) -> OpenBook:
    """The book behind a request.

    Raises
    ------
    Refusal
        no-book, where the server keeps none.
    """
    kept: OpenBook | None = request.app.state.get("book")
    if kept is None:
        raise Refusal("no-book", "this server has no shop database", remedy="Start it with --data DIR.")
    return kept


def no_job(job: str) -> Refusal:
    """The refusal where a job has no entries here."""
    return Refusal("not-found", f"no record of a job {job} has arrived here")
