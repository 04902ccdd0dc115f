"""Running the service: bound sockets, servers, signals.

HTTPS on every network of this machine, with the help page and a plain door for this PC's own browser beside it (to
browsers the loopback address is as good as HTTPS, and needs nothing to be trusted); or that plain door only.
Knows no routes; the words are ``console``'s.
"""

import asyncio
import contextlib
import signal
import socket
import sys
from collections.abc import Callable, Coroutine, Iterator, Sequence
from functools import partial
from types import FrameType
from typing import Any
from urllib.parse import urlsplit

import msgspec
import uvicorn
from litestar import Litestar

from bothends.book import devices

from . import console
from .app import create_app
from .http.door import Door
from .http.head_timeout import HeadTimeout
from .http.problems import Refusal
from .lan.garage import Garage
from .lan.helper import Helper
from .lan.listener import HOST, bind
from .lan.way_in import WayIn
from .settings import Settings

__all__ = ["Ways", "serve"]

GRACE_SECONDS = 2
"""Time that open connections get at the end; some browsers hold theirs for minutes."""
LOOK_SECONDS = 1.0
"""How often it is looked whether this PC's browser has used its code."""
QUIET: dict[str, Any] = {
    "http": HeadTimeout,
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


class _Server(uvicorn.Server):
    """A server that says where it is once it answers, with what is served beside it.

    Attributes
    ----------
    once_up : called when it answers; what lets this PC's browser in, or None
    used : ends when the code of that was used
    moved : called with the host names when they, or the best address, have changed
    garage : watched as long as it serves
    beside : further servers in the same loop, each with its listener
    """

    once_up: Callable[[], WayIn | None]
    used: Callable[[], Coroutine[Any, Any, None]]
    moved: Callable[[frozenset[str]], None]
    garage: Garage | None = None
    beside: list[tuple[uvicorn.Server, socket.socket]]
    _watching: asyncio.Task[None] | None = None
    _letting: asyncio.Task[None] | None = None
    _helping: Sequence[asyncio.Task[None]] = ()

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.garage and self.config.ssl:
            self._watching = asyncio.create_task(self.garage.watch(self.config.ssl, self.moved))
        self._helping = [asyncio.create_task(one.serve(sockets=[listener])) for one, listener in self.beside]
        if way_in := self.once_up():
            self._letting = asyncio.create_task(self._until_used(way_in))

    async def _until_used(self, way_in: WayIn) -> None:
        try:
            await self.used()
        finally:
            way_in.close()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        for task in (self._watching, self._letting):
            if task:
                task.cancel()
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


def _bound(port: int, option: str, *, everywhere: bool) -> socket.socket | None:
    """The listener, or None once it is said why not."""
    try:
        return bind(port, everywhere=everywhere)
    except OSError as error:
        print(f"bothends: port {port}: {error.strerror}; choose another with {option}, or 0", file=sys.stderr)
        return None


def serve(settings: Settings, ways: Ways) -> int:
    """Serve until SIGINT or SIGTERM; the exit code. What ``ways.garage`` raises is the caller's."""
    with contextlib.ExitStack() as held:
        secure = ways.garage is not None
        listeners = {}
        door = Door(streams=settings.listeners)
        settings = msgspec.structs.replace(settings, listeners=door.most_streams)
        for name, port, everywhere in (
            ("port", ways.port, secure),
            ("helper-port", ways.helper_port if secure else None, True),
            ("local-port", ways.local_port if secure else None, False),
        ):
            if port is not None:
                listener = _bound(port, f"--{name}", everywhere=everywhere)
                if listener is None:
                    return 1
                listeners[name] = held.enter_context(door.guards(listener))
        ports = {name: listener.getsockname()[1] for name, listener in listeners.items()}
        garage = ways.garage(ports["port"], ports.get("helper-port")) if ways.garage else None
        if garage:
            held.callback(garage.close)
            garage.announce()
            hosts = settings.hosts | garage.names.hosts | {_host(garage.address)}
            settings = msgspec.structs.replace(settings, address=garage.address, hosts=hosts)
            if garage.signer and "helper-port" in listeners:
                settings = msgspec.structs.replace(settings, help=garage.help_address)
        # The server hands a signal on once it has shut down; both mean an orderly end.
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, _end)
        quiet = {**QUIET, "http": HeadTimeout.behind(door)}
        more: dict[str, Any] = {"proxy_headers": ways.proxy}
        if garage:
            more["ssl_context_factory"] = lambda *_: garage.context()
        local = f"http://{HOST}:{ports.get('local-port', ports['port'])}/"
        # Behind a proxy nobody at this PC opens it by that.
        app = create_app(msgspec.structs.replace(settings, local=None if ways.proxy else local))
        server = _Server(uvicorn.Config(app, lifespan="on", **{**quiet, **more}))
        server.garage = garage
        server.beside = []
        server.once_up = lambda: _up(ways, garage, settings, local)
        server.used = partial(_used, app, ways.code)
        helper = None
        if garage:
            server.beside.append(
                (_Beside(uvicorn.Config(app, lifespan="off", **quiet)), listeners["local-port"])
            )
            if garage.signer and "helper-port" in listeners:
                helper = Helper(garage.signer, garage.address)
                config = uvicorn.Config(helper, lifespan="off", **quiet)
                server.beside.append((_Beside(config), listeners["helper-port"]))
            server.moved = partial(_moved, app, garage, helper)
        server.run(sockets=[listeners["port"]])
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


def _up(ways: Ways, garage: Garage | None, settings: Settings, local: str) -> WayIn | None:
    """Say where it is, and open the browser."""
    console.say(garage, settings.address, local, invitation=ways.invitation)
    if not ways.browser:
        return None
    way_in = None
    if ways.code and settings.data:
        try:
            way_in = WayIn(settings.data, console.at(local, "here", ways.code))
        except OSError as error:
            print(f"bothends: this PC's browser must be paired by a code: {error}", file=sys.stderr)
    console.open_browser(way_in.address if way_in else local)
    return way_in


async def _used(app: Litestar, code: str) -> None:
    """Wait until a pairing code was used, or is too old."""
    good = True
    while good:
        await asyncio.sleep(LOOK_SECONDS)
        # A book that is being opened anew answers the next time.
        with contextlib.suppress(Refusal):
            good = await app.state.book.read(partial(devices.good, code=code))


def _host(address: str) -> str:
    name = urlsplit(address).hostname or ""
    return f"[{name}]" if ":" in name else name
