"""/api/erasures and bothends erase: what goes is shown first, done once, and told by who, when and how many."""

import io
import json
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from book.pages import JOB, Page, an_id
from book.test_erasures import visits
from service.shop import shop

from bothends.book import bookfile, copies, erasing, erasures, folded, store
from bothends.book.backup import backup, restore
from bothends.service.cli.erase import LEFT
from bothends.service.command import main


@pytest.fixture
def page():
    page = Page()
    page.write("job", {"title": "Maren's car", "owner": "Maren", "plate": "AB-12", "car": "Gannet"})
    page.heights(214.0, 210.0, spot="bay 2")
    page.write("note", {"text": "ring Maren"})
    return page


@pytest.fixture
def garage(running, tmp_path, page):
    with shop(running, tmp_path / "book") as open_shop:
        open_shop.push(*page.entries)
        yield open_shop


def test_a_customer_is_shown_then_erased_and_the_list_says_who_when_and_how_many(garage):
    told = garage.get(f"/api/erasures/{JOB}")
    (one,) = told["jobs"]
    assert (one["owner"], one["plate"], one["car"], one["entries"]) == ("Maren", "AB-12", "Gannet", 2)
    assert (one["spots"], one["erased"], told["copies_days"]) == (["bay 2"], False, copies.LONGEST_DAYS)
    asked = {"jobs": [JOB, JOB], "cars": {JOB: "Gannet"}}
    (done,) = garage.client.post("/api/erasures", json=asked).raise_for_status().json()["erasures"]
    assert (done["job"], done["entries"]) == (JOB, 2)
    assert garage.get("/api/erasures") == {"erasures": [done], "next": None}
    assert done["by"] == garage.get(f"/api/devices/{garage.device}")["name"]
    sheet = garage.get(f"/api/jobs/{JOB}")["sheet"]
    assert (sheet["owner"], sheet["title"], sheet["car_name"]) == ("", "Gannet", "Gannet")
    assert (sheet["erased"]["id"], sheet["erased"]["at"]) == (done["id"], done["at"])
    everything = json.dumps([garage.get("/api/entries"), garage.get("/api/jobs"), garage.get("/api/cars")])
    assert "Maren" not in everything
    assert [r["value"] for r in sheet["readings"]] == [214.0, 210.0]
    assert garage.get(f"/api/erasures/{JOB}")["jobs"][0]["entries"] == 0


def test_a_phone_that_sends_the_old_words_again_is_told_to_take_the_erased_form(garage, page):
    garage.client.post("/api/erasures", json={"jobs": [JOB]}).raise_for_status()
    rows = garage.push(*page.entries)
    assert [(row["status"], row.get("erased")) for row in rows] == [
        ("known", True),
        ("known", None),
        ("known", None),
        ("known", True),
    ]
    note = page.entries[-1]
    put = garage.client.put(f"/api/entries/{note['id']}", json=note)
    assert (put.status_code, put.json()["erased"]) == (200, True)
    late = page.write("note", {"text": "Maren again"})
    put = garage.client.put(f"/api/entries/{late['id']}", json=late)
    assert (put.status_code, put.json()["erased"]) == (201, True)


def test_an_erasure_that_no_device_of_the_shop_wrote_takes_nothing(garage, page):
    page.device = "somebody"
    erasure = page.write("erase", {"entries": 9})
    note = page.write("note", {"text": "and a note"})
    rows = garage.push(erasure, note)
    assert [(row["status"], row.get("code")) for row in rows] == [("refused", "not-erased"), ("stored", None)]
    put = garage.client.put(f"/api/entries/{erasure['id']}", json=erasure)
    assert (put.status_code, put.json()["code"]) == (409, "not-erased")
    assert garage.get(f"/api/jobs/{JOB}")["sheet"]["owner"] == "Maren"
    page.device = garage.device
    assert garage.push(page.write("erase", {}))[0]["status"] == "stored"
    assert garage.get(f"/api/jobs/{JOB}")["sheet"]["owner"] == ""


def test_a_link_to_an_erased_job_has_no_word_and_nobody_without_a_key_erases(garage):
    token = garage.client.post("/api/links", json={"job": JOB}).raise_for_status().json()["token"]
    refused = garage.guest.post("/api/erasures", json={"jobs": [JOB]})
    assert (refused.status_code, refused.json()["code"]) == (401, "no-key")
    assert "Maren" in garage.guest.get(f"/api/links/{token}").text
    garage.client.post("/api/erasures", json={"jobs": [JOB]}).raise_for_status()
    assert "Maren" not in garage.guest.get(f"/api/links/{token}").text


def test_a_job_that_is_not_here_erases_nothing(garage):
    nobody = an_id(77)
    reply = garage.client.post("/api/erasures", json={"jobs": [JOB, nobody]})
    assert (reply.status_code, reply.json()["code"]) == (404, "not-found")
    assert garage.client.get(f"/api/erasures/{nobody}").status_code == 404
    assert garage.get("/api/erasures")["erasures"] == []


