"""A shop for the tests of the logbook's endpoints: a running server with a book, and a device that may use it."""

import contextlib
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import httpx
from litestar import Litestar

from bothends.book import devices
from bothends.book.store import Store
from bothends.service.app import create_app
from bothends.service.settings import Settings

__all__ = ["Shop", "shop"]


class Shop:
    """``client`` has a device's key; ``guest`` has none; ``store`` is the server's own book."""

    def __init__(self, client: httpx.Client, guest: httpx.Client, app: Litestar, device: str) -> None:
        self.client = client
        self.guest = guest
        self.app = app
        self.device = device

    @property
    def store(self) -> Store:
        """The open book behind the server."""
        return self.app.state.book._store

    def push(self, *entries: dict[str, Any]) -> list[dict[str, Any]]:
        """Send entries as one batch; the rows of the answer."""
        reply = self.client.post("/api/entries", json={"entries": list(entries)})
        assert reply.status_code == 200, reply.text
        return reply.json()["rows"]

    def get(self, address: str, **parameters: Any) -> Any:
        """The JSON at an address."""
        reply = self.client.get(address, params=parameters)
        assert reply.status_code == 200, reply.text
        return reply.json()

    def pair(self, name: str = "phone") -> tuple[str, dict[str, str]]:
        """Pair one more device: its id and its header."""
        code = self.client.post("/api/pairing").raise_for_status().json()["code"]
        made = self.guest.post("/api/devices", json={"code": code, "name": name}).raise_for_status().json()
        return made["id"], {"Authorization": f"Bearer {made['key']}"}


@contextlib.contextmanager
def shop(
    running: Callable[[Litestar], AbstractContextManager[httpx.Client]], data: Path, **settings: Any
) -> Iterator[Shop]:
    """Run a server with a book in ``data`` and pair the first device with it."""
    settings.setdefault("tries", 1e6)
    app = create_app(Settings(data=data, **settings))
    with running(app) as guest:
        code, _ = app.state.book._store.write(devices.new_code)
        made = guest.post("/api/devices", json={"code": code, "name": "shop's PC"}).raise_for_status().json()
        key = {"Authorization": f"Bearer {made['key']}"}
        with httpx.Client(
            base_url=guest.base_url, headers=key, trust_env=False, timeout=30, verify=False
        ) as client:
            yield Shop(client, guest, app, made["id"])
