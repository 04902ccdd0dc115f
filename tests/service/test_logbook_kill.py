"""kill -9 of the real server at random while phones push: whatever was acknowledged is there.

Killing cannot imitate a power cut: the system still writes what the program had handed over. For that the
pragmas are asserted (test_store), and the reply comes after the commit.
"""

import random
import re
import signal
import sqlite3
import threading

import httpx
import pytest
from book.pages import Page, an_id
from conftest import Served

from bothends.book.store import BOOK

pytestmark = pytest.mark.slow(seconds=4)

PHONES = 4
EACH = 50
"""Entries that a phone pushes in a round."""
ROUNDS, MANY = 2, 20
"""Kills, and with ``--long``."""


def start(data) -> Served:
    return Served("--no-browser", "--data", str(data))


def key_of(server: Served) -> dict[str, str]:
    (code,) = re.findall(r"Pairing code (\S+):", server.said)
    reply = httpx.post(f"{server.address}/api/devices", json={"code": code, "name": "phone"}, trust_env=False)
    return {"Authorization": f"Bearer {reply.raise_for_status().json()['key']}"}


class Phone:
    """Pushes its log in order, one entry or a few at once, and notes what was acknowledged."""

    def __init__(self, number: int, entries: int) -> None:
        self.page = Page(job=an_id(number), device=f"phone-{number}", first=10_000 * number)
        for value in range(1, entries + 1):
            self.page.reading(float(value))
        self.acknowledged: list[str] = []
        self.random = random.Random(number)

    def push(self, address: str, key: dict[str, str]) -> None:
        with httpx.Client(base_url=address, headers=key, trust_env=False, timeout=10) as client:
            try:
                while left := self.page.entries[len(self.acknowledged) :]:
                    some = left[: self.random.choice((1, 1, 1, 7))]
                    if len(some) == 1:
                        reply = client.put(f"/api/entries/{some[0]['id']}", json=some[0])
                        good = reply.status_code in (200, 201)
                    else:
                        reply = client.post("/api/entries", json={"entries": some})
                        good = {row["status"] for row in reply.json()["rows"]} <= {"stored", "known"}
                    assert good, reply.text
                    self.acknowledged += [entry["id"] for entry in some]
            except httpx.TransportError:
                # The server is gone; what was not answered is pushed again in the next round.
                return


def ids_in(data) -> list[str]:
    with sqlite3.connect(data / BOOK) as db:
        (sound,) = db.execute("PRAGMA integrity_check").fetchone()
        assert sound == "ok"
        found = [row[0] for row in db.execute("SELECT id FROM entries ORDER BY seq")]
    db.close()
    return found


def test_whatever_was_acknowledged_before_a_kill_is_there_after_it(tmp_path, long):
    rounds = MANY if long else ROUNDS
    data = tmp_path / "book"
    when = random.Random(20260921)
    phones = [Phone(number, EACH * rounds) for number in range(1, PHONES + 1)]
    key: dict[str, str] = {}
    kills = 0
    for number in range(rounds + 1):
        server = start(data)
        key = key or key_of(server)
        threads = [threading.Thread(target=phone.push, args=(server.address, key)) for phone in phones]
        for thread in threads:
            thread.start()
        if number < rounds:
            # After some more acknowledgements, at whatever the server is doing just then.
            goal = sum(len(p.acknowledged) for p in phones) + when.randint(20, PHONES * EACH)
            while sum(len(p.acknowledged) for p in phones) < goal and any(t.is_alive() for t in threads):
                threads[0].join(when.random() * 0.01)
            server.stop(signal.SIGKILL)
            kills += 1
        for thread in threads:
            thread.join()
        if number == rounds:
            assert server.stop() == 0
        stored = ids_in(data)
        assert len(stored) == len(set(stored))
        for phone in phones:
            assert set(phone.acknowledged) <= set(stored)
    assert kills == rounds
    everything = {entry["id"] for phone in phones for entry in phone.page.entries}
    assert set(ids_in(data)) == everything
    assert len(everything) == PHONES * EACH * rounds
