"""Fixtures of the edge's tests: a client, demo requests, an application served from this process."""

import asyncio
import contextlib
import json
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import Any

import httpx
import pytest
import uvicorn
from litestar import Litestar

from bothends.service.http.head_timeout import HeadTimeout
from bothends.service.lan import listener
from bothends.service.site import places

# Programs that need a client which a test generates first.
collect_ignore = ["clients"]
Running = Callable[[Litestar], AbstractContextManager[httpx.Client]]


@pytest.fixture(scope="session")
def client(served) -> Iterator[httpx.Client]:
    """A client of the shared server."""
    with httpx.Client(base_url=served.address, trust_env=False, timeout=30) as open_client:
        yield open_client


@pytest.fixture
def gannet() -> dict[str, Any]:
    """A request that can be solved; a fresh copy for every test."""
    return json.loads((places.DEMO / "gannet.json").read_bytes())


class _Server(uvicorn.Server):
    """A server that ends when it is told to; uvicorn's own looks for that ten times a second."""

    def __init__(self, config: uvicorn.Config) -> None:
        super().__init__(config)
        self.ready = threading.Event()

    async def main_loop(self) -> None:
        await self.on_tick(0)
        self._loop, self._told = asyncio.get_running_loop(), asyncio.Event()
        self.ready.set()
        await self._told.wait()

    def end(self) -> None:
        self.should_exit = True
        if self.ready.is_set():
            self._loop.call_soon_threadsafe(self._told.set)


@contextlib.contextmanager
def _running(app: Litestar) -> Iterator[httpx.Client]:
    place = listener.bind(0)
    server = _Server(uvicorn.Config(app, http=HeadTimeout, log_level="critical", ws="none", lifespan="on"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [place]})
    thread.start()
    try:
        assert server.ready.wait(20)
        address = f"http://127.0.0.1:{place.getsockname()[1]}"
        # No certificates: over plain HTTP none is looked at, and reading them in takes longer than most requests.
        with httpx.Client(base_url=address, trust_env=False, timeout=30, verify=False) as open_client:
            yield open_client
    finally:
        server.end()
        thread.join()
        place.close()


@pytest.fixture(scope="session")
def running() -> Running:
    """Serve an application of the test's own on a real port, from a thread of this process."""
    return _running
