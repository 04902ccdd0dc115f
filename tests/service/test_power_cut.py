"""A power cut at any moment: whatever was answered for before it is on the disk, and the book opens and is sound.

The real commands run under strace. From what they wrote, cut, renamed and synced, the disk is built as it may stand
at moments chosen at random (``disk``), and opened with the product's own code. ``--power-cuts N`` chooses N of each
kind, and N more right after an answer.
"""

import contextlib
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections import Counter
from pathlib import Path

import httpx
import pytest
import tools
from book.pages import Page, an_id
from service.disk import Disk, answered, command, steps, usable

from bothends.book import log, schema
from bothends.book.backup import check
from bothends.book.store import BOOK, Store, tune

pytestmark = pytest.mark.slow(seconds=2)

OURS = [sys.executable, "-u", "-m", "bothends.service.command"]
SEED = 20261126
CUTS = 10, 25
"""Of each kind in every run, and with ``--long``."""


@pytest.fixture(scope="module")
def trace(tmp_path_factory) -> Path:
    """A place for what strace writes, where it is there and may be used."""
    tools.need("strace")
    place = tmp_path_factory.mktemp("trace") / "trace"
    if not usable(place):
        tools.forbidden("strace", "it may not watch other programs (ptrace)")
    return place


@pytest.fixture
def cuts(request, long) -> int:
    """How many power cuts of each kind."""
    return request.config.getoption("--power-cuts") or CUTS[long]


def pushed(client: httpx.Client, page: Page, how: random.Random) -> None:
    """Send what a page has, one by one and in batches."""
    left = list(page.entries)
    while left:
        some, left = left[: (size := how.choice((1, 1, 3, 9)))], left[size:]
        if len(some) == 1:
            reply = client.put(f"/api/entries/{some[0]['id']}", json=some[0])
            assert reply.status_code in (200, 201), reply.text
        else:
            rows = client.post("/api/entries", json={"entries": some}).json()["rows"]
            assert {row["status"] for row in rows} == {"stored"}
        # Lists fold what has come: those writes belong to a shop's day.
        if how.random() < 0.2:
            assert client.get("/api/jobs").status_code == 200


def served(trace: Path, data: Path, page: Page) -> None:
    """Run the real server, watched, while a device pushes a page; end it in order."""
    words = [*OURS, "serve", "--http", "--port", "0", "--no-browser", "--data", str(data)]
    with subprocess.Popen(command(trace, *words), stdout=subprocess.PIPE, text=True) as process:
        said = ""
        for line in process.stdout or ():
            said += line
            if found := re.search(r"http://\S+?(?=/\. )", line):
                break
        else:
            raise AssertionError(said)
        code = re.search(r"Pairing code (\S+):", said)[1]
        with httpx.Client(base_url=found[0], trust_env=False, timeout=60) as client:
            made = client.post("/api/devices", json={"code": code, "name": "phone"}).raise_for_status().json()
            client.headers["authorization"] = f"Bearer {made['key']}"
            pushed(client, page, random.Random(SEED))
        # strace itself passes no signal on; the server is its only child.
        (child,) = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        os.kill(int(child), signal.SIGTERM)
        process.wait(60)


def readings(number: int, how_many: int) -> Page:
    page = Page(job=an_id(number), device=f"phone-{number}", first=10_000 * number)
    for value in range(100, 100 + how_many):
        page.reading(float(value))
    return page


def ids_in(path: Path) -> set[str]:
    """Ids in one file; {} where it is no book. What was renamed into place is whole or was never promised."""
    try:
        check(path)
    except Exception:
        return set()
    with contextlib.closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as db:
        return {row[0] for row in db.execute("SELECT id FROM entries")}


def opened(data: Path) -> set[str]:
    """Ids in the book of a folder, opened as the server would."""
    with Store(data) as store:
        (found,) = store.read(lambda db: db.execute("PRAGMA integrity_check").fetchone())
        assert found == "ok"
        return {entry["id"] for _, entry in store.read(lambda db: log.since(db, 0, 1_000_000))}


def replay(disk: Disk, trace: Path, tmp_path: Path, cuts: int, look, acknowledged: set[str]) -> Counter:
    """Cut the power at so many moments; ``look(folder, acknowledged, said)`` says what is missing on each disk."""
    done = list(steps(trace))
    chance = random.Random(SEED)
    told, said = Counter(), b""
    moments = Counter(chance.randrange(len(done)) for _ in range(cuts))
    # The end is a moment too, and so is each one right after an answer: nothing may be on its way then.
    moments[len(done) - 1] += 1
    spoken = [at for at, step in enumerate(done) if step[0] == "said" and answered(step[1])]
    moments.update(chance.sample(spoken, min(len(spoken), cuts)))
    for at, step in enumerate(done):
        if step[0] == "said":
            acknowledged |= set(answered(step[1]))
            said = step[1]
        told["changes"] += disk.do(step)
        for _ in range(moments[at]):
            place = tmp_path / "cut"
            place.mkdir()
            disk.cut(place, chance)
            missing = look(place, acknowledged, said)
            shutil.rmtree(place)
            told["disks"] += 1
            told["lossy"] += bool(missing)
            if missing:
                told["first"] = told["first"] or at
    told["acknowledged"] = len(acknowledged)
    return told


