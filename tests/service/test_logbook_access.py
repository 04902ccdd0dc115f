"""Who may read and write the logbook, and what never leaves it."""

import contextlib
import json
import logging
import re

import httpx
import pytest
from book.pages import JOB, Page
from service.contract import DOCUMENT
from service.shop import shop

from bothends.book.store import BOOK
from bothends.service.api.access import Bounded
from bothends.service.http.problems import Refusal

OPEN = {"solve", "whatIf", "health", "schema", "demo", "pair", "link"}
"""Operations that need no key: those that keep nothing, what a server says of itself, pairing, an opened link."""


@contextlib.contextmanager
def one_job(running, data):
    """A shop whose book holds one job."""
    with shop(running, data) as opened:
        page = Page()
        page.write("job", {"title": "Level the rear"})
        page.heights(214.0, 210.0)
        opened.push(*page.entries)
        yield opened


@pytest.fixture
def here(running, tmp_path):
    """A shop of the test's own."""
    with one_job(running, tmp_path / "book") as opened:
        yield opened


def kept(db):
    """What was entered, and who may."""
    return {name: list(db[name].rows) for name in ("entries", "devices", "links", "pairing_codes")}


@pytest.fixture(scope="module")
def locked(running, tmp_path_factory):
    """A shop for those who come without a key: it is afterwards what it was before."""
    with one_job(running, tmp_path_factory.mktemp("locked") / "book") as opened:
        before = opened.store.read(kept)
        yield opened
        assert opened.store.read(kept) == before


def operations():
    for path, methods in DOCUMENT["paths"].items():
        for method, operation in methods.items():
            yield operation["operationId"], method.upper(), path, operation


LOCKED = [(method, path) for name, method, path, _ in operations() if name not in OPEN]
FILL = {"{id}": "0a1b2c3d4e5f", "{job}": JOB, "{token}": "0a1b2c3d4e5f"}


def address(path):
    for mark, value in FILL.items():
        path = path.replace(mark, JOB if mark == "{id}" and "entries" in path else value)
    return path


def test_everything_but_the_contracts_exceptions_says_it_needs_a_key():
    for name, _, _, operation in operations():
        assert bool(operation["security"]) == (name not in OPEN), name
        if operation["security"]:
            assert "401" in operation["responses"], name


@pytest.mark.parametrize(("method", "path"), LOCKED)
def test_without_a_key_nothing_is_read_or_written(locked, method, path):
    good = locked.client.headers["authorization"]
    wrong = [
        None,
        "",
        "Bearer",
        "Bearer x",
        good.replace("Bearer", "Basic"),
        good[:-1],
        good + "x",
        good.split()[1],
        "Bearer " + "0a1b2c3d4e5f.",
        "Bearer \xe9",
    ]
    for header in wrong:
        headers = {"content-type": "application/json"}
        if header is not None:
            headers["authorization"] = header.encode("latin-1")
        reply = locked.guest.request(method, address(path), headers=headers, content=b"{}")
        assert reply.status_code == 401, header
        assert reply.json()["code"] == "no-key"
        assert reply.headers["www-authenticate"].startswith("Bearer")
        assert "level" not in reply.text.lower()


def test_two_keys_in_one_request_are_none(here):
    good = here.client.headers["authorization"]
    headers = [("authorization", good), ("authorization", good)]
    assert httpx.get(f"{here.client.base_url}/api/jobs", headers=headers, trust_env=False).status_code == 401


def test_a_new_device_is_paired_by_a_code_that_is_good_once(here):
    code = here.client.post("/api/pairing").json()["code"]
    typed = f"{code[:4].lower()}-{code[4:]}"
    made = here.guest.post("/api/devices", json={"code": typed, "name": "Tove's phone"})
    assert made.status_code == 201
    key = {"authorization": f"Bearer {made.json()['key']}"}
    assert here.guest.get("/api/jobs", headers=key).status_code == 200
    again = here.guest.post("/api/devices", json={"code": code, "name": "another"})
    assert (again.status_code, again.json()["code"]) == (403, "bad-code")