def test_the_command_shows_first_and_erases_when_told_to(garage, tmp_path, capsys):
    data = ["--data", str(tmp_path / "book")]
    assert main(["erase", JOB, *data]) == 0
    said = capsys.readouterr()
    assert "Maren's car, Maren, AB-12, Gannet; 2 records have words" in said.out
    assert "Nothing was erased" in said.out
    assert main(["erase", JOB, "--visits", "--car", "Gannet", "--yes", *data]) == 0
    assert LEFT in capsys.readouterr().out
    (done,) = garage.get("/api/erasures")["erasures"]
    assert (done["by"], done["entries"]) == ("the shop's PC", 2)
    assert [e["device"] for e in erasures.read(tmp_path / "book")] == [erasures.SHOP] * 2
    assert main(["erase", an_id(77), "--yes", *data]) == 2
    assert main(["erase", JOB, "--data", str(tmp_path / "none")]) == 2


WORDS = ("title", "owner", "wish", "car", "car_id", "car_key", "car_by", "plate", "said", "writer", "choices")
"""What an answer says beside figures; choices are names of people."""
ADDED = ("entries", "last_at", "seq")
"""How much was written when, which an erasure adds to."""


def figures(value):
    """An answer without words."""
    if isinstance(value, dict):
        return {name: figures(inner) for name, inner in value.items() if name not in WORDS + ADDED}
    return [figures(inner) for inner in value] if isinstance(value, list) else value


def answers(garage, pages):
    """All that is worked out of a book, without words."""
    asked = (
        ("/api/history", {}),
        ("/api/history/calibration", {}),
        ("/api/history/calibration", {"car": "Gannet"}),
        *(("/api/cars/page", {"job": page.job}) for page in pages),
    )
    return [figures(garage.get(where, **parameters)) for where, parameters in asked]


@pytest.mark.slow
def test_every_figure_is_the_same_after_an_erasure_in_a_restored_copy_and_in_an_imported_file(
    running, tmp_path
):
    data, copy = tmp_path / "book", tmp_path / "copy.sqlite3"
    with shop(running, data) as garage:
        pages = visits(garage.store)
        backup(data, copy)
        before = answers(garage, pages)
        assert {(row["teardown"], row["hit"]) for row in before[0]["teardowns"]} == {(0, False), (1, True)}
        jobs = [page.job for page in pages[:2]]
        asked = {"jobs": jobs, "cars": dict.fromkeys(jobs, "Gannet")}
        garage.client.post("/api/erasures", json=asked).raise_for_status()
        assert answers(garage, pages) == before
        whole = b"".join(garage.store.read(lambda db: list(bookfile.lines(db))))
    restore(data, copy)
    with shop(running, data) as garage:
        assert answers(garage, pages) == before
        assert "Maren" not in json.dumps(garage.get("/api/entries"))
    with shop(running, tmp_path / "new") as garage:
        bookfile.pour(io.BytesIO(whole), garage.store.write)
        folded.catch_up(garage.store.read, garage.store.write)
        assert answers(garage, pages) == before


def test_a_phone_that_sends_while_the_file_is_written_anew_waits_and_is_answered(garage, page, monkeypatch):
    begun, go_on = threading.Event(), threading.Event()
    scrub = erasing.scrub

    def slow(db):
        begun.set()
        assert go_on.wait(60)
        return scrub(db)

    monkeypatch.setattr(erasing, "scrub", slow)
    with ThreadPoolExecutor(2) as pool:
        erasure = pool.submit(garage.client.post, "/api/erasures", json={"jobs": [JOB]})
        assert begun.wait(60)
        sent = pool.submit(garage.push, page.reading(248.0), page.write("note", {"text": "Maren rang"}))
        # Who reads is answered meanwhile; who writes is not yet.
        assert garage.get(f"/api/entries/{page.entries[0]['id']}")["body"] == {}
        assert not sent.done()
        go_on.set()
        assert erasure.result(60).status_code == 200
        rows = sent.result(60)
    assert [(row["status"], row.get("erased")) for row in rows] == [("stored", None), ("stored", True)]


def test_a_phone_that_sends_while_the_command_line_erases_waits_for_it(running, tmp_path, monkeypatch, page):
    monkeypatch.setattr(store, "PATIENCE_S", 0.01)
    data = tmp_path / "book"
    with shop(running, data) as garage, ThreadPoolExecutor(1) as pool:
        other = store.tune(data / store.BOOK, new=False)
        other.execute(store.WRITING)
        sent = pool.submit(garage.push, *page.entries)
        with pytest.raises(TimeoutError):
            sent.result(0.5)
        other.execute("COMMIT")
        other.close()
        assert {row["status"] for row in sent.result(60)} == {"stored"}
