"""How many connections there may be at once, from one network and in all, and which of them make room for others.

Counted where they are accepted, so a connection that never shakes hands (TLS) counts like any other. One that has
not said what it wants, or rests between requests, makes room for a newcomer, the oldest first; one that is being
answered never does. So whoever opens a thousand and says nothing holds nobody off. This machine's own connections
are not counted by network: its browser comes from there, and everybody behind a proxy that stands in front.

A stream (an answer that goes on for hours) has room of its own beside all that: from the moment it is one it takes
no place of the others, and how many there may be is the application's to say.

Knows no HTTP: ``head_timeout`` tells when a connection speaks and when it rests. On Windows connections are not
accepted through the socket's own method: there ``head_timeout`` alone bounds them.
"""

import asyncio
import contextlib
import ctypes
import gc
import socket
import struct
import sys
import time
from asyncio import sslproto
from collections import Counter
from typing import Any

import msgspec

from .network import is_own, network_of

__all__ = ["BOUNDS", "SILENT_S", "Bounds", "Door"]

SILENT_S = 20.0
"""Time that a client may take to say what it wants, [s]: from the first moment of a connection, shaking hands
included, or from the first byte of a further request, until the head of a request is whole."""


class Bounds(msgspec.Struct, frozen=True, kw_only=True):
    """How many connections, and how long.

    Attributes
    ----------
    total : in all; fewer where the system gives this process fewer open files
    each : from one network; a browser holds six to one server, so that is ten phones behind one router
    own : of the total, kept for this machine
    silent_s : until the head of the first request is whole, [s]
    unread_s : until an answer is taken, or the next request begins, [s]; uvicorn ends a pause much sooner
    """

    total: int = 400
    each: int = 64
    own: int = 40
    silent_s: float = SILENT_S
    unread_s: float = 120.0


BOUNDS = Bounds()
SPARE_FILES = 112
"""Files that a process needs besides: the shop database's, its helpers' pipes, what is served."""
LEAVING = 64
"""Connections that may be on their way out before the next is accepted, so that open files stay bounded too."""
LEAVES_S = 2.0
"""How long one that is on its way out may hold the next one up, [s]; the loop sees to most at once."""
HANDSHAKE_BYTES = 32 * 1024
"""What one connection over TLS has to read into, [bytes]; asyncio would take 256 kB for each, before a word is
said. A record is 16 kB at most (RFC 8446, 5.1)."""
SWEEP = 100
"""After so many connections that ended without a word, what they held is let go of."""
SWEEP_S = 1.0
"""And so long after the last of fewer, [s]."""
RESET = struct.pack("ii", 1, 0)
"""Closing throws away what was not sent."""


class _Held(socket.socket):
    """A connection that the door knows of until it is closed."""

    door: "Door | None" = None
    key: Any = None

    def close(self) -> None:
        door, self.door = self.door, None
        if door:
            door.closed(self)
        super().close()


class _Listening(socket.socket):
    """A listener that accepts through its door."""

    door: "Door"

    def accept(self) -> tuple[socket.socket, Any]:
        """The next connection that may come in; BlockingIOError where none waits, or too many are leaving."""
        while True:
            self.door.pause()
            sock, address = super().accept()
            held = _Held(sock.family, sock.type, sock.proto, fileno=sock.detach())
            if self.door.admits(held, address):
                return held, address
            with contextlib.suppress(OSError):
                held.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, RESET)
            held.close()


