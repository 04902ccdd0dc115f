"""Who may: the device key of a request, and how often somebody without one may try.

Owns the header and its refusals. What a key is and how it is compared is the book's business (``secret``,
``devices``).
"""

import math
import time
from collections.abc import Callable
from typing import Any

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers.base import BaseRouteHandler

from bothends.book import devices

from ..http.network import network_of
from ..http.problems import Refusal
from .open_book import book_of

__all__ = ["ENDS", "KEY", "SCHEMES", "Bounded", "device_of", "needs_key"]

SCHEMES = {
    "deviceKey": {
        "type": "http",
        "scheme": "bearer",
        "description": "The key a device got when it was paired (POST /api/devices).",
    }
}
"""Security schemes of the document."""
KEY: list[dict[str, list[str]]] = [{"deviceKey": []}]
"""``security`` of a handler that needs a key."""
ENDS = ("no-key", "no-book", "book-moved", "bad-request", "internal-error")
"""Codes that every handler behind a key may end in."""
REALM = {"WWW-Authenticate": 'Bearer realm="bothends"'}


async def needs_key(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
    """Guard of a handler: lets through whoever has the key of a paired device.

    Raises
    ------
    Refusal
        no-key; the words are the same for no key, a wrong one and a revoked one.
    """
    request: Any = connection
    book = book_of(request)
    given = connection.headers.getall("authorization", [])
    scheme, _space, key = given[0].partition(" ") if len(given) == 1 else ("", "", "")
    device = None
    if scheme.lower() == "bearer":
        device = await book.read(lambda db: devices.recognise(db, key.strip()))
    if device is None:
        raise Refusal(
            "no-key",
            "this device is not paired, or its access has ended",
            remedy="Pair it again at the shop's PC; your data stays on it until it has been sent.",
            headers=REALM,
        )
    if devices.overdue(device):
        await book.write(lambda db: devices.seen(db, device["id"]))
    connection.state.device = device


def device_of(request: Request[Any, Any, Any]) -> dict[str, Any]:
    """The device that ``needs_key`` let through."""
    device: dict[str, Any] = request.state.device
    return device


class Bounded:
    """At most so many tries a minute from one address, and ten times that from all together.

    Each try that may be made takes a token; they come back evenly. One that is refused takes none, so that one
    address which guesses all day spends its own tokens and not those of all. Addresses of IPv6 count by their
    network: one machine has 2**64 of them (RFC 4291, 2.5.1). The count lives in memory: a restart forgives.

    Parameters
    ----------
    each : tries a minute from one address
    clock : seconds that only go up
    """

    MOST = 10_000

    def __init__(self, each: float, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._each = each
        self._clock = clock
        self._left: dict[str, tuple[float, float]] = {}

    def check(self, request: Request[Any, Any, Any]) -> None:
        """Count a try.

        Raises
        ------
        Refusal
            too-often, with Retry-After.
        """
        address = network_of(request.client.host if request.client else "?")
        wait = self._take(address, self._each) or self._take("", 10.0 * self._each)
        if wait > 0.0:
            raise Refusal(
                "too-often",
                f"too many tries; the next one may come in {math.ceil(wait)} s",
                remedy="Wait that long.",
                headers={"Retry-After": str(math.ceil(wait))},
            )

    def _take(self, name: str, most: float) -> float:
        """Take a token where there is one; the seconds to wait where there is none."""
        now = self._clock()
        left, then = self._left.pop(name, (most, now))
        left = min(most, left + (now - then) * most / 60.0)
        wait = 0.0 if left >= 1.0 else (1.0 - left) * 60.0 / most
        # Put back at the end, so that whoever has not tried for longest is forgotten first.
        self._left[name] = (left - 1.0 if wait == 0.0 else left, now)
        if len(self._left) > self.MOST:
            del self._left[next(iter(self._left))]
        return wait
