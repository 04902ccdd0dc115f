"""One connection's patience: a client that is slow to say what it wants is let go.

Owns the time that the head of a request may take, on a new connection and on one that was used before; the time
of a body is the ``guard``'s. Without it a client that sends a letter a minute would hold a connection for ever.
Tells the ``door`` which connections are being answered.
"""

import asyncio
from typing import Any

import h11  # comes with uvicorn, whose default it is
from uvicorn.protocols.http.h11_impl import H11Protocol

from .door import SILENT_S, Door

__all__ = ["HeadTimeout"]


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

    def connection_made(self, transport: Any) -> None:
        """Begin to count."""
        super().connection_made(transport)
        self._key = transport.get_extra_info("peername"), transport.get_extra_info("sockname")
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing to wait for any more."""
        self._forget()
        super().connection_lost(exc)

    def handle_events(self) -> None:
        """Take in what came, and count as long as the head of a request is begun and not whole."""
        super().handle_events()
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
