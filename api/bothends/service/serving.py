"""Running the service: a bound socket, signals, the address on the screen, the browser.

Plain HTTP on the loopback address only. Knows no routes.
"""

import contextlib
import os
import signal
import socket
import sys
import threading
import webbrowser
from pathlib import Path
from types import FrameType

import uvicorn

from .app import create_app
from .settings import Settings

__all__ = ["data_home", "serve"]

HOST = "127.0.0.1"
GRACE_SECONDS = 2
"""Time that open connections get at the end; some browsers hold theirs for minutes."""


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


def has_screen() -> bool:
    """Whether a browser window could appear; without one, opening a browser may take over the terminal."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


class _Server(uvicorn.Server):
    """A server that says where it is once it answers."""

    def __init__(self, config: uvicorn.Config, address: str, browser: bool) -> None:
        super().__init__(config)
        self._address = address
        self._browser = browser

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        print(f"Bothends is at {self._address} (Ctrl-C ends it)", flush=True)
        if self._browser and has_screen():
            # Some openers wait for their browser to end.
            threading.Thread(target=_open, args=(self._address,), daemon=True).start()


def _open(address: str) -> None:
    with contextlib.suppress(webbrowser.Error, OSError):
        webbrowser.open(address)


def _end(number: int, frame: FrameType | None) -> None:
    raise SystemExit(0)


def bind(port: int) -> socket.socket:
    """A listening place on the loopback address; port 0 takes a free one.

    Raises
    ------
    OSError
        When the port is taken or not allowed.
    """
    # The protocol is named because asyncio turns Nagle's algorithm off only where it is: 40 ms an answer.
    place = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if sys.platform != "win32":
        place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        place.bind((HOST, port))
    except BaseException:
        place.close()
        raise
    return place


def serve(settings: Settings, *, port: int, browser: bool) -> int:
    """Serve until SIGINT or SIGTERM; the exit code."""
    try:
        place = bind(port)
    except OSError as error:
        print(f"bothends: port {port}: {error.strerror}; choose another with --port, or 0", file=sys.stderr)
        return 1
    # The server hands a signal on once it has shut down; both mean an orderly end.
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, _end)
    with place:
        address = f"http://{HOST}:{place.getsockname()[1]}/"
        config = uvicorn.Config(
            create_app(settings),
            ws="none",
            lifespan="on",
            log_level="warning",
            access_log=False,
            server_header=False,
            timeout_graceful_shutdown=GRACE_SECONDS,
        )
        _Server(config, address, browser).run(sockets=[place])
    return 0
