"""Who waits for news of the book, and the one look at it that serves all of them.

Owns how many may wait, from one network and in all, and when they are told: at once where this program wrote,
within ``LOOK_S`` where another one did (the command line writes to the same file). A device has one place: where it
comes again, from another page or after its network went, the older place ends. It ends too with the access of the
device, when its connection is gone and when the server stops. Knows no routes; what is told is ``news``'s to write.
"""

import asyncio
import contextlib
import sqlite3
from collections import Counter
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial

import msgspec
from litestar import Litestar
from sqlite_utils import Database

from bothends.book import devices, log
from bothends.book.store import BookMovedError

from ..http.network import is_own, network_of
from ..http.problems import Refusal
from ..settings import Settings
from .open_book import OpenBook

__all__ = ["Listener", "Listening", "State", "opened"]

LOOK_S = 2.0
"""How often the book is looked at for what other programs wrote to it, while anybody listens, [s]."""
APART_S = 0.1
"""Pause between two looks, [s]: a phone that pushes a thousand records in batches is told of a few times."""
AGAIN_S = 60
"""When to come back where all places are taken, [s]."""


class State(msgspec.Struct, frozen=True):
    """How far a book has come: its epoch, and the number of its last entry."""

    epoch: str
    last: int


class Listener:
    """One that listens.

    Attributes
    ----------
    device : its id
    network : whose its connection is; None for this machine itself
    over : whether it is to be told nothing more
    """

    def __init__(self, device: str, network: str | None) -> None:
        self.device = device
        self.network = network
        self.over = False
        self._woken = asyncio.Event()

    def wake(self) -> None:
        """There is something to tell."""
        self._woken.set()

    def end(self) -> None:
        """Tell it nothing more."""
        self.over = True
        self._woken.set()

    async def waits(self, seconds: float) -> None:
        """Return when there is something to tell, when it is over, or after so many seconds."""
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                await self._woken.wait()
        self._woken.clear()


class Listening:
    """All listeners of one open book.

    Parameters
    ----------
    book : what they listen to
    most, each : how many may listen in all, and from one network; this machine is not counted by network, since a
        proxy in front comes from there
    """

    def __init__(self, book: OpenBook, *, most: int, each: int) -> None:
        self._book = book
        self._most = most
        self._each = each
        self._listeners: dict[str, Listener] = {}
        self._networks: Counter[str] = Counter()
        self._stirred = asyncio.Event()
        self._turn = asyncio.Lock()
        self._looking: asyncio.Task[None] | None = None
        self._state: State | None = None
        self._closed = False
        book.watchers.append(self._stirred.set)

    def __len__(self) -> int:
        """How many listen."""
        return len(self._listeners)

    async def join(self, device: str, host: str) -> Listener:
        """Take a place for a device, from where it asks.

        Raises
        ------
        Refusal
            too-many-streams, with Retry-After.
        """
        network = None if is_own(host) else network_of(host)
        if device in self._listeners:
            self.leave(self._listeners[device])
        if len(self._listeners) >= self._most or (network and self._networks[network] >= self._each):
            raise Refusal(
                "too-many-streams",
                "as many devices as may are waiting for news here",
                remedy="Ask for /api/entries now and then instead.",
                headers={"Retry-After": str(AGAIN_S)},
            )
        listener = Listener(device, network)
        if self._closed:
            listener.end()
            return listener
        self._listeners[device] = listener
        if network:
            self._networks[network] += 1
        try:
            # As it is now: what was seen when nobody listened may be old.
            await self._see()
        except BaseException:
            self.leave(listener)
            raise
        if self._looking is None or self._looking.done():
            self._looking = asyncio.get_running_loop().create_task(self._look())
        return listener

    def leave(self, listener: Listener) -> None:
        """Give a place back; again changes nothing."""
        listener.end()
        if self._listeners.get(listener.device) is not listener:
            return
        del self._listeners[listener.device]
        if listener.network:
            self._networks[listener.network] -= 1
            if not self._networks[listener.network]:
                del self._networks[listener.network]

    async def states(self, listener: Listener, beat_s: float) -> AsyncIterator[State]:
        """How far the book is: now, whenever that changes, and every ``beat_s``, until the listener is over."""
        while not listener.over:
            if self._state is not None:
                yield self._state
            await listener.waits(beat_s)

    async def close(self) -> None:
        """End all."""
        self._closed = True
        self._book.watchers.remove(self._stirred.set)
        for listener in list(self._listeners.values()):
            self.leave(listener)
        if self._looking is not None:
            self._looking.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._looking

    async def _look(self) -> None:
        while self._listeners:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(LOOK_S):
                    await self._stirred.wait()
            self._stirred.clear()
            # A book that has moved is being opened anew, and is there at the next look.
            with contextlib.suppress(Refusal, BookMovedError, sqlite3.Error):
                await self._see()
            await asyncio.sleep(APART_S)

    async def _see(self) -> None:
        """Look at the book: wake whom that concerns, end whoever has no access any more."""
        # One at a time, so that what was seen first never takes the place of what was seen last.
        async with self._turn:
            asked = list(self._listeners.values())
            seen = partial(_seen, names=[one.device for one in asked])
            state, allowed = await self._book.read(seen)
            changed, self._state = state != self._state, state
            for listener in asked:
                if listener.device not in allowed:
                    self.leave(listener)
                elif changed:
                    listener.wake()


def _seen(db: Database, names: list[str]) -> tuple[State, set[str]]:
    return State(log.epoch(db), log.last(db)), devices.allowed(db, names)


@asynccontextmanager
async def opened(app: Litestar) -> AsyncIterator[None]:
    """Those who listen to the application's book, where it has one; inside of ``open_book.opened``."""
    book: OpenBook | None = app.state.get("book")
    if book is None:
        yield
        return
    settings: Settings = app.state.settings
    listening = Listening(book, most=settings.listeners, each=settings.listeners_each)
    app.state.listening = listening
    try:
        yield
    finally:
        await listening.close()