def test_a_code_is_shown_as_an_address_and_a_qr_code(running, tmp_path):
    with shop(running, tmp_path, address="https://shop.test:8622/") as here:
        found = here.client.post("/api/pairing").json()
    assert found["address"] == f"https://shop.test:8622/#pair={found['code']}"
    assert re.fullmatch(r"<svg .*</svg>", found["qr"], re.DOTALL)
    assert "script" not in found["qr"]


def test_a_revoked_device_loses_access_at_once_and_stays_listed(here):
    name, key = here.pair("lost phone")
    entry = Page(first=500).reading(1.0)
    assert here.guest.put(f"/api/entries/{entry['id']}", json=entry, headers=key).status_code == 201
    assert here.client.delete(f"/api/devices/{name}").status_code == 204
    assert here.guest.get("/api/jobs", headers=key).status_code == 401
    found = here.get("/api/devices")["devices"]
    assert {d["name"]: bool(d["revoked"]) for d in found} == {"lost phone": True, "shop's PC": False}
    assert len(here.get("/api/entries")["entries"]) == 4
    assert here.client.delete(f"/api/devices/{name}").status_code == 204


def test_a_device_cannot_lock_itself_out(here):
    reply = here.client.delete(f"/api/devices/{here.device}")
    assert (reply.status_code, reply.json()["code"]) == (409, "own-key")
    assert here.client.get("/api/devices").status_code == 200


def test_devices_are_paged_and_the_asking_one_is_marked(here):
    for number in range(3):
        here.pair(f"phone {number}")
    found, after = [], ""
    while after is not None:
        page = here.get("/api/devices", after=after, limit=2)
        found += page["devices"]
        after = page["next"]
    assert len({d["id"] for d in found}) == len(found) == 4
    assert [d["name"] for d in found if d["this"]] == ["shop's PC"]


def test_codes_of_a_device_end_with_its_access_and_its_links_where_that_is_asked_for(here):
    def lost():
        """A paired phone that has made a code and a link, and is then lost."""
        name, header = here.pair()
        code = here.guest.post("/api/pairing", headers=header).json()["code"]
        token = here.guest.post("/api/links", json={"job": JOB}, headers=header).json()["token"]
        return name, code, token

    name, code, token = lost()
    assert here.client.delete(f"/api/devices/{name}").status_code == 204
    reply = here.guest.post("/api/devices", json={"code": code, "name": "thief"})
    assert (reply.status_code, reply.json()["code"]) == (403, "bad-code")
    assert here.guest.get(f"/api/links/{token}").status_code == 200
    name, _, token = lost()
    assert here.client.delete(f"/api/devices/{name}?links=true").status_code == 204
    assert here.guest.get(f"/api/links/{token}").status_code == 410


def test_a_link_shows_one_job_until_it_is_revoked(here):
    other = Page(job=here.get("/api/jobs")["jobs"][0]["job"][:-1] + "9", first=900)
    other.write("note", {"text": "another customer's car"})
    here.push(*other.entries)
    made = here.client.post("/api/links", json={"job": JOB}).json()
    assert made["address"].endswith(f"/#link={made['token']}")
    opened = here.guest.get(f"/api/links/{made['token']}")
    assert opened.headers["cache-control"] == "no-store"
    assert {entry["job"] for entry in opened.json()["entries"]} == {JOB}
    assert here.client.delete(f"/api/links/{made['token']}").status_code == 204
    gone = here.guest.get(f"/api/links/{made['token']}")
    assert (gone.status_code, gone.json()["code"]) == (410, "gone")
    assert gone.headers["cache-control"] == "no-store"


def test_a_link_ends_by_itself(here):
    made = here.client.post("/api/links", json={"job": JOB, "days": 0.01}).json()
    here.store._writer.submit(
        lambda: here.store._db.execute("UPDATE links SET expires = '2020-01-01T00:00:00Z'")
    ).result()
    assert here.guest.get(f"/api/links/{made['token']}").status_code == 410


