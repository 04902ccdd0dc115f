"""One connection's patience: a client that is slow to say what it wants is let go.

Owns the time that the head of a request may take, on a new connection and on one that was used before; the time
of a body is the ``guard``'s. Without it a client that sends a letter a minute would hold a connection for ever.
"""

import asyncio
from typing import Any

import h11  # comes with uvicorn, whose default it is
from uvicorn.protocols.http.h11_impl import H11Protocol

__all__ = ["HeadTimeout"]


class HeadTimeout(H11Protocol):
    """uvicorn's own protocol, which keeps time of the pause between requests only.

    Attributes
    ----------
    head_seconds : time from the first moment of a connection, or the first byte of a further request, until the
        head of the request is whole, [s]
    """

    head_seconds = 20.0
    _head: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        """Begin to count."""
        super().connection_made(transport)
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
        elif self._head is None and self.conn.trailing_data[0]:
            self._watch()

    def _watch(self) -> None:
        self._head = self.loop.call_later(self.head_seconds, self._too_slow)

    def _too_slow(self) -> None:
        self._head = None
        self.transport.close()

    def _forget(self) -> None:
        if self._head is not None:
            self._head.cancel()
            self._head = None
