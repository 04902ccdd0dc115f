"""The shop: the real application, served on a data folder that can be copied, restored and opened again.

Served from a thread of this process, because a process each would cost seconds; that the command serves the
same is for other tests to prove.
"""

import json
import threading
import time
import urllib.request
from pathlib import Path
from typing import Any

import uvicorn

from bothends.book import backup, devices
from bothends.book.store import Store
from bothends.service.app import create_app
from bothends.service.http.head_timeout import HeadTimeout
from bothends.service.lan.listener import bind
from bothends.service.settings import Settings

__all__ = ["Shop"]

OWN = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Shop:
    """A server with a book; ``key`` is that of the shop's own PC, ``web`` the front end it serves.

    ``hosts`` are names it answers to besides the loopback ones,
    ``settings`` further ones of the application's.
    """

    def __init__(
        self, folder: Path, web: Path, *, hosts: frozenset[str] = frozenset(), **settings: Any
    ) -> None:
        self.data = folder / "data"
        self.web = web
        self.hosts = hosts
        self.settings = settings
        with Store(self.data) as store:
            code, _ = store.write(devices.new_code)
            made = store.write(lambda db: devices.pair(db, code, "shop PC"))
        assert made is not None
        self.key = made[1]
        self.start()

    def start(self) -> None:
        """Open the book and serve it on a free port."""
        self._socket = bind(0)
        self.app = create_app(Settings(data=self.data, web=self.web, hosts=self.hosts, **self.settings))
        config = uvicorn.Config(
            self.app,
            # The product's own: a stream that is open ends with the server.
            http=HeadTimeout,
            ws="none",
            lifespan="on",
            log_level="warning",
            access_log=False,
            timeout_graceful_shutdown=2,
        )
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, args=([self._socket],), daemon=True)
        self._thread.start()
        while not self._server.started:
            assert self._thread.is_alive(), "the server did not start"
            time.sleep(0.005)
        self.address = f"http://127.0.0.1:{self._socket.getsockname()[1]}"

    def stop(self) -> None:
        """Stop serving and close the book."""
        self._server.should_exit = True
        self._thread.join(timeout=20)
        self._socket.close()

    def streams(self) -> int:
        """How many devices listen for news."""
        return len(self.app.state.listening)

    def copy(self, target: Path) -> int:
        """Copy the book while it is in use; how many entries went."""
        return backup.backup(self.data, target)

    def restore(self, source: Path) -> None:
        """Put a copy in the book's place and start again."""
        self.stop()
        backup.restore(self.data, source)
        self.start()

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        """One request as the shop's PC; the JSON of the answer."""
        request = urllib.request.Request(
            self.address + path,
            method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={"Authorization": f"Bearer {self.key}", "Content-Type": "application/json"},
        )
        with OWN.open(request, timeout=20) as reply:
            text = reply.read()
        return json.loads(text) if text else None

    def entries(self) -> list[dict[str, Any]]:
        """All entries of the book, in order of arrival."""
        found: list[dict[str, Any]] = []
        after = 0
        while page := self.ask("GET", f"/api/entries?after={after}&limit=500"):
            found += page["entries"]
            if not page["entries"]:
                return found
            after = page["next"]
        return found

    def ids(self) -> list[str]:
        """Ids of all entries, in order of arrival."""
        return [entry["id"] for entry in self.entries()]

    def code(self) -> str:
        """A fresh pairing code."""
        return str(self.ask("POST", "/api/pairing")["code"])

    def revoke(self, name: str) -> None:
        """End a device's access."""
        self.ask("DELETE", f"/api/devices/{name}")