def test_a_links_entries_come_in_pages(here):
    token = here.client.post("/api/links", json={"job": JOB}).json()["token"]
    found, after = [], 0
    while after is not None:
        page = here.guest.get(f"/api/links/{token}", params={"after": after, "limit": 2}).json()
        found += page["entries"]
        after = page["next"]
    assert found == here.get("/api/entries")["entries"]


def test_links_are_listed_without_their_tokens_and_can_be_revoked_by_id(here):
    tokens = [here.client.post("/api/links", json={"job": JOB}).json()["token"] for _ in range(3)]
    page = here.get("/api/links", job=JOB, limit=2)
    rest = here.get("/api/links", after=page["next"])
    found = page["links"] + rest["links"]
    assert {link["id"] for link in found} == {token.split(".")[0] for token in tokens}
    assert not any(token.split(".")[1] in json.dumps(found) for token in tokens)
    assert here.client.delete(f"/api/links/{found[0]['id']}").status_code == 204
    assert here.get("/api/links")["links"][0]["revoked"]


def test_a_link_lets_nobody_write_or_read_anything_else(here):
    token = here.client.post("/api/links", json={"job": JOB}).json()["token"]
    headers = {"authorization": f"Bearer {token}"}
    for path in ("/api/jobs", "/api/entries", "/api/devices", "/api/links"):
        assert here.guest.get(path, headers=headers).status_code == 401
    for method in ("PUT", "POST", "PATCH"):
        assert here.guest.request(method, f"/api/links/{token}", json={}).status_code == 405


def test_tries_to_pair_and_to_open_links_are_bounded(running, tmp_path):
    with shop(running, tmp_path, tries=5) as here:
        codes = [here.guest.post("/api/devices", json={"code": "x", "name": "x"}) for _ in range(8)]
        links = [here.guest.get(f"/api/links/0a1b2c3d4e5f.{'x' * 32}") for _ in range(8)]
        assert here.client.get("/api/devices").status_code == 200
    # One try went into pairing the shop's own device.
    assert [reply.status_code for reply in codes] == [403] * 4 + [429] * 4
    assert [reply.status_code for reply in links] == [404] * 5 + [429] * 3
    assert 1 <= int(codes[-1].headers["retry-after"]) <= 60


class _Asking:
    def __init__(self, host):
        self.client = type("Address", (), {"host": host})


def test_tries_come_back_evenly_and_one_address_does_not_use_up_anothers():
    now = [0.0]
    bound = Bounded(6.0, clock=lambda: now[0])

    def tries(host):
        count = 0
        while True:
            try:
                bound.check(_Asking(host))
            except Refusal as refusal:
                return count, int(refusal.headers["Retry-After"])
            count += 1

    assert tries("one") == (6, 10)
    assert tries("other") == (6, 10)
    now[0] = 20.0
    assert tries("one") == (2, 10)
    for number in range(20):
        tries(f"crowd {number}")
    assert tries("late")[0] == 0


@pytest.mark.slow(seconds=2)
@pytest.mark.parametrize("guesser", [["192.168.1.66"], [f"2001:db8::{n:x}" for n in range(1, 500)]])
def test_one_machine_that_guesses_all_day_locks_out_nobody_else(guesser):
    # 30 guesses a second for five minutes, from one address or from all that one machine has (RFC 3849's network).
    now = [0.0]
    bound = Bounded(10.0, clock=lambda: now[0])
    guesses, passed, honest = 0, 0, 0
    while now[0] < 300.0:
        with contextlib.suppress(Refusal):
            bound.check(_Asking(guesser[guesses % len(guesser)]))
            passed += 1
        guesses += 1
        if guesses % (30 * 60) == 0:
            bound.check(_Asking("192.168.1.20"))
            bound.check(_Asking("fd00::20"))
            honest += 1
        now[0] += 1 / 30
    assert honest == 5
    assert passed <= 61, "ten at once and ten a minute"


