"""What every request passes before any route, and what every answer carries: the outermost layer.

- Host: only this server's names are answered, so that a page elsewhere cannot reach it by pointing its own
  name at this machine (DNS rebinding).
- OPTIONS: answered here from all methods of the address. HEAD: a GET without its body.
- Time: a body must have arrived whole in time, so that a client that dribbles holds nothing for ever.
- Headers: nothing is kept unless the answer says so; a strict content policy with Trusted Types, no permission that
  the page does not use, no sniffing, no framing, no referrer. No CORS: other origins get nothing.
"""

import asyncio
import re
from collections.abc import Iterable
from typing import Any, cast

from litestar import Litestar
from litestar.enums import ScopeType
from litestar.exceptions import HTTPException, MethodNotAllowedException
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from .problems import Refusal, allow
from .problems import send as refuse

__all__ = ["LOOKS_ELSEWHERE", "POLICY", "Guard", "is_loopback"]

POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        # No text becomes markup or a script's address; web/model/place.js names the scripts there are.
        "require-trusted-types-for 'script'",
        "trusted-types bothends",
    )
)
LOOKS_ELSEWHERE = "default-src 'none'; connect-src 'self' https: http://127.0.0.1:* http://localhost:*"
"""The policy of the one script that may ask elsewhere: a worker that looks whether a public copy answers."""
USED = ("accelerometer", "clipboard-write", "gyroscope", "screen-wake-lock")
"""What the page asks of a browser: the arm's angle by the phone, copying a link, a lit screen."""
UNUSED = (
    "autoplay",
    "camera",
    "clipboard-read",
    "display-capture",
    "encrypted-media",
    "fullscreen",
    "gamepad",
    "geolocation",
    "hid",
    "idle-detection",
    "local-fonts",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "picture-in-picture",
    "publickey-credentials-get",
    "serial",
    "sync-xhr",
    "usb",
    "window-management",
    "xr-spatial-tracking",
)
"""What it never asks; a photo is taken by the system's own camera, which needs no leave."""
PERMISSIONS = ", ".join([f"{name}=(self)" for name in USED] + [f"{name}=()" for name in UNUSED])
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"permissions-policy", PERMISSIONS.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)

HOST = re.compile(r"(\[[0-9a-f:.]+\]|[^][:@/, ]+)(:[0-9]*)?")
"""A Host header: name or bracketed address, and a port; nothing may follow the bracket but that."""


def is_loopback(name: str) -> bool:
    """Whether a host name without port always means this machine.

    >>> is_loopback("127.0.0.1"), is_loopback("[::1]"), is_loopback("127.example.org")
    (True, True, False)
    """
    if name in ("localhost", "[::1]"):
        return True
    parts = name.split(".")
    return len(parts) == 4 and parts[0] == "127" and all(p.isascii() and p.isdigit() for p in parts)


class Guard:
    """ASGI layer round the whole application."""

    def __init__(
        self, inner: ASGIApp, app: Litestar, hosts: Iterable[str], *, body_seconds: float = 60.0
    ) -> None:
        self._inner = inner
        self._app = app
        self._hosts = frozenset(hosts)
        self._body_seconds = body_seconds

    def allow(self, hosts: Iterable[str]) -> None:
        """Answer to these host names too, from now on."""
        self._hosts |= frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Guard one request; other traffic than HTTP passes as it is."""
        if scope["type"] != ScopeType.HTTP:
            await self._inner(scope, receive, send)
            return
        method = scope["method"]
        answered = False

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = {name.lower() for name, _ in message["headers"]}
                headers = [*message["headers"], *(row for row in HEADERS if row[0] not in own)]
                if not any(name.lower() == b"cache-control" for name, _ in headers):
                    headers.append((b"cache-control", b"no-store"))
                message["headers"] = headers
            elif method == "HEAD" and message["type"] == "http.response.body":
                # The first of it is the end: a stream would go on for nobody.
                nonlocal answered
                if answered:
                    return
                answered = True
                message["body"], message["more_body"] = b"", False
            await send(message)

        try:
            self._check_host(scope)
            if "\0" in scope["path"]:
                raise Refusal("not-found", "an address cannot hold a NUL character")
        except Refusal as refusal:
            await refuse(refusal, scope, receive, guarded)
            return
        if method == "OPTIONS" and await self._options(scope["path"], guarded):
            return
        if method == "HEAD":
            scope["method"] = cast("Any", "GET")
        await self._inner(scope, self._timely(receive), guarded)

    def _timely(self, receive: Receive) -> Receive:
        """The same messages, as long as the body comes in time; what comes after it may take its time."""
        ends = asyncio.get_running_loop().time() + self._body_seconds
        whole = False

        async def timely() -> Any:
            nonlocal whole
            if whole:
                return await receive()
            try:
                async with asyncio.timeout_at(ends):
                    message = await receive()
            except TimeoutError as error:
                raise Refusal(
                    "too-slow",
                    f"the body did not arrive within {self._body_seconds:g} s",
                    remedy="Send less at once, or try again on a better network.",
                    headers={"Connection": "close"},
                ) from error
            whole = not message.get("more_body", False)
            return message

        return timely

    def _check_host(self, scope: Scope) -> None:
        given = [value for name, value in scope["headers"] if name == b"host"]
        name = given[0].decode("latin-1").lower() if len(given) == 1 else ""
        parts = HOST.fullmatch(name)
        name = parts[1] if parts else name
        if not (parts and (is_loopback(name) or name in self._hosts)):
            raise Refusal(
                "wrong-host",
                f"this server does not answer to the host name {name[:60]!r}",
                remedy="Use the address it printed when it started, or allow the name with --allow-host.",
            )

    async def _options(self, path: str, send: Send) -> bool:
        """204 with every method of the address (the framework's own answer covers one route of several).

        Says whether it answered; an address without a route may still be a file.
        """
        try:
            # No route takes this method, so this always ends in an exception that tells.
            self._app.asgi_router.handle_routing(path=path.rstrip("/") or "/", method=cast("Any", "NONE"))
        except MethodNotAllowedException as error:
            methods = allow((error.headers or {}).get("allow", ""))
        except HTTPException:
            return False
        await send({"type": "http.response.start", "status": 204, "headers": [(b"allow", methods.encode())]})
        await send({"type": "http.response.body", "body": b"", "more_body": False})
        return True
