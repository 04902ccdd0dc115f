"""Every way in which an operation of the logbook can fail, one by one, each in the one shape."""

import json

import pytest
from book.pages import JOB, Page, an_id
from service.contract import DOCUMENT
from service.shop import shop
from service.test_problems import shape

from bothends.book import log
from bothends.book.log import Taken
from bothends.book.sheet.order import LAST_MS
from bothends.book.store import BookFullError
from bothends.service.app import create_app
from bothends.service.http.problems import CODES

ENTRY = Page().reading(214.0)
AT = f"/api/entries/{ENTRY['id']}"
TOKEN = f"0a1b2c3d4e5f.{'x' * 32}"
DEEP: list = []
for _ in range(40):
    DEEP = [DEEP]
LARGE = {"entries": ["x" * 9_000_000]}

# Operation, method, address, body (None: none), code, words of the detail or the path.
WAYS = [
    ("putEntry", "PUT", AT, {**ENTRY, "at": "yesterday"}, "out-of-range", "$.at"),
    ("putEntry", "PUT", AT, {**ENTRY, "body": {"what": "body-height"}}, "missing-field", "side is required"),
    ("putEntry", "PUT", AT, {**ENTRY, "body": {"what": "mood"}}, "not-a-choice", "body-height"),
    ("putEntry", "PUT", AT, {**ENTRY, "body": 3}, "wrong-type", "$.body"),
    ("putEntry", "PUT", AT, b"{", "not-json", "not JSON"),
    ("putEntry", "PUT", AT, {**ENTRY, "id": an_id(5, LAST_MS + 1)}, "out-of-range", "after the year 2200"),
    ("putEntry", "PUT", AT, {**ENTRY, "job": an_id(5, LAST_MS + 1)}, "out-of-range", "$.job"),
    ("putEntry", "PUT", AT, {**ENTRY, "id": an_id(5)}, "wrong-id", "the record's id is"),
    ("putEntry", "PUT", AT, {**ENTRY, "more": DEEP}, "too-deep", "32 deep"),
    ("putEntry", "PUT", AT, {**ENTRY, "more": "x" * 70_000}, "too-large", "65536 bytes"),
    ("putEntry", "PUT", AT, {**ENTRY, "more": "x" * 200_000}, "too-large", "larger"),
    ("putEntry", "PUT", "/api/entries/x", ENTRY, "bad-parameter", "id"),
    ("postEntries", "POST", "/api/entries", {}, "missing-field", "entries is required"),
    ("postEntries", "POST", "/api/entries", {"entries": [ENTRY] * 501}, "out-of-range", "at most 500"),
    ("postEntries", "POST", "/api/entries", {"entries": 3}, "wrong-type", "$.entries"),
    ("postEntries", "POST", "/api/entries", b"", "not-json", "empty"),
    ("postEntries", "POST", "/api/entries", LARGE, "too-large", "send less at once"),
    ("entries", "GET", "/api/entries?after=-1", None, "bad-parameter", "after"),
    ("entries", "GET", "/api/entries?limit=501", None, "bad-parameter", "limit"),
    ("jobs", "GET", "/api/jobs?state=lost", None, "bad-parameter", "state"),
    ("jobs", "GET", f"/api/jobs?query={'x' * 300}", None, "bad-parameter", "query"),
    ("job", "GET", "/api/jobs/x", None, "bad-parameter", "job"),
    ("job", "GET", f"/api/jobs/{an_id(9)}", None, "not-found", "no record of a job"),
    ("jobHistory", "GET", f"/api/jobs/{an_id(9)}/history", None, "not-found", "no record of a job"),
    ("jobHistory", "GET", "/api/jobs/x/history", None, "bad-parameter", "job"),
    ("history", "GET", "/api/history?since=monday", None, "bad-parameter", "since"),
    ("history", "GET", "/api/history?after=x", None, "bad-parameter", "after"),
    ("cars", "GET", "/api/cars?limit=0", None, "bad-parameter", "limit"),
    ("known", "GET", f"/api/cars/known?car={'x' * 201}", None, "bad-parameter", "car"),
    ("pair", "POST", "/api/devices", {"code": "x", "name": "x"}, "bad-code", "not valid"),
    ("pair", "POST", "/api/devices", {"code": "x", "name": ""}, "out-of-range", "name"),
    ("pair", "POST", "/api/devices", {"code": "x"}, "missing-field", "name"),
    ("pair", "POST", "/api/devices", {"code": "x", "name": "x", "admin": True}, "unknown-field", "admin"),
    ("devices", "GET", "/api/devices?after=Z", None, "bad-parameter", "after"),
    ("revokeDevice", "DELETE", "/api/devices/0a1b2c3d4e5f", None, "not-found", "no device"),
    ("revokeDevice", "DELETE", "/api/devices/x", None, "bad-parameter", "id"),
    ("makeLink", "POST", "/api/links", {"job": an_id(9)}, "not-found", "no record of a job"),
    ("makeLink", "POST", "/api/links", {"job": "x"}, "out-of-range", "$.job"),
    ("makeLink", "POST", "/api/links", {"job": JOB, "days": 400}, "out-of-range", "from 0.01 to 366"),
    ("makeLink", "POST", "/api/links", {"job": JOB, "for": "ever"}, "unknown-field", "for"),
    ("links", "GET", "/api/links?limit=x", None, "bad-parameter", "limit"),
    ("link", "GET", "/api/links/x", None, "bad-parameter", "token"),
    ("link", "GET", f"/api/links/{TOKEN}", None, "not-found", "link not found"),
    ("revokeLink", "DELETE", f"/api/links/{TOKEN}", None, "not-found", "link not found"),
    ("revokeLink", "DELETE", "/api/links/%20", None, "bad-parameter", "token"),
]  # fmt: skip
ELSEWHERE = {
    "no-key": "test_logbook_access",
    "too-often": "test_logbook_access",
    "gone": "test_logbook_access",
    "own-key": "test_logbook_access",
    "wrong-host": "test_logbook_access",
    "job-full": "test_logbook",
    "other-content": "test_logbook",
    "not-erased": "test_erasures",
    "not-an-image": "test_photos",
    "photos-full": "test_photos",
    "wrong-sum": "test_photos",
}
"""Codes whose own tests are there; the others are below."""


