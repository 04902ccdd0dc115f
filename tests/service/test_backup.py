"""GET and POST /api/backup: the last good copy, one more now, one a day while the app runs."""

import asyncio
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from book.pages import Page
from service.alone import alone
from service.shop import shop

from bothends.book import copies
from bothends.book.store import Store
from bothends.service.api import backup
from bothends.service.cli import reach
from bothends.service.cli.doctor import findings


@pytest.fixture
def garage(running, tmp_path):
    page = Page()
    page.write("job", {"title": "Gannet, Maren"})
    with shop(running, tmp_path / "book") as open_shop:
        open_shop.push(*page.entries)
        yield open_shop


def test_a_copy_is_made_when_asked_for_and_told_from_then_on(garage, tmp_path):
    told = garage.get("/api/backup")
    assert (told["last_at"], told["old"], told["trouble"], told["same_disk"]) == (None, True, "", True)
    made = garage.client.post("/api/backup").raise_for_status().json()
    assert made == garage.get("/api/backup")
    at = datetime.fromisoformat(made["last_at"])
    assert abs(datetime.now(UTC) - at) < timedelta(minutes=5)
    (copy,) = Path(made["folder"]).iterdir()
    assert (made["size"], made["old"]) == (copy.stat().st_size, False)


def test_only_paired_devices_see_and_make_copies(garage):
    for method in ("GET", "POST"):
        reply = httpx.request(method, f"{garage.client.base_url}/api/backup", trust_env=False)
        assert reply.json()["code"] == "no-key"


def test_a_folder_that_takes_nothing_is_told_with_what_to_do(garage):
    folder = Path(garage.get("/api/backup")["folder"])
    folder.write_text("in the way", encoding="utf-8")
    reply = garage.client.post("/api/backup")
    assert (reply.status_code, reply.json()["code"]) == (507, "no-room")
    assert "--copies" in reply.json()["remedy"]
    assert garage.get("/api/backup")["trouble"]


def test_one_is_made_a_day_by_itself(tmp_path, monkeypatch):
    monkeypatch.setattr(backup, "FIRST_S", 0.0)
    data, folder = tmp_path / "book", tmp_path / "elsewhere"
    Store(data).close()

    async def some_time() -> None:
        kept = backup.Copies(data, folder)
        task = asyncio.create_task(kept.daily())
        async with asyncio.timeout(60):
            while not kept.said().last_at:
                await asyncio.sleep(0.01)
        task.cancel()

    alone(some_time)
    assert copies.last(folder)


def test_the_doctor_tells_of_the_last_good_copy(tmp_path, monkeypatch):
    # Asking the network for a name takes a second.
    monkeypatch.setattr(reach, "answered", lambda name: [])
    data, folder = tmp_path / "book", tmp_path / "elsewhere"
    Store(data).close()

    def told() -> tuple[str, str]:
        (one,) = [one for one in findings(data, 1, copied=folder) if one.about == "copies"]
        return one.state, one.text

    assert told() == ("note", f"there is none in {folder}")
    copies.make(data, folder, datetime.now(UTC))
    state, words = told()
    assert state == "ok"
    assert f"{datetime.now(UTC):%Y-%m-%d}" in words
