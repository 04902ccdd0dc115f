"""A question after a large import is answered before all is read, and says so; what was pushed since is in it."""

import time

from book.pages import Page, an_id
from service.shop import shop

from bothends.book import log
from bothends.book.store import Store
from bothends.service.api import open_book

PATIENCE_S = 40


def a_job(number):
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": f"job {number}"})
    return page


def test_a_question_after_an_import_says_what_it_lacks_and_has_what_was_pushed_since(
    running, tmp_path, monkeypatch
):
    monkeypatch.setattr(open_book, "MANY", 10)
    entries = [entry for number in range(1, 151) for entry in a_job(number).entries]
    with Store(tmp_path / "book") as store:
        store.write(lambda db: log.append(db, entries))
    with shop(running, tmp_path / "book") as here:
        assert here.client.get("/api/health").json()["unread"] == 150
        first = here.get("/api/jobs", limit=500)
        assert first["total"] == 150
        pushed = a_job(200)
        here.client.post("/api/entries", json={"entries": pushed.entries})
        assert "job 200" in [line["title"] for line in here.get("/api/jobs", limit=500)["jobs"]]
        ends = time.monotonic() + PATIENCE_S
        while (page := here.get("/api/jobs", limit=500))["unread"]:
            assert time.monotonic() < ends
        assert here.client.get("/api/health").json()["unread"] == 0
        assert {line["title"] for line in page["jobs"]} == {f"job {n}" for n in (*range(1, 151), 200)}


def test_entries_of_some_jobs_come_alone_and_say_so(running, tmp_path):
    with shop(running, tmp_path / "book") as here:
        one, other = a_job(1), a_job(2)
        here.client.post("/api/entries", json={"entries": [*one.entries, *other.entries]})
        page = here.get("/api/entries", job=other.job)
        assert page["entries"] == other.entries
        assert (page["jobs"], page["last"]) == ([other.job], 2)
        assert here.get("/api/entries")["jobs"] is None
