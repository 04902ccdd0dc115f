"""The logbook over HTTP: taken in once, answered row by row, handed out without gaps, folded the same."""

import csv
import io
import json
import threading

import httpx
import pytest
from book.pages import JOB, Page, an_id
from service.shop import shop
from service.test_problems import shape

from bothends.book import demo, folded, log, others
from bothends.book.backup import backup, restore
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import SCHEMA
from bothends.model.solve import solve


@pytest.fixture
def here(running, tmp_path):
    """A shop with an empty book."""
    with shop(running, tmp_path / "book") as opened:
        yield opened


def put(here, entry, **more):
    return here.client.put(f"/api/entries/{entry['id']}", json=entry, **more)


def feed(here, **how):
    found, after = [], 0
    while True:
        page = here.get("/api/entries", after=after, **how)
        found += page["entries"]
        if page["next"] == after:
            return found
        after = page["next"]


def test_one_entry_is_new_then_known_then_taken(here):
    entry = Page().reading(214.0, colour="red")
    first, again = put(here, entry), put(here, entry)
    assert (first.status_code, again.status_code) == (201, 200)
    assert (first.json()["status"], again.json()["status"]) == ("stored", "known")
    assert first.json()["seq"] == again.json()["seq"]
    other = put(here, {**entry, "body": {**entry["body"], "value": 241.0}})
    assert other.status_code == 409
    assert other.json()["stored"] == entry
    assert feed(here) == [entry]


def test_a_reply_that_is_lost_and_five_retries_leave_one_row(here):
    entry = Page().reading(214.0)
    body = json.dumps(entry).encode()
    for _ in range(5):
        # The phone hangs up before it hears of it; whether the shop got it is anybody's guess.
        with httpx.Client(
            base_url=here.client.base_url, headers=here.client.headers, trust_env=False
        ) as phone:
            request = phone.build_request(
                "PUT",
                f"/api/entries/{entry['id']}",
                content=body,
                headers={"content-type": "application/json"},
            )
            phone.send(request, stream=True).close()
    assert put(here, entry).json()["status"] == "known"
    assert feed(here) == [entry]


def test_a_poisoned_row_keeps_no_other_out(here):
    page = Page()
    for value in range(1, 11):
        page.reading(float(value))
    page.entries[3]["body"]["value"] = "four"
    rows = here.push(*page.entries)
    assert [row["status"] for row in rows] == ["stored"] * 3 + ["refused"] + ["stored"] * 6
    assert (rows[3]["index"], rows[3]["code"]) == (3, "wrong-type")
    assert rows[3]["path"] == "$.entries[3].body.value"
    assert 'got "four"' in rows[3]["detail"]
    assert len(feed(here)) == 9


@pytest.mark.parametrize(
    "row",
    [None, 7, "x", [], {}, {"id": "x"}, {"kind": "reading"}, {"body": {"a": [[[[[[]]]]]]}}],
)
def test_a_row_that_is_no_entry_at_all_is_refused_by_its_index(here, row):
    good = Page().reading(214.0)
    rows = here.push(row, good)
    assert [r["status"] for r in rows] == ["refused", "stored"]
    assert rows[0]["path"].startswith("$.entries[0]")


def test_a_batch_sent_again_adds_nothing(here):
    page = Page()
    page.heights(214.0, 210.0)
    first, again = here.push(*page.entries), here.push(*page.entries, page.entries[0])
    assert [row["status"] for row in again] == ["known"] * 3
    assert [row["seq"] for row in again[:2]] == [row["seq"] for row in first]
    assert len(feed(here)) == 2


def test_a_row_with_other_content_shows_what_is_there(here):
    entry = Page().reading(214.0)
    rows = here.push(entry, {**entry, "device": "phone-b"})
    assert [row["status"] for row in rows] == ["stored", "refused"]
    assert (rows[1]["code"], rows[1]["stored"]) == ("other-content", entry)


def test_a_job_that_is_full_takes_no_more_records_and_loses_none(here, monkeypatch):
    monkeypatch.setattr(log, "PER_JOB", 2)
    page, other = Page(), Page(job=an_id(2), first=900)
    page.heights(214.0, 210.0)
    late = page.reading(211.0)
    rows = here.push(*page.entries, other.reading(1.0))
    assert [row["status"] for row in rows] == ["stored", "stored", "refused", "stored"]
    assert (rows[2]["code"], rows[2]["path"]) == ("job-full", "$.entries[2].job")
    assert "2 records" in rows[2]["detail"]
    problem = shape(here.client.put(f"/api/entries/{late['id']}", json=late), "job-full")
    assert "new job" in problem["remedy"]
    assert len(here.get(f"/api/jobs/{page.job}")["sheet"]["readings"]) == 2


