"""Running the service: bound sockets, servers, signals.

HTTPS on every network of this machine, with the help page and a plain door for this PC's own browser beside it (to
browsers the loopback address is as good as HTTPS, and needs nothing to be trusted); or that plain door only.
Knows no routes; the words are ``console``'s.
"""

import asyncio
import contextlib
import os
import signal
import socket
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from types import FrameType
from typing import Any
from urllib.parse import urlsplit

import msgspec
import uvicorn
from litestar import Litestar

from . import console
from .app import create_app
from .garage import Garage
from .helper import Helper
from .patient import Patient
from .settings import Settings

__all__ = ["Ways", "data_home", "serve"]

HOST = "127.0.0.1"
GRACE_SECONDS = 2
"""Time that open connections get at the end; some browsers hold theirs for minutes."""
QUIET: dict[str, Any] = {
    "http": Patient,
    "ws": "none",
    # Who asks is who is connected: a header that anybody can write would get round the bound on tries.
    "proxy_headers": False,
    "log_level": "warning",
    "access_log": False,
    "server_header": False,
    "timeout_graceful_shutdown": GRACE_SECONDS,
}


class Ways(msgspec.Struct, frozen=True, kw_only=True):
    """How one copy is served.

    Attributes
    ----------
    port, helper_port, local_port : of the app, of the help page (None for none), and beside HTTPS for this PC's own
        browser; 0 takes a free one
    browser : open one
    code : a pairing code that lets that browser in, or ""
    invitation : a pairing code for a phone, to be shown as a picture, or ""
    proxy : a proxy on this machine stands in front, and its word is taken on who asks
    garage : gives what HTTPS needs, from the app's port and the help page's; None for plain HTTP, loopback only
    """

    port: int
    helper_port: int | None = None
    local_port: int = 0
    browser: bool = False
    code: str = ""
    invitation: str = ""
    proxy: bool = False
    garage: Callable[[int, int | None], Garage] | None = None


def data_home() -> Path:
    """Where the logbook lives unless told otherwise: the user's own folder for program data."""
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    return base / "bothends"


class _Server(uvicorn.Server):
    """A server that says where it is once it answers, with what is served beside it.

    Attributes
    ----------
    once_up : called when it answers
    moved : called with the host names when they, or the best address, have changed
    garage : watched as long as it serves
    beside : further servers in the same loop, each with its place
    """

    once_up: Callable[[], None]
    moved: Callable[[frozenset[str]], None]
    garage: Garage | None = None
    beside: list[tuple[uvicorn.Server, socket.socket]]
    _watching: asyncio.Task[None] | None = None
    _helping: Sequence[asyncio.Task[None]] = ()

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.garage and self.config.ssl:
            self._watching = asyncio.create_task(self.garage.watch(self.config.ssl, self.moved))
        self._helping = [asyncio.create_task(one.serve(sockets=[place])) for one, place in self.beside]
        self.once_up()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        if self._watching:
            self._watching.cancel()
        for one, _ in self.beside:
            one.should_exit = True
        await asyncio.gather(*self._helping)
        await super().shutdown(sockets)


class _Beside(uvicorn.Server):
    """A second server in the same loop: signals are the first one's business."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


def _end(number: int, frame: FrameType | None) -> None:
    raise SystemExit(0)


def bind(port: int, *, everywhere: bool = False) -> socket.socket:
    """A listening place on the loopback address, or on all of this machine's; port 0 takes a free one.

    Raises
    ------
    OSError
        When the port is taken or not allowed.
    """
    both = everywhere and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if both else socket.AF_INET
    # The protocol is named because asyncio turns Nagle's algorithm off only where it is: 40 ms an answer.
    place = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if both:
            place.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        if sys.platform != "win32":
            place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        place.bind(("::" if both else "0.0.0.0" if everywhere else HOST, port))
    except BaseException:
        place.close()
        raise
    return place


def _bound(port: int, option: str, *, everywhere: bool) -> socket.socket | None:
    """The place, or None and a word why not."""
    try:
        return bind(port, everywhere=everywhere)
    except OSError as error:
        print(f"bothends: port {port}: {error.strerror}; choose another with {option}, or 0", file=sys.stderr)
        return None


def serve(settings: Settings, ways: Ways) -> int:
    """Serve until SIGINT or SIGTERM; the exit code. What ``ways.garage`` raises is the caller's."""
    with contextlib.ExitStack() as held:
        secure = ways.garage is not None
        places = {}
        for name, port, everywhere in (
            ("port", ways.port, secure),
            ("helper-port", ways.helper_port if secure else None, True),
            ("local-port", ways.local_port if secure else None, False),
        ):
            if port is not None:
                place = _bound(port, f"--{name}", everywhere=everywhere)
                if place is None:
                    return 1
                places[name] = held.enter_context(place)
        ports = {name: place.getsockname()[1] for name, place in places.items()}
        garage = ways.garage(ports["port"], ports.get("helper-port")) if ways.garage else None
        if garage:
            held.callback(garage.close)
            garage.announce()
            hosts = settings.hosts | garage.names.hosts | {_host(garage.address)}
            settings = msgspec.structs.replace(settings, address=garage.address, hosts=hosts)
            if garage.signer and "helper-port" in places:
                settings = msgspec.structs.replace(settings, help=garage.help_address)
        # The server hands a signal on once it has shut down; both mean an orderly end.
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, _end)
        more: dict[str, Any] = {"proxy_headers": ways.proxy}
        if garage:
            more["ssl_context_factory"] = lambda *_: garage.context()
        app = create_app(settings)
        local = f"http://{HOST}:{ports.get('local-port', ports['port'])}/"
        server = _Server(uvicorn.Config(app, lifespan="on", **{**QUIET, **more}))
        server.garage = garage
        server.beside = []
        server.once_up = lambda: _up(ways, garage, settings, local)
        helper = None
        if garage:
            server.beside.append(
                (_Beside(uvicorn.Config(app, lifespan="off", **QUIET)), places["local-port"])
            )
            if garage.signer and "helper-port" in places:
                helper = Helper(garage.signer, garage.address)
                config = uvicorn.Config(helper, lifespan="off", **QUIET)
                server.beside.append((_Beside(config), places["helper-port"]))
            server.moved = partial(_moved, app, garage, helper)
        server.run(sockets=[places["port"]])
    return 0


def _moved(app: Litestar, garage: Garage, helper: Helper | None, hosts: frozenset[str]) -> None:
    """Answer to the names that the machine has now, and tell devices the address that is best now."""
    guard: Any = app.asgi_handler
    guard.allow(hosts | {_host(garage.address)})
    told = app.state.settings.address
    if garage.address != told:
        page = garage.help_address if app.state.settings.help else None
        app.state.settings = msgspec.structs.replace(app.state.settings, address=garage.address, help=page)
        if helper:
            helper.point(garage.address)
        print(f"Bothends is now at {garage.address}", flush=True)


def _up(ways: Ways, garage: Garage | None, settings: Settings, local: str) -> None:
    """Say where it is, and open the browser."""
    console.say(garage, settings.address, local, invitation=ways.invitation)
    if ways.browser:
        console.open_browser(console.at(local, "here", ways.code))


def _host(address: str) -> str:
    name = urlsplit(address).hostname or ""
    return f"[{name}]" if ":" in name else name