def in_book(folder: Path, acknowledged: set[str], _: bytes) -> set[str]:
    """What is missing in the book."""
    data = folder / "data"
    data.mkdir(exist_ok=True)
    return acknowledged - opened(data)


def test_no_power_cut_while_devices_push_takes_an_entry_that_was_answered_for(trace, tmp_path, cuts):
    work = tmp_path / "work"
    (work / "data").mkdir(parents=True)
    disk = Disk(work)
    page = readings(1, 60)
    served(trace, work / "data", page)
    told = replay(disk, trace, tmp_path, cuts, in_book, set())
    print(dict(told))
    assert (told["lossy"], told["acknowledged"]) == (0, 60), told
    assert told["changes"] > 100


def test_no_power_cut_while_an_older_book_is_brought_up_to_date_takes_an_entry(trace, tmp_path, cuts):
    work = tmp_path / "work"
    data = work / "data"
    data.mkdir(parents=True)
    old = readings(2, 40)
    db = tune(data / BOOK)
    names = schema.names()
    schema.BOOK.apply(db, stop_before=names[names.index("m004_views") + 1 :])
    with db.conn:
        for entry in old.entries:
            db.execute(
                "INSERT INTO entries (id, job, device, at, kind, schema, body, received)"
                " VALUES (?, ?, ?, ?, ?, 1, ?, ?)",
                [entry["id"], entry["job"], "phone-2", entry["at"], "reading", '{"value":214.0}', log.now()],
            )
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    db.close()
    disk = Disk(work)
    served(trace, data, readings(3, 12))
    told = replay(disk, trace, tmp_path, cuts, in_book, {entry["id"] for entry in old.entries})
    print(dict(told))
    assert (told["lossy"], told["acknowledged"]) == (0, 52), told


@pytest.fixture
def shop_with_copy(tmp_path):
    """A book that has grown since a copy of it was made: its folder's parent, ids in the copy, ids in the book."""
    work = tmp_path / "work"
    (work / "copies").mkdir(parents=True)
    first, then = readings(4, 30), readings(5, 20)
    with Store(work / "data") as store:
        store.write(lambda db: log.append(db, first.entries))
    shutil.copyfile(work / "data" / BOOK, work / "copies" / "copy.sqlite3")
    with Store(work / "data") as store:
        store.write(lambda db: log.append(db, then.entries))
    copied = {entry["id"] for entry in first.entries}
    return work, copied, copied | {entry["id"] for entry in then.entries}


def test_no_power_cut_while_a_copy_is_made_leaves_half_a_copy_under_its_name(
    trace, tmp_path, cuts, shop_with_copy
):
    work, _, everything = shop_with_copy
    disk = Disk(work)
    copy = Path("copies") / "new.sqlite3"
    words = [*OURS, "backup", str(work / copy), "--data", str(work / "data")]
    subprocess.run(command(trace, *words), check=True, stdout=subprocess.PIPE)

    def look(folder: Path, acknowledged: set[str], said: bytes) -> set[str]:
        missing = in_book(folder, acknowledged, said)
        # It has its name once it is whole, and once that was said it has its name.
        if (folder / copy).exists() or b"records, checked" in said:
            missing |= everything - ids_in(folder / copy)
        return missing

    told = replay(disk, trace, tmp_path, cuts, look, set(everything))
    print(dict(told))
    assert told["lossy"] == 0, told


def test_no_power_cut_while_a_copy_is_restored_takes_an_entry_of_either_book(
    trace, tmp_path, cuts, shop_with_copy
):
    work, copied, everything = shop_with_copy
    disk = Disk(work)
    words = [*OURS, "restore", str(work / "copies" / "copy.sqlite3"), "--data", str(work / "data")]
    subprocess.run(command(trace, *words), check=True, stdout=subprocess.PIPE)

    def look(folder: Path, acknowledged: set[str], said: bytes) -> set[str]:
        data = folder / "data"
        data.mkdir(exist_ok=True)
        kept = set().union(*(ids_in(path) for path in data.glob("book-replaced-*.sqlite3")))
        book = opened(data)
        missing = acknowledged - book - kept
        if b"records restored" in said:
            missing |= copied - book
        return missing

    told = replay(disk, trace, tmp_path, cuts, look, set(everything))
    print(dict(told))
    assert told["lossy"] == 0, told


CARELESS = """
import os, sys
from pathlib import Path
from book.pages import Page
from bothends.book import log
from bothends.book.store import Store
page = Page()
with Store(Path(sys.argv[1])) as store:
    store._writer.submit(lambda: store._db.execute("PRAGMA synchronous = NORMAL")).result()
    for value in range(100, 140):
        entry = page.reading(float(value))
        store.write(lambda db: log.append(db, [entry]))
        os.write(1, b'{"id":"%s","status":"stored"}' % entry["id"].encode())
"""


@pytest.mark.long("that no cut takes an entry; this shows that a cut would be seen to")
def test_a_book_that_is_not_synced_at_every_commit_would_never_pass(trace, tmp_path, cuts):
    work = tmp_path / "work"
    (work / "data").mkdir(parents=True)
    disk = Disk(work)
    words = command(trace, sys.executable, "-c", CARELESS, str(work / "data"))
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    subprocess.run(words, check=True, stdout=subprocess.PIPE, env=env)
    told = replay(disk, trace, tmp_path, cuts, in_book, set())
    print(dict(told))
    assert told["acknowledged"] == 40
    assert told["lossy"] > cuts // 4
