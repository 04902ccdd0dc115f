"""The app served by uvicorn in a thread of this process, where a test looks at its connections from inside."""

import contextlib
import socket
import threading
from collections.abc import Iterator
from typing import Any

import uvicorn

from bothends.service import serving
from bothends.service.app import create_app


@contextlib.contextmanager
def serving_in_thread(place: socket.socket, **options: Any) -> Iterator[None]:
    """Serve at a bound socket until the block ends; options go to uvicorn.Config in place of the product's own."""
    server = uvicorn.Server(
        uvicorn.Config(create_app(), **{**serving.QUIET, "log_level": "critical", **options})
    )
    ready = threading.Event()
    start = server.startup

    async def startup(sockets=None):
        await start(sockets)
        ready.set()

    server.startup = startup
    thread = threading.Thread(target=server.run, kwargs={"sockets": [place]})
    thread.start()
    assert ready.wait(20)
    try:
        yield
    finally:
        server.should_exit = True
        thread.join()
        place.close()