def test_a_large_job_is_folded_in_a_process_of_its_own_and_read_as_any_other(here, monkeypatch):
    monkeypatch.setattr(folded, "LARGE", 3)
    page, small = Page(), Page(job=an_id(2), first=900)
    page.heights(214.0, 210.0)
    page.reading(211.0, corrects=page.entries[0]["id"])
    small.heights(200.0, 201.0)
    here.push(*page.entries, *small.entries)

    def only_small(db, job):
        assert job == small.job
        return here_too(db, job)

    here_too = folded.change_of
    monkeypatch.setattr(folded, "change_of", only_small)
    found = {row["job"]: row for row in here.get("/api/jobs")["jobs"]}
    assert (found[page.job]["left_mm"], found[page.job]["entries"]) == (211.0, 3)
    assert found[small.job]["left_mm"] == 200.0


def test_a_large_job_is_folded_here_where_its_process_fails(here, monkeypatch, caplog):
    async def fails(data, job):
        raise RuntimeError("a process ended")

    monkeypatch.setattr(folded, "LARGE", 1)
    monkeypatch.setattr(here.app.state.book._folders, "change", fails)
    page = Page()
    page.heights(214.0, 210.0)
    here.push(*page.entries)
    (row,) = here.get("/api/jobs")["jobs"]
    assert row["left_mm"] == 214.0
    assert "process of its own" in caplog.text


def test_an_entry_too_large_is_refused_alone(here):
    page = Page()
    large = page.write("note", {"text": "x", "picture": "y" * 70_000})
    rows = here.push(large, page.reading(214.0))
    assert [row.get("code") for row in rows] == ["too-large", None]


def test_entries_of_a_newer_phone_are_kept_returned_and_shown_as_not_understood(here):
    page = Page()
    page.write("varnish", {"coat": 2}, mood="good")
    page.write("move", {"teardown": "first"}, schema=SCHEMA + 1)
    assert [row["status"] for row in here.push(*page.entries)] == ["stored"] * 2
    assert feed(here) == page.entries
    puzzles = here.get(f"/api/jobs/{JOB}")["sheet"]["puzzles"]
    assert all("not understood by this version" in p["text"] for p in puzzles)
    assert len(puzzles) == 2


def test_a_clock_a_year_ahead_is_accepted_and_mentioned(here):
    page = Page()
    ahead = page.write("note", {"text": "from years ahead"}, at="2126-09-21T10:00:00+02:00")
    reply = put(here, ahead)
    assert reply.status_code == 201
    assert "clock" in reply.json()["note"]


@pytest.mark.slow
def test_a_poller_misses_nothing_while_many_phones_push(here):
    """Parallel writers over HTTP, some one by one and some in batches, and a reader who polls throughout."""
    pages = [Page(job=an_id(n), device=f"phone-{n}", first=1000 * n) for n in range(1, 6)]
    for page in pages:
        for value in range(1, 25):
            page.reading(float(value))
    done = threading.Event()
    seen: list[str] = []

    def poll():
        after = 0
        while True:
            last_round = done.is_set()
            page = here.get("/api/entries", after=after, limit=5)
            seen.extend(entry["id"] for entry in page["entries"])
            if last_round and page["next"] == after:
                return
            after = page["next"]

    def write(page):
        with httpx.Client(
            base_url=here.client.base_url, headers=here.client.headers, trust_env=False
        ) as phone:
            for entry in page.entries[:12]:
                phone.put(f"/api/entries/{entry['id']}", json=entry).raise_for_status()
            for _ in range(2):
                phone.post("/api/entries", json={"entries": page.entries}).raise_for_status()

    poller = threading.Thread(target=poll)
    writers = [threading.Thread(target=write, args=(page,)) for page in pages]
    for thread in (poller, *writers):
        thread.start()
    for thread in writers:
        thread.join()
    done.set()
    poller.join()
    assert len(seen) == len(set(seen)) == 5 * 24
    assert set(seen) == {entry["id"] for page in pages for entry in page.entries}


def test_the_shop_folds_the_same_sheet_as_the_phone(here):
    entries = demo.entries()
    here.push(*reversed(entries))
    for job in {entry["job"] for entry in entries}:
        assert here.get(f"/api/jobs/{job}")["sheet"] == json.loads(json.dumps(fold(job, entries)))