def test_no_key_code_or_token_is_written_to_the_log_or_the_book(here, tmp_path, caplog):
    def breaks(*_):
        raise ZeroDivisionError

    code = here.client.post("/api/pairing").json()["code"]
    _, header = here.pair()
    token = here.client.post("/api/links", json={"job": JOB}).json()["token"]
    book = here.app.state.book
    read, book.read = book.read, breaks
    with caplog.at_level(logging.DEBUG):
        for path in (f"/api/links/{token}", "/api/jobs"):
            assert here.guest.get(path, headers=header).status_code == 500
    book.read = read
    said = "\n".join(r.getMessage() for r in caplog.records if not r.name.startswith("http"))
    secrets = [code, header["Authorization"].split(".")[1], token.split(".")[1]]
    assert "/api/links/{token}" in said
    content = (tmp_path / "book" / BOOK).read_bytes() + (tmp_path / "book" / f"{BOOK}-wal").read_bytes()
    for secret in secrets:
        assert secret not in said
        assert secret.encode() not in content


def test_a_page_of_another_origin_gets_no_permission(here):
    headers = {"origin": "http://evil.example"}
    for reply in (
        here.client.get("/api/jobs", headers=headers),
        here.client.options("/api/jobs", headers=headers),
    ):
        assert not [name for name in reply.headers if name.startswith("access-control-")]
    assert here.client.get("/api/jobs", headers={"host": "evil.example"}).status_code == 421


def test_the_address_of_the_public_copy_is_entered_once_by_who_has_a_key_and_told_to_all(here):
    address = "https://host.example/anything/"
    assert here.guest.put("/api/public-copy", json={"address": address}).status_code == 401
    assert here.guest.get("/api/health").json()["public_copy"] is None
    assert here.client.put("/api/public-copy", json={"address": address}).json() == {"address": address}
    assert here.guest.get("/api/health").json()["public_copy"] == address
    assert here.client.put("/api/public-copy", json={"address": None}).json() == {"address": None}
    assert here.guest.get("/api/health").json()["public_copy"] is None


@pytest.mark.parametrize(
    "address",
    ["http://host.example/", "https://host.example/anything", "https://host.example/?a/", "https://a@b.example/",
     "https://host.example/#job/", "javascript:1/", "ftp://host.example/", "https://", "//host.example/", "",
     "https://host.example/\n", "http://localhost/\n"],
)  # fmt: skip
def test_an_address_that_no_public_copy_can_have_is_refused_and_named(here, address):
    reply = here.client.put("/api/public-copy", json={"address": address})
    assert (reply.status_code, reply.json()["path"]) == (400, "$.address")


@pytest.mark.parametrize("address", ["http://127.0.0.1:8000/sub/", "http://localhost/", "http://[::1]:1/"])
def test_a_copy_on_this_very_machine_may_be_tried_without_a_certificate(here, address):
    assert here.client.put("/api/public-copy", json={"address": address}).status_code == 200


def test_the_letterhead_is_entered_once_and_read_by_who_has_a_key(here):
    nothing = {"name": "", "address": "", "phone": ""}
    assert here.guest.get("/api/letterhead").status_code == 401
    assert here.client.get("/api/letterhead").json() == nothing
    said = {"name": " Slipway Garage ", "address": "Slipway 4, Harbour", "phone": "042 4711"}
    kept = {name: text.strip() for name, text in said.items()}
    assert here.client.put("/api/letterhead", json=said).json() == kept
    assert here.client.get("/api/letterhead").json() == kept
    reply = here.client.put("/api/letterhead", json={**said, "name": "n" * 81})
    assert (reply.status_code, reply.json()["path"]) == (400, "$.name")
    assert here.client.put("/api/letterhead", json=nothing).json() == nothing