@pytest.fixture(scope="module")
def here(running, tmp_path_factory):
    """A shop whose book holds one entry of one job."""
    with shop(running, tmp_path_factory.mktemp("book")) as opened:
        opened.push(Page(first=700).reading(1.0))
        yield opened


def ask(here, method, address, body):
    if body is None:
        return here.client.request(method, address)
    content = body if isinstance(body, bytes) else json.dumps(body).encode()
    return here.client.request(method, address, content=content, headers={"content-type": "application/json"})


@pytest.mark.parametrize(("operation", "method", "address", "body", "code", "words"), WAYS)
def test_each_failure_names_the_field_and_what_to_do(here, operation, method, address, body, code, words):
    problem = shape(ask(here, method, address, body), code)
    assert words in problem["detail"] or words == problem.get("path")
    assert len(json.dumps(problem)) < 1000


TAKES_BODY = [(way[1], way[2]) for way in WAYS if way[4] == "missing-field"]


@pytest.mark.parametrize(("method", "address"), TAKES_BODY)
def test_a_body_of_another_kind_is_not_read(here, method, address):
    reply = here.client.request(method, address, content=b"<entry/>", headers={"content-type": "text/xml"})
    shape(reply, "wrong-media-type")


@pytest.mark.parametrize("method", ["POST", "DELETE", "PATCH"])
def test_a_method_that_is_not_taken_is_told_which_are(here, method):
    reply = here.client.request(method, AT)
    shape(reply, "wrong-method")
    assert reply.headers["allow"] == "GET, HEAD, OPTIONS, PUT"


def test_a_server_without_a_book_says_so(running):
    with running(create_app()) as client:
        for method, address, body in [
            ("GET", "/api/jobs", None),
            ("POST", "/api/devices", {"code": "x", "name": "x"}),
            ("GET", f"/api/links/{TOKEN}", None),
        ]:
            content = None if body is None else json.dumps(body)
            reply = client.request(
                method, address, content=content, headers={"content-type": "application/json"}
            )
            shape(reply, "no-book")


def test_a_full_disk_is_told_by_whatever_writes(here, monkeypatch):
    async def full(work):
        raise BookFullError(
            "the shop database cannot be written: database or disk is full; nothing of this was kept"
        )

    monkeypatch.setattr(here.store, "writing", full)
    for method, address, body in [
        ("PUT", AT, ENTRY),
        ("POST", "/api/entries", {"entries": [ENTRY]}),
        ("POST", "/api/pairing", None),
        ("POST", "/api/devices", {"code": "x", "name": "x"}),
        ("POST", "/api/links", {"job": JOB}),
        ("DELETE", "/api/devices/0a1b2c3d4e5f", None),
        ("DELETE", f"/api/links/{TOKEN}", None),
    ]:
        problem = shape(ask(here, method, address, body), "no-room")
        assert "Make room" in problem["remedy"]


def test_what_sqlite_cannot_keep_is_refused_alone(here, monkeypatch):
    monkeypatch.setattr(log, "append", lambda db, rows: [Taken(status="unfit", note="SQLite cannot keep it")])
    shape(ask(here, "PUT", AT, ENTRY), "unfit")


def test_every_code_is_walked_and_every_walked_code_is_documented(here):
    by_operation = {
        operation["operationId"]: " ".join(r["description"] for r in operation["responses"].values())
        for path in DOCUMENT["paths"].values()
        for operation in path.values()
    }
    for operation, _, _, _, code, _ in WAYS:
        assert f"`{code}`" in by_operation[operation], (operation, code)
    of_the_book = {
        code
        for code in CODES
        for name, words in by_operation.items()
        if f"`{code}`" in words and name not in ("solve", "whatIf", "health", "schema", "demo")
    }
    # Slow bodies are test_security's, streams test_news's, a file that goes from under the server is
    # test_book_moved's.
    here_below = {
        "book-moved",
        "too-many-streams",
        "too-slow",
        "wrong-media-type",
        "wrong-method",
        "no-book",
        "no-room",
        "unfit",
        "internal-error",
        "bad-request",
    }
    walked = {way[4] for way in WAYS} | set(ELSEWHERE) | here_below | {"bad-request"}
    assert of_the_book <= walked


def test_a_fault_of_ours_stores_nothing_and_says_so(here, monkeypatch):
    def breaks(db, rows):
        raise ZeroDivisionError

    before = here.store.read(log.last)
    monkeypatch.setattr(log, "append", breaks)
    problem = shape(ask(here, "PUT", AT, ENTRY), "internal-error")
    assert "nothing was stored" in problem["detail"]
    assert here.store.read(log.last) == before