def test_a_jobs_request_can_be_solved_as_it_is(here):
    here.push(*demo.entries())
    for line in here.get("/api/jobs", query="plover")["jobs"]:
        found = here.get(f"/api/jobs/{line['job']}")
        assert found["stops"] == []
        answer = here.guest.post("/api/solve", json=found["request"])
        assert answer.status_code == 200
        assert len(found["ids"]) == len(found["request"]["log"])


def test_jobs_are_listed_found_and_paged(here):
    here.push(*demo.entries())
    lines = here.get("/api/jobs")["jobs"]
    assert [line["title"].split()[0] for line in lines] == ["Gannet", "Plover", "Knot", "Gannet"]
    assert [line["state"] for line in here.get("/api/jobs", state="closed")["jobs"]] == ["closed"]
    assert len(here.get("/api/jobs", query="maren roadster")["jobs"]) == 2
    assert len(here.get("/api/jobs", car="gannet roadster / maren")["jobs"]) == 2
    found, after = [], 0
    while after is not None:
        page = here.get("/api/jobs", after=after, limit=3)
        found += page["jobs"]
        after = page["next"]
    assert found == lines


def test_a_jobs_history_has_promise_and_outcome_in_the_order_of_the_work(here):
    here.push(*demo.entries())
    job = here.get("/api/jobs", query="knot")["jobs"][0]["job"]
    found, after = [], 0
    while after is not None:
        page = here.get(f"/api/jobs/{job}/history", after=after, limit=4)
        found += page["events"]
        after = page["next"]
    plans = [event["row"] for event in found if event["kind"] == "plan"]
    assert plans[0]["came"]["hit"] is False
    assert plans[0]["came"]["followed"] is True
    assert plans[1]["came"] is None
    assert [e["row"].get("teardown", 0) for e in found] == sorted(e["row"].get("teardown", 0) for e in found)


def test_history_is_a_table_where_one_is_asked_for(here):
    here.push(*demo.entries())
    rows, address = [], "/api/history?limit=2"
    while address:
        reply = here.client.get(address, headers={"accept": "text/csv"})
        assert reply.headers["content-type"] == "text/csv; header=present; charset=utf-8"
        rows += csv.DictReader(io.StringIO(reply.text))
        address = reply.links.get("next", {}).get("url")
    page = here.get("/api/history")
    assert page["next"] is None
    assert [(r["job"], int(r["teardown"])) for r in rows] == [
        (t["job"], t["teardown"]) for t in page["teardowns"]
    ]
    gannet = here.get("/api/history", car="Gannet roadster")["teardowns"]
    assert {t["owner"] for t in gannet} == {"Maren"}
    day = gannet[0]["at"][:10]
    assert {t["at"][:10] for t in here.get("/api/history", since=day, until=day)["teardowns"]} == {day}


def test_the_calibration_counts_what_was_promised_and_what_came(here):
    here.push(*demo.entries())
    found = here.get("/api/history/calibration")
    assert (found["all"]["count"], found["all"]["landed"]) == (2, 1)
    assert (found["first_teardown"]["count"], found["first_teardown"]["landed"]) == (2, 1)
    assert sum(b["count"] for b in found["bins"]) == 2


def test_a_returning_car_starts_from_what_its_last_visit_taught_and_may_refuse_it(here):
    here.push(*demo.entries())
    lines = here.get("/api/jobs", car="gannet roadster / maren")["jobs"]
    back, first = lines[0]["job"], lines[1]["job"]
    found = here.get(f"/api/jobs/{back}")
    assert found["visit"]["job"] == first
    assert found["draft"]["car"]["known"] == found["visit"]["posterior"]
    known = here.get("/api/cars/known", car="Gannet Roadster", owner="Maren")
    assert known["visit"]["posterior"] == found["visit"]["posterior"]
    assert here.get(f"/api/jobs/{first}")["visit"] is None
    page = Page(job=back, first=3000)
    for side, angle in (("left", 9.3), ("right", 9.3)):
        page.reading(angle, what="hanging-angle", side=side)
        page.reading(-9.3, what="riding-angle", side=side)
    page.write("target", {"left_mm": 225.0, "right_mm": 225.0})
    here.push(*page.entries)
    learned = solve(here.get(f"/api/jobs/{back}")["request"])["learned"]
    refusal = page.write("known", {"use": False})
    here.push({**refusal, "id": an_id(77, 5 * 10**12)})
    request = here.get(f"/api/jobs/{back}")["request"]
    assert "known" not in request["car"]
    assert solve(request)["learned"]["bar_nm_per_deg"]["sd"] > learned["bar_nm_per_deg"]["sd"]