class Door:
    """Of one process, for all its listeners.

    Parameters
    ----------
    bounds : how many connections, and how long
    streams : how many streams there are to be beside them

    Attributes
    ----------
    most_streams : how many there may be; fewer, or none, where the system gives few open files
    """

    def __init__(self, bounds: Bounds = BOUNDS, *, streams: int = 0) -> None:
        self.bounds = bounds
        room = _files(BOUNDS.total + streams + SPARE_FILES) - SPARE_FILES
        self._total = min(bounds.total, room)
        self.most_streams = min(streams, room - self._total)
        self._streaming: set[Any] = set()
        self._open: dict[Any, _Held] = {}
        self._networks: dict[Any, str] = {}
        self._counts: Counter[str] = Counter()
        # Oldest first, as dicts keep their order: a connection is in one of them unless it is being answered.
        self._silent: dict[Any, asyncio.TimerHandle] = {}
        self._resting: dict[Any, asyncio.TimerHandle] = {}
        self._leaving: dict[Any, float] = {}
        # The one way there is to say so: a class attribute, which asyncio reads as a connection begins.
        sslproto.SSLProtocol.max_size = HANDSHAKE_BYTES
        self._mute = 0
        self._sweep: asyncio.TimerHandle | None = None

    def __len__(self) -> int:
        """Connections that are open."""
        return len(self._open)

    def guards(self, listener: socket.socket) -> socket.socket:
        """The same listener, behind this door; the one that was given is no more."""
        if sys.platform == "win32":
            return listener
        guarded = _Listening(listener.family, listener.type, listener.proto, fileno=listener.detach())
        guarded.door = self
        return guarded

    def pause(self) -> None:
        """Let those who were sent away go first; the loop asks again at once.

        Raises
        ------
        BlockingIOError
            Where enough are leaving.
        """
        if len(self._leaving) >= LEAVING:
            first = next(iter(self._leaving.values()))
            if time.monotonic() - first < LEAVES_S:
                raise BlockingIOError

    def admits(self, held: _Held, address: Any) -> bool:
        """Let a connection in, where need be in the place of another; False where nobody can make room."""
        try:
            key = (address, held.getsockname())
        except OSError:
            # Gone already.
            return False
        if old := self._open.get(key):
            # The client went and came again from the same port before the loop heard of it.
            self.closed(old)
        host = str(address[0])
        own, network = is_own(host), network_of(host)
        if not own and self._counts[network] >= self.bounds.each and not self._send_away(network):
            return False
        most = self._total if own else self._total - self.bounds.own
        usual = len(self._open) - len(self._leaving) - len(self._streaming)
        if usual >= most and not self._send_away():
            return False
        held.door, held.key = self, key
        self._open[key] = held
        self._networks[key] = network
        self._counts[network] += 1
        self._silent[key] = self._timer(self.bounds.silent_s, key)
        return True

    def speaks(self, key: Any) -> None:
        """A connection, by its two addresses, has said what it wants: it stays until it has its answer."""
        for waiting in (self._silent, self._resting):
            if timer := waiting.pop(key, None):
                timer.cancel()

    def rests(self, key: Any) -> None:
        """A connection has its answer, and may ask again."""
        self.speaks(key)
        if key in self._open and key not in self._leaving and key not in self._streaming:
            self._resting[key] = self._timer(self.bounds.unread_s, key)

    def streams(self, key: Any) -> None:
        """A connection is a stream from now on, to its end: it takes no place of the others."""
        held = self._open.get(key)
        if held is None or key in self._leaving or key in self._streaming:
            return
        self.speaks(key)
        self._forget(key)
        self._streaming.add(key)
        if hasattr(socket, "TCP_USER_TIMEOUT"):
            # Who went without a word takes no answer; the system itself would try for a quarter of an hour.
            with contextlib.suppress(OSError):
                held.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, int(1000 * self.bounds.unread_s))

    def closed(self, held: _Held) -> None:
        """A connection has ended."""
        key = held.key
        if self._open.get(key) is not held:
            return
        if key in self._silent or key in self._leaving:
            self._ended_mute()
        self.speaks(key)
        del self._open[key]
        if key in self._leaving:
            del self._leaving[key]
        elif key in self._streaming:
            self._streaming.discard(key)
        else:
            self._forget(key)
        self._networks.pop(key, None)

    def _ended_mute(self) -> None:
        """See to it that what a handshake without an end leaves goes: circles of objects with large buffers, which
        Python's own collector, counting objects and not bytes, looks for far too late."""
        self._mute += 1
        if self._mute >= SWEEP:
            self._swept()
        elif self._sweep is None:
            self._sweep = asyncio.get_running_loop().call_later(SWEEP_S, self._swept)

    def _swept(self) -> None:
        if self._sweep is not None:
            self._sweep.cancel()
            self._sweep = None
        self._mute = 0
        gc.collect()
        _give_back()

    def _forget(self, key: Any) -> None:
        network = self._networks[key]
        self._counts[network] -= 1
        if not self._counts[network]:
            del self._counts[network]

    def _timer(self, seconds: float, key: Any) -> asyncio.TimerHandle:
        return asyncio.get_running_loop().call_later(seconds, self._end, key)

    def _send_away(self, network: str | None = None) -> bool:
        """End the oldest connection that is not being answered; False where there is none."""
        for waiting in (self._silent, self._resting):
            for key in waiting:
                if network is None or self._networks[key] == network:
                    self._end(key)
                    return True
        return False

    def _end(self, key: Any) -> None:
        self.speaks(key)
        held = self._open.get(key)
        if held is None or key in self._leaving:
            return
        self._leaving[key] = time.monotonic()
        self._forget(key)
        # The loop hears of it like of a client that went, and closes what stands on it.
        with contextlib.suppress(OSError):
            held.shutdown(socket.SHUT_RDWR)


def _give_back() -> None:
    """Hand freed memory back to the system, where the C library has a call for that (glibc)."""
    if sys.platform == "linux":
        with contextlib.suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)


def _files(wanted: int) -> int:
    """How many files this process may have open, of those wanted; where it may ask for more they are asked for."""
    if sys.platform == "win32":
        return wanted
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft == resource.RLIM_INFINITY or soft >= wanted:
        return wanted
    more = wanted if hard == resource.RLIM_INFINITY else min(hard, wanted)
    with contextlib.suppress(OSError, ValueError):
        resource.setrlimit(resource.RLIMIT_NOFILE, (more, hard))
        soft = more
    return max(soft, SPARE_FILES + 16)
