"""The book deleted or replaced underneath a running server: noticed before the next answer, and nothing is lost."""

import random
import shutil
import threading

import httpx
import pytest
from book.pages import Page, an_id
from service.shop import shop

from bothends.book import log
from bothends.book.backup import backup
from bothends.book.store import BOOK, BookMovedError, Store, glance

FILES = (BOOK, BOOK + "-wal", BOOK + "-shm")


def ids(path) -> list[str]:
    """Ids in the book of a folder, by another program."""
    return glance(path, lambda db: [entry["id"] for _, entry in log.since(db, 0, 10_000)])


def pushed(here, *entries) -> httpx.Response:
    return here.client.post("/api/entries", json={"entries": list(entries)})


def moved(reply: httpx.Response) -> None:
    """Check that an answer is the clear problem."""
    assert (reply.status_code, reply.json()["code"]) == (503, "book-moved")
    assert reply.headers["retry-after"] == "1"


@pytest.mark.parametrize("gone", [FILES, FILES[:1], FILES[1:2]], ids=["all", "book", "log"])
def test_a_book_deleted_under_the_server_never_takes_an_entry_with_it(running, tmp_path, gone):
    page = Page()
    for value in range(1, 8):
        page.reading(float(value))
    with shop(running, tmp_path) as here:
        here.push(*page.entries[:3])
        epoch = here.get("/api/entries")["epoch"]
        for name in gone:
            (tmp_path / name).unlink()
        moved(pushed(here, *page.entries[3:5]))
        # The same book again: its epoch, its devices, all that was answered for; nothing of what was not.
        assert here.get("/api/entries")["epoch"] == epoch
        assert [e["id"] for e in here.get("/api/entries")["entries"]] == [e["id"] for e in page.entries[:3]]
        here.push(*page.entries[3:])
        assert ids(tmp_path) == [e["id"] for e in page.entries]
        for name in gone:
            (tmp_path / name).unlink()
    # Nobody has asked since: the end notices as well.
    with Store(tmp_path) as store:
        assert [e["id"] for _, e in store.read(lambda db: log.since(db, 0, 99))] == [
            e["id"] for e in page.entries
        ]
    assert not list(tmp_path.glob("*.part"))


@pytest.mark.parametrize("asks", ["read", "write"])
def test_a_book_replaced_under_the_server_never_answers_for_the_other_and_is_kept_beside_it(
    running, tmp_path, asks
):
    data, page = tmp_path / "data", Page()
    for value in range(1, 8):
        page.reading(float(value))
    with shop(running, data) as here:
        here.push(*page.entries[:2])
        backup(data, tmp_path / "copy.sqlite3")
        here.push(*page.entries[2:5])
        shutil.copyfile(tmp_path / "copy.sqlite3", tmp_path / "new.sqlite3")
        (tmp_path / "new.sqlite3").replace(data / BOOK)
        moved(here.client.get("/api/entries") if asks == "read" else pushed(here, page.entries[5]))
        assert [e["id"] for e in here.get("/api/entries")["entries"]] == [e["id"] for e in page.entries[:2]]
        here.push(*page.entries)
        assert set(ids(data)) == {e["id"] for e in page.entries}
    (kept,) = data.glob("book-replaced-*.sqlite3")
    other = tmp_path / "other"
    other.mkdir()
    shutil.copyfile(kept, other / BOOK)
    with Store(other) as store:
        assert [e["id"] for _, e in store.read(lambda db: log.since(db, 0, 99))] == [
            e["id"] for e in page.entries[:5]
        ]


def test_a_write_whose_file_goes_in_the_middle_is_never_answered_for(tmp_path):
    entry = Page().reading(214.0)

    def work(db):
        done = log.append(db, [entry])
        (tmp_path / BOOK).unlink()
        return done

    with Store(tmp_path) as store:
        with pytest.raises(BookMovedError, match="deleted"):
            store.write(work)
        with pytest.raises(BookMovedError):
            store.read(log.last)


def test_a_folder_that_is_moved_away_never_gets_an_answer_for_what_it_cannot_keep(running, tmp_path):
    data, page = tmp_path / "data", Page()
    for value in range(1, 4):
        page.reading(float(value))
    with shop(running, data) as here:
        here.push(page.entries[0])
        data.rename(tmp_path / "elsewhere")
        for _ in range(3):
            moved(pushed(here, page.entries[1]))
        (tmp_path / "elsewhere").rename(data)
        # It is back, and so is everything.
        here.push(*page.entries[1:])
    assert ids(data) == [e["id"] for e in page.entries]


@pytest.mark.slow
def test_whatever_is_deleted_while_devices_push_no_acknowledged_entry_is_missing(running, tmp_path):
    when, acknowledged, refused = random.Random(20261126), [], []
    stop = threading.Event()

    def device(here, number):
        page = Page(job=an_id(number), device=f"phone-{number}", first=10_000 * number)
        for value in range(100, 500):
            entry = page.reading(float(value))
            while not stop.is_set():
                reply = pushed(here, entry)
                if reply.status_code == 200:
                    (row,) = reply.json()["rows"]
                    assert row["status"] in ("stored", "known")
                    acknowledged.append(entry["id"])
                    break
                moved(reply)
                refused.append(entry["id"])

    with shop(running, tmp_path) as here:
        threads = [threading.Thread(target=device, args=(here, number)) for number in (1, 2, 3)]
        for thread in threads:
            thread.start()
        try:
            for _ in range(8):
                goal = len(acknowledged) + when.randint(5, 40)
                while len(acknowledged) < goal and any(thread.is_alive() for thread in threads):
                    threads[0].join(0.002)
                for name in when.choice((FILES, FILES[:1], FILES[:2])):
                    (tmp_path / name).unlink(missing_ok=True)
        finally:
            stop.set()
        for thread in threads:
            thread.join()
        here.get("/api/entries")
    assert len(acknowledged) > 40
    assert refused
    stored = ids(tmp_path)
    assert len(stored) == len(set(stored))
    assert set(acknowledged) <= set(stored)