def test_cars_are_listed_with_their_visits(here):
    here.push(*demo.entries())
    cars = here.get("/api/cars")["cars"]
    assert [(c["car"], c["visits"], c["taught"]) for c in cars] == [
        ("Gannet roadster", 2, True),
        ("Knot camper", 1, False),
        ("Plover utility", 1, False),
    ]
    page = here.get("/api/cars", limit=2)
    assert [c["car"] for c in here.get("/api/cars", after=page["next"])["cars"]] == ["Plover utility"]
    assert [c["owner"] for c in here.get("/api/cars", query="jonas")["cars"]] == ["Jonas"]
    for number in (1, 2):
        page = Page(job=an_id(number, 5 * 10**12), first=9000 * number)
        page.write("job", {"car": "Knot", "owner": "Ida", "by_name": False})
        here.push(*page.entries)
    (pair,) = here.get("/api/cars/alike")["pairs"]
    assert (pair["car"]["owner"], pair["other"]["owner"], pair["other"]["why"]) == ("Ida", "Ida", "name")


def test_a_restored_book_has_another_epoch_and_the_phones_logs_bring_back_the_rest(running, tmp_path):
    data, copy = tmp_path / "book", tmp_path / "copy.sqlite3"
    page = Page()
    for value in range(1, 20):
        page.reading(float(value))
    with shop(running, data) as here:
        here.push(*page.entries[:8])
        backup(data, copy)
        here.push(*page.entries[8:])
        before = here.get("/api/entries")
        key = here.client.headers["authorization"]
    restore(data, copy)
    with shop(running, data) as here:
        assert here.guest.get("/api/entries", headers={"authorization": key}).status_code == 200
        page_now = here.get("/api/entries", after=before["next"])
        assert page_now["epoch"] != before["epoch"]
        assert page_now["last"] < before["last"]
        here.push(*page.entries)
        assert {e["id"] for e in feed(here)} == {e["id"] for e in page.entries}


def test_every_page_says_which_record_its_cursor_stands_on(here):
    page = Page()
    for value in range(1, 6):
        page.reading(float(value))
    here.push(*page.entries)
    first = here.get("/api/entries", limit=2)
    assert first["after_id"] is None
    second = here.get("/api/entries", after=first["next"])
    assert second["after_id"] == first["entries"][-1]["id"]
    assert here.get("/api/entries", after=second["next"])["after_id"] == page.entries[-1]["id"]
    assert here.get("/api/entries", after=second["next"] + 1)["after_id"] is None


def test_a_content_refused_for_its_id_is_never_lost_to_the_others_and_never_floods_them(here):
    page = Page()
    entry = page.reading(214.0)
    here.push(entry)
    differing = [{**entry, "body": {**entry["body"], "value": 240.0 + n}} for n in range(others.PER_ID + 3)]
    for one in (*differing, differing[0]):
        (row,) = here.push(one)
        assert (row["code"], row["stored"]["body"]["value"]) == ("other-content", 214.0)
    alone = here.client.put(f"/api/entries/{entry['id']}", json=differing[0])
    assert alone.status_code == 409
    # Whoever does not ask for them gets none; in order of arrival, page by page, each once.
    assert here.get("/api/entries")["others"] == []
    found, at = [], 0
    while (got := here.get("/api/entries", others=at, limit=3))["others"]:
        found += got["others"]
        at = got["others_next"]
    assert found == differing[: others.PER_ID]
    assert here.get("/api/entries", others=at)["others_next"] == at
    assert [e["body"]["value"] for e in feed(here)] == [214.0]


def test_jobs_are_folded_soon_after_a_push_without_anybody_asking(here):
    here.push(*demo.entries())
    done = threading.Event()

    def folded(db):
        return db.execute("SELECT count(*) FROM jobs WHERE title != ''").fetchone()[0] == 4

    for _ in range(200):
        if here.store.read(folded):
            return
        done.wait(0.05)
    raise AssertionError("the jobs were not folded within 10 s")


def test_a_full_disk_is_told_and_nothing_is_half_kept(here):
    def fill(db):
        pages = db.execute("PRAGMA page_count").fetchone()[0]
        db.execute(f"PRAGMA max_page_count = {pages + 2}")

    here.store._writer.submit(fill, here.store._db).result()
    page = Page()
    for _ in range(10):
        page.write("note", {"text": "x" * 9000})
    reply = here.client.post("/api/entries", json={"entries": page.entries})
    assert reply.status_code == 507
    assert reply.json()["code"] == "no-room"
    assert here.store.read(log.last) == 0
