"""One connection's patience: a client that is slow to say what it wants is let go.

Owns the time that the head of a request may take, on a new connection and on one that was used before; the time
of a body is the ``guard``'s. Without it a client that sends a letter a minute would hold a connection for ever.
Tells the ``door`` which connections are being answered, and which of them are streams; lets a stream end when the
server stops, which would else wait for it.
"""

import asyncio
from collections.abc import Callable
from typing import Any

import h11  # comes with uvicorn, whose default it is
from uvicorn.protocols.http.h11_impl import H11Protocol

from .door import SILENT_S, Door

__all__ = ["HeadTimeout", "connection_of"]

CONNECTION = "bothends.connection"
"""Name of the extension of a request's scope that has its connection."""


class HeadTimeout(H11Protocol):
    """uvicorn's own protocol, which keeps time of the pause between requests only.

    Attributes
    ----------
    head_seconds : time from the first moment of a connection, or the first byte of a further request, until the
        head of the request is whole, [s]
    door : counts the connections of this server; None for none
    """

    @classmethod
    def behind(cls, door: Door) -> type["HeadTimeout"]:
        """The protocol of a server whose connections come through a door."""
        return type(cls.__name__, (cls,), {"door": door})

    head_seconds = SILENT_S
    door: Door | None = None
    _head: asyncio.TimerHandle | None = None
    _key: Any = None
    _ends: Callable[[], None] | None = None
    _going = False

    def connection_made(self, transport: Any) -> None:
        """Begin to count."""
        super().connection_made(transport)
        self._key = transport.get_extra_info("peername"), transport.get_extra_info("sockname")
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing to wait for any more."""
        self._forget()
        self._end_stream()
        super().connection_lost(exc)

    def streams(self, ends: Callable[[], None]) -> None:
        """The answer to this request goes on for as long as it likes; ``ends`` is called when it must end."""
        self._ends = ends
        if self.door:
            self.door.streams(self._key)
        if self._going:
            self._end_stream()

    def shutdown(self) -> None:
        """The server stops: finish what is being answered, a stream at once."""
        self._going = True
        self._end_stream()
        super().shutdown()

    def _end_stream(self) -> None:
        ends, self._ends = self._ends, None
        if ends:
            ends()

    def handle_events(self) -> None:
        """Take in what came, and count as long as the head of a request is begun and not whole."""
        super().handle_events()
        if self.cycle:
            # Its task begins after this.
            scope: Any = self.cycle.scope
            scope.setdefault("extensions", {})[CONNECTION] = self
        if self.conn.their_state is not h11.IDLE:
            self._forget()
            if self.door and self.cycle and not self.cycle.response_complete:
                self.door.speaks(self._key)
        elif self._head is None and self.conn.trailing_data[0]:
            self._watch()

    def on_response_complete(self) -> None:
        """Rest, unless the next request is here already."""
        if self.door:
            self.door.rests(self._key)
        super().on_response_complete()

    def _watch(self) -> None:
        self._head = self.loop.call_later(self.head_seconds, self._too_slow)

    def _too_slow(self) -> None:
        self._head = None
        self.transport.close()

    def _forget(self) -> None:
        if self._head is not None:
            self._head.cancel()
            self._head = None


def connection_of(scope: Any) -> HeadTimeout | None:
    """The connection that a request came by, or None where another server serves the application."""
    found: HeadTimeout | None = (scope.get("extensions") or {}).get(CONNECTION)
    return found
