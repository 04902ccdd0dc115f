"""What one process carries: devices that push, devices that listen, shops beside each other.

    PYTHONPATH=tests uv run python -m shop.bench_host

Run on demand on Linux; prints, asserts nothing. The real command, its devices in this process on connections of
their own. Beside what this machine did meanwhile stands what the server took of its processor, which other work on
the machine changes little: the inverse is what one core would carry. ``--seconds 3`` is shorter.
"""

import argparse
import contextlib
import http.client
import json
import os
import statistics
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from book.pages import Page
from browser.server import ADDRESS, program

from bothends.book import devices, entries, log
from bothends.book.ids import new
from bothends.book.store import visit

TICKS = os.sysconf("SC_CLK_TCK")
BEAT_S = 20.0
"""How long silent shops are watched: one beat of a stream at least."""


class Server:
    """A shop in a process of its own."""

    def __init__(self, folder: Path) -> None:
        command, env = program()
        words = ["serve", "--http", "--port", "0", "--no-browser", "--data", str(folder)]
        self.data = folder
        self._process = subprocess.Popen([*command, *words], env=env, stdout=subprocess.PIPE, text=True)
        assert self._process.stdout is not None
        self.address = next(hit[0] for line in self._process.stdout if (hit := ADDRESS.search(line)))

    def _all(self) -> list[int]:
        """This process and those that it started."""
        found = [self._process.pid]
        for pid in found:
            for children in Path(f"/proc/{pid}/task").glob("*/children"):
                found += map(int, children.read_text().split())
        return found

    def processor(self) -> float:
        """Processor time so far, [s]."""
        words = (Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split() for pid in self._all())
        return sum(int(one[11]) + int(one[12]) for one in words) / TICKS

    def memory(self) -> float:
        """Memory of its own, what it shares with others in parts, [MB]."""
        pages = [Path(f"/proc/{pid}/smaps_rollup").read_text() for pid in self._all()]
        return (
            sum(
                int(line.split()[1])
                for text in pages
                for line in text.splitlines()
                if line.startswith("Pss:")
            )
            / 1024
        )

    def stop(self) -> None:
        """End it in order."""
        self._process.terminate()
        self._process.communicate(timeout=30)


class Device:
    """A paired device with a connection of its own and jobs of its own."""

    def __init__(self, server: Server, number: int) -> None:
        # Not by the API, where tries are counted.
        code, _ = visit(server.data, devices.new_code)
        made = visit(server.data, lambda db: devices.pair(db, code, f"phone {number}"))
        assert made is not None
        self._connection = http.client.HTTPConnection(server.address.removeprefix("http://"))
        self._headers = {"Content-Type": "application/json", "Authorization": f"Bearer {made[1]}"}
        self._first = 10**6 * number
        self._begin()

    def _begin(self) -> None:
        """Begin another job: one takes so many records and no more."""
        self._page = Page(job=new(), first=self._first)
        self._first += log.PER_JOB
        self._taken = 0

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        """One request; the JSON of the answer."""
        self._connection.request(method, path, json.dumps(body) if body else None, self._headers)
        reply = self._connection.getresponse()
        said = reply.read()
        assert reply.status < 300, said
        return json.loads(said)

    def push(self, many: int) -> float:
        """Push so many new readings; how long that took, [s]."""
        if self._taken + many > log.PER_JOB:
            self._begin()
        for value in range(many):
            self._page.reading(214.0 + value % 7)
        rows, self._taken = self._page.entries[self._taken :], len(self._page.entries)
        began = time.perf_counter()
        told = self.ask("POST", "/api/entries", {"entries": rows})
        took = time.perf_counter() - began
        assert all(row["status"] == "stored" for row in told["rows"])
        return took

    def listen(self) -> None:
        """Begin a stream of news that nobody reads; what is said fits into the system's buffers."""
        self._connection.request("GET", "/api/news", None, self._headers)
        assert self._connection.getresponse().status == 200

    def close(self) -> None:
        """End it."""
        self._connection.close()


@contextlib.contextmanager
def shop(folder: Path) -> Iterator[Server]:
    """A shop, ended afterwards."""
    server = Server(folder)
    try:
        yield server
    finally:
        server.stop()


def pushed(server: Server, phones: list[Device], many: int, seconds: float) -> None:
    """Have all phones push so many readings at once, one push after the other, for so long; print."""
    took: list[float] = []
    ends = time.perf_counter() + seconds

    def push(device: Device) -> None:
        while time.perf_counter() < ends:
            took.append(device.push(many))

    threads = [threading.Thread(target=push, args=(device,)) for device in phones]
    began, before = time.perf_counter(), server.processor()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    wall, used = time.perf_counter() - began, server.processor() - before
    took.sort()
    print(
        f"{len(phones):7d}{many:10d}{len(took) / wall:12.0f}{len(took) * many / wall:12.0f}"
        f"{1000 * statistics.median(took):12.1f}{1000 * took[int(0.95 * len(took))]:9.1f}"
        f"{1000 * used / len(took):14.2f}{len(took) * many / used:16.0f}",
        flush=True,
    )


def silent(folder: Path, shops: int, listeners: int) -> None:
    """Watch shops that have nothing to do but to keep streams; print."""
    with contextlib.ExitStack() as held:
        servers = [held.enter_context(shop(folder / f"silent-{n}")) for n in range(shops)]
        for server in servers:
            for number in range(listeners):
                device = Device(server, number)
                held.callback(device.close)
                device.push(1)
                device.listen()
        before = [server.processor() for server in servers]
        time.sleep(BEAT_S)
        used = statistics.fmean(s.processor() - b for s, b in zip(servers, before, strict=True))
        memory = statistics.fmean(server.memory() for server in servers)
        print(
            f"{shops:5d} shops, {listeners:3d} streams each: {memory:5.0f} MB, {100 * used / BEAT_S:.2f} % core"
        )


def main() -> None:
    """Measure and print."""
    told = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    told.add_argument("--seconds", type=float, default=10.0, help="of each line")
    seconds = told.parse_args().seconds
    print(f"load {os.getloadavg()[0]:.1f}, a batch takes {entries.BATCH} records at most")
    with tempfile.TemporaryDirectory() as at:
        folder = Path(at)
        print(
            "phones  readings    pushes/s  readings/s   median ms  95th ms  processor ms  readings/s and core"
        )
        for phones, many, listeners in (
            (1, 1, 0),
            (4, 1, 0),
            (16, 1, 0),
            (16, 1, 64),
            (1, 100, 0),
            (4, 100, 0),
        ):
            with shop(folder / f"{phones}-{many}-{listeners}") as server, contextlib.ExitStack() as held:
                hands = [Device(server, number) for number in range(phones + listeners)]
                for device in hands:
                    held.callback(device.close)
                for device in hands[phones:]:
                    device.listen()
                if listeners:
                    print(f"  with {listeners} devices that listen:")
                pushed(server, hands[:phones], many, seconds)
        for shops, listeners in ((1, 0), (4, 0), (4, 10)):
            silent(folder / f"{shops}-{listeners}", shops, listeners)


if __name__ == "__main__":
    main()
