"""How long one device's pushes take while another one floods a job, and a third one reads the list of jobs.

Run on demand, against real servers on this machine; nothing of it is a test. One device sends logs of thousands
of entries of one job, batch after batch of as many as a batch may have, until the job takes no more. Another
pushes one reading of its own job at a time, in turn to the flooded server and to one that is left alone, which
meets whatever else the machine does. Prints median, 95th percentile and longest of both.

`PYTHONPATH=tests uv run python -m shop.bench_flood`
"""

import argparse
import http.client
import json
import statistics
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from book.pages import an_id
from browser.server import running

from bothends.book import devices, entries
from bothends.book.ids import new
from bothends.book.store import visit
from shop.bench_fold import LOGS, Log, entries_of

PAUSE_S = 0.02
"""Between two pushes of the device that is timed."""
LOOK_S = 0.3
"""Between two looks at the list of jobs."""
AFTER_S = 2.0
"""How long pushes are timed after the flood: what was pushed last is still to be folded."""
T = TypeVar("T")
Server = tuple[str, Path]
"""Address and data folder."""


class Device:
    """A paired device with a connection of its own."""

    def __init__(self, address: str, data: Path) -> None:
        self._connection = http.client.HTTPConnection(address.removeprefix("http://"))
        self._headers = {"Content-Type": "application/json"}
        code, _ = visit(data, devices.new_code)
        made = json.loads(self.ask("POST", "/api/devices", json.dumps({"code": code, "name": "phone"})))
        self._headers["Authorization"] = f"Bearer {made['key']}"

    def ask(self, method: str, address: str, body: str | None = None) -> bytes:
        """The body of the answer, which must be one that went well."""
        try:
            self._connection.request(method, address, body, self._headers)
            reply = self._connection.getresponse()
        except ConnectionError:
            # Left idle while the other server kept us waiting; a record may be sent twice.
            self._connection.close()
            self._connection.request(method, address, body, self._headers)
            reply = self._connection.getresponse()
        found = reply.read()
        assert reply.status < 300, (reply.status, found)
        return found


def flood(device: Device, log: list[dict[str, Any]]) -> tuple[int, int]:
    """Send a log batch by batch, as fast as it goes; how many entries were stored and refused."""
    size = entries.BATCH
    batches = [json.dumps({"entries": log[at : at + size]}) for at in range(0, len(log), size)]
    rows = [row for batch in batches for row in json.loads(device.ask("POST", "/api/entries", batch))["rows"]]
    stored = sum(row["status"] == "stored" for row in rows)
    return stored, len(rows) - stored


def push(device: Device, job: str) -> float:
    """Push one reading; the seconds until it is on the shop's disk."""
    page = Log(job=job)
    entry = page.reading(214.0)
    entry["id"] = new()
    begin = time.perf_counter()
    device.ask("PUT", f"/api/entries/{entry['id']}", json.dumps(entry))
    return time.perf_counter() - begin


def until(over: threading.Event, pause_s: float, work: Callable[[], T], found: list[T]) -> None:
    """Do something over and over until it is over; what each time came to goes into the list."""
    while not over.wait(pause_s):
        found.append(work())


def in_words(times: list[float]) -> str:
    """Median, 95th percentile and longest."""
    ordered = sorted(times)
    late = ordered[int(0.95 * (len(ordered) - 1))]
    return (
        f"median {1e3 * statistics.median(times):4.0f} ms, 95 of 100 within {1e3 * late:4.0f} ms,"
        f" longest {1e3 * max(times):4.0f} ms"
    )


def measured(flooded: Server, alone: Server, log: list[dict[str, Any]], job: str) -> None:
    """Flood with one log and print."""
    there, reader, flooding = (Device(*flooded) for _ in range(3))
    here = Device(*alone)
    over = threading.Event()

    def pair() -> tuple[float, float]:
        return push(there, job), push(here, job)

    def look() -> float:
        begin = time.perf_counter()
        reader.ask("GET", "/api/jobs")
        return time.perf_counter() - begin

    pair(), look()
    pairs: list[tuple[float, float]] = []
    looks: list[float] = []
    threads = [
        threading.Thread(target=until, args=(over, PAUSE_S, pair, pairs)),
        threading.Thread(target=until, args=(over, LOOK_S, look, looks)),
    ]
    for thread in threads:
        thread.start()
    begin = time.perf_counter()
    stored, refused = flood(flooding, log)
    took = time.perf_counter() - begin
    over.wait(AFTER_S)
    over.set()
    for thread in threads:
        thread.join()
    print(
        f"  flood: {stored} stored, {refused} refused in {took:.1f} s; {len(pairs)} pushes of another device"
    )
    print(f"  at the flooded server:    {in_words([pair[0] for pair in pairs])}")
    print(f"  at the one left alone:    {in_words([pair[1] for pair in pairs])}")
    print(f"  the list of jobs, flooded: {in_words(looks)}", flush=True)


def main() -> None:
    """Start two servers, flood one with every kind of log."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=12_000, help="entries of the flood")
    options.add_argument("--only", default="", help="words of the name of the log; all of them if not given")
    given = options.parse_args()
    logs = {name: write for name, write in LOGS.items() if given.only in name}
    for number, (name, write) in enumerate(logs.items(), 2):
        log = entries_of(write, given.entries)
        with tempfile.TemporaryDirectory() as folder:
            one, other = Path(folder, "flooded"), Path(folder, "alone")
            one.mkdir()
            other.mkdir()
            with running(one, demo=False) as flooded, running(other, demo=False) as alone:
                print(f"{name}, {given.entries} entries", flush=True)
                measured((flooded, one / "data"), (alone, other / "data"), log, an_id(number))


if __name__ == "__main__":
    main()
