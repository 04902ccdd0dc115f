"""The shop: a real server on a data folder that can be stopped, copied, restored and started again."""

import json
import re
import subprocess
import sys
import urllib.request
from pathlib import Path
from typing import Any

from bothends.book import backup, devices
from bothends.book.store import Store

__all__ = ["Shop"]

OWN = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Shop:
    """A server with a book; ``key`` is that of the shop's own PC."""

    def __init__(self, folder: Path) -> None:
        self.data = folder / "data"
        with Store(self.data) as store:
            code, _ = store.write(devices.new_code)
            made = store.write(lambda db: devices.pair(db, code, "shop PC"))
        assert made is not None
        self.key = made[1]
        self.address = ""
        self._process: subprocess.Popen[str] | None = None
        self.start()

    def start(self) -> None:
        """Start the server on a free port."""
        line = [sys.executable, "-u", "-m", "bothends.service.command", "serve", "--http", "--port", "0"]
        self._process = subprocess.Popen(
            [*line, "--no-browser", "--data", str(self.data)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert self._process.stdout is not None
        said = ""
        for row in self._process.stdout:
            said += row
            if found := re.search(r"http://\S+?(?=/ )", row):
                self.address = found[0]
                return
        raise RuntimeError(f"the server did not start:\n{said}")

    def stop(self) -> None:
        """Stop the server."""
        if self._process is not None:
            self._process.terminate()
            self._process.communicate(timeout=20)
            self._process = None

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
