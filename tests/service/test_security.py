"""The door against those who mean harm: what they send to a running server, and what they can find lying about.

Single rules stand beside their modules (``test_guard``, ``test_front``, ``test_logbook_access``,
``test_authority``); here are the attacks that go round them.
"""

import base64
import contextlib
import json
import os
import re
import signal
import socket
import sqlite3
import stat
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from book.pages import JOB, Page
from service.shop import shop

from bothends.book import devices, links, secret
from bothends.book.store import BOOK
from bothends.service.http.guard import POLICY
from bothends.service.lan import listener
from bothends.service.settings import Settings
from bothends.service.site import places

JSON = {"content-type": "application/json"}


@pytest.fixture(scope="module")
def house(running, tmp_path_factory):
    """A shop with one job, for tests that leave it as it is."""
    with shop(running, tmp_path_factory.mktemp("house") / "book", hosts=frozenset({"shop.test"})) as opened:
        page = Page()
        page.write("job", {"title": "Level the rear"})
        page.heights(214.0, 210.0)
        opened.push(*page.entries)
        yield opened


@pytest.fixture
def here(running, tmp_path):
    """The same, of a test's own."""
    with shop(running, tmp_path / "book") as opened:
        page = Page()
        page.write("job", {"title": "Level the rear"})
        opened.push(*page.entries)
        yield opened


@contextlib.contextmanager
def line(client):
    """A bare connection to the server, for what no client of good manners sends."""
    with socket.create_connection((client.base_url.host, client.base_url.port), timeout=20) as wire:
        yield wire


def told(wire):
    """Everything the server says until it closes the connection: status, headers in small letters, body."""
    said = b""
    while piece := wire.recv(65536):
        said += piece
    head, _, body = said.partition(b"\r\n\r\n")
    first, *rest = head.decode("latin-1").split("\r\n")
    headers = {name.lower(): value.strip() for name, _, value in (row.partition(":") for row in rest)}
    return int(first.split()[1]) if first else None, headers, body


def asked(client, text):
    """Send a request as it stands; what came back."""
    with line(client) as wire:
        wire.sendall(text.encode("latin-1"))
        return told(wire)


# Whose name


@pytest.mark.parametrize(
    "hosts",
    [
        "Host: evil.example\r\n",
        "Host: evil.example:8622\r\n",
        "Host: shop.test\r\nHost: evil.example\r\n",
        "Host: evil.example\r\nHost: shop.test\r\n",
        "Host: shop.test\r\nHost: shop.test\r\n",
        "Host: shop.test.evil.example\r\n",
        "Host: shop.test@evil.example\r\n",
        "Host: evil.example@shop.test\r\n",
        "Host: shop.test, evil.example\r\n",
        "Host: shop.test/evil.example\r\n",
        "Host: [::1\r\n",
        "Host: [::1].evil.example\r\n",
        "Host:\r\n",
        "",
        # Words of a proxy do not open the door either.
        "Host: evil.example\r\nX-Forwarded-Host: shop.test\r\n",
        "Host: evil.example\r\nForwarded: host=shop.test\r\n",
    ],
)
@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_a_page_that_points_its_own_name_here_gets_and_changes_nothing_even_with_a_key(house, hosts, version):
    key = f"Authorization: {house.client.headers['authorization']}\r\nConnection: close\r\n"
    before = house.get("/api/entries")
    entry = json.dumps(Page(first=700).reading(1.0))
    body = f"Content-Type: application/json\r\nContent-Length: {len(entry)}\r\n\r\n{entry}"
    for request in (
        f"GET / HTTP/{version}\r\n{hosts}{key}\r\n",
        f"GET /api/jobs HTTP/{version}\r\n{hosts}{key}\r\n",
        f"PUT /api/entries/{json.loads(entry)['id']} HTTP/{version}\r\n{hosts}{key}{body}",
    ):
        status, _, said = asked(house.client, request)
        # 400 is what the HTTP parser itself says to a Host that HTTP does not allow.
        assert status in (400, 421), said
        assert b"Level" not in said
        assert b"<title" not in said
    assert house.get("/api/entries") == before


def test_own_names_are_answered_with_any_port_and_in_any_case(house):
    for host in ("shop.test", "shop.test:1", "SHOP.TEST:8622", "127.0.0.1", "localhost:99999"):
        assert asked(house.client, f"GET /api/health HTTP/1.0\r\nHost: {host}\r\n\r\n")[0] == 200


def test_a_whole_address_in_the_first_line_does_not_stand_in_for_the_host(house):
    request = "GET http://{}/api/health HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n"
    assert asked(house.client, request.format("shop.test", "evil.example"))[0] in (400, 421)


# Codes and links


def test_a_guesser_who_is_held_up_cannot_use_even_the_right_code_and_it_stays_good(running, tmp_path):
    with shop(running, tmp_path / "book", tries=3) as here:
        code = here.client.post("/api/pairing").json()["code"]
        for _ in range(2):
            assert here.guest.post("/api/devices", json={"code": "AAAAAAAA", "name": "x"}).status_code == 403
        held = here.guest.post("/api/devices", json={"code": code, "name": "x"})
        assert (held.status_code, held.json()["code"]) == (429, "too-often")
        assert 1 <= int(held.headers["retry-after"]) <= 60
        # Whoever else is at work is not held up by it.
        assert here.client.get("/api/jobs").status_code == 200
        here.app.state.tries._left.clear()
        assert here.guest.post("/api/devices", json={"code": code, "name": "x"}).status_code == 201


def test_all_guesses_that_the_bound_leaves_in_a_codes_life_are_next_to_none():
    guesses = 10 * Settings().tries * (devices.CODE_MINUTES + 1)
    assert guesses / len(secret.LETTERS) ** secret.CODE_LENGTH < 1e-8


def test_one_code_used_by_many_at_once_pairs_one(here):
    code = here.client.post("/api/pairing").json()["code"]
    with ThreadPoolExecutor(8) as crowd:
        replies = list(
            crowd.map(
                lambda n: here.guest.post("/api/devices", json={"code": code, "name": f"phone {n}"}), range(8)
            )
        )
    assert sorted(reply.status_code for reply in replies) == [201] + [403] * 7
    assert len(here.get("/api/devices")["devices"]) == 2


def test_a_code_past_its_time_pairs_nobody(here):
    late = datetime.now(UTC) - timedelta(minutes=devices.CODE_MINUTES, seconds=1)
    code, _ = here.store.write(lambda db: devices.new_code(db, moment=late))
    reply = here.guest.post("/api/devices", json={"code": code, "name": "late"})
    assert (reply.status_code, reply.json()["code"]) == (403, "bad-code")


def test_a_link_that_ended_or_was_revoked_gives_nothing_however_it_is_asked(here):
    then = datetime.now(UTC) - timedelta(days=1, seconds=1)
    _, ended = here.store.write(lambda db: links.make(db, job=JOB, device="d", days=1, moment=then))
    _, revoked = here.store.write(lambda db: links.make(db, job=JOB, device="d"))
    address = f"/api/links/{revoked}"
    tag = here.guest.get(address).headers.get("etag", "*")
    assert here.client.delete(address).status_code == 204
    for token in (ended, revoked):
        for extra in ({}, {"If-None-Match": tag}, {"Range": "bytes=0-"}, dict(here.client.headers)):
            reply = here.guest.get(f"/api/links/{token}", headers=extra, params={"after": 0, "limit": 1})
            assert (reply.status_code, reply.json()["code"]) == (410, "gone")
            assert "Level" not in reply.text
            assert reply.headers["cache-control"] == "no-store"


def test_the_name_of_a_link_without_its_secret_tells_nothing(here):
    _, token = here.store.write(lambda db: links.make(db, job=JOB, device="d"))
    name = token.split(".")[0]
    never = here.guest.get(f"/api/links/000000000000.{'x' * 32}")
    wrong = here.guest.get(f"/api/links/{name}.{'x' * 32}")
    assert never.status_code == wrong.status_code == 404
    assert never.json() == wrong.json()


# Files


@pytest.mark.parametrize(
    "path",
    [
        "/../book/book.sqlite3", "/..%2fbook%2fbook.sqlite3", "/%2e%2e/%2e%2e/etc/passwd", "//etc/passwd",
        "/%2fetc%2fpasswd", "/..%5c..%5cetc%5cpasswd", "/%252e%252e/%252e%252e/etc/passwd",
        "/..%c0%af..%c0%afetc/passwd",
        "/%c0%ae%c0%ae/etc/passwd", "/screens/..%00/app.js", "/app.js%00.html", "/%00", "/app.js%20", "/app.js.",
        "/app.js::$DATA", "/.%2e/app.js", "/py/model/..%2fservice%2fapp.py", "/py/book/sheet/..%2f..%2fstore.py",
        "/py/book/store.py", "/py/service/app.py", "/tls/authority.key", "/../tls/authority.key", "/book.sqlite3",
        "file:///etc/passwd", "/web/../../etc/passwd", "/%ff%fe", "/vendor", "/" + "a" * 5000 + ".js",
    ],
)  # fmt: skip
def test_no_way_of_writing_a_path_leads_out_of_the_front_end(house, path):
    status, _, body = asked(house.client, f"GET {path} HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n")
    assert status in (400, 404), (status, body[:200])
    assert b"root:" not in body
    assert b"SQLite format" not in body
    assert b"PRIVATE KEY" not in body
    assert b"import " not in body


# Bodies


LARGE = 9 * 1024 * 1024
TAKERS = [
    ("PUT", f"/api/entries/{JOB}"),
    ("POST", "/api/entries"),
    ("POST", "/api/devices"),
    ("POST", "/api/links"),
    ("POST", "/api/what-if"),
]


@pytest.mark.parametrize(("method", "path"), TAKERS)
def test_a_body_that_says_it_is_too_large_is_refused_before_it_is_sent(house, method, path):
    key = house.client.headers["authorization"]
    status, headers, body = asked(
        house.client,
        f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: {key}\r\nConnection: close\r\n"
        f"Content-Type: application/json\r\nContent-Length: {LARGE}\r\n\r\n",
    )
    assert (status, json.loads(body)["code"]) == (413, "too-large")
    assert headers["content-security-policy"] == POLICY


@pytest.mark.parametrize(("method", "path"), TAKERS)
def test_a_body_that_does_not_say_how_large_it_is_is_cut_off_in_time(house, method, path):
    piece = b"x" * 65536
    sent = []

    def pieces():
        for _ in range(LARGE // len(piece)):
            sent.append(1)
            yield piece

    with contextlib.suppress(OSError):
        reply = house.client.request(method, path, headers=JSON, content=pieces())
        assert (reply.status_code, reply.json()["code"]) == (413, "too-large")
    assert house.client.get("/api/health").status_code == 200


@pytest.mark.parametrize("path", ["/api/solve", "/api/devices"])
def test_a_body_that_dribbles_is_told_off_and_its_connection_closed(running, tmp_path, path):
    with shop(running, tmp_path / "book", body_seconds=0.5) as here, line(here.client) as wire:
        head = f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        wire.sendall(f'{head}Content-Length: 100\r\n\r\n{{"code": '.encode())
        status, headers, body = told(wire)
        assert (status, json.loads(body)["code"]) == (408, "too-slow")
        assert headers["connection"] == "close"
        assert headers["content-security-policy"] == POLICY
        assert headers["cache-control"] == "no-store"
        # The others were not kept waiting by it, nor are they now.
        assert here.client.get("/api/jobs").status_code == 200


def test_a_body_that_comes_in_pieces_in_time_is_taken(running, tmp_path):
    with shop(running, tmp_path / "book", body_seconds=20.0) as here, line(here.client) as wire:
        entry = Page().reading(214.0)
        body = json.dumps(entry).encode()
        key = here.client.headers["authorization"]
        wire.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        wire.sendall(
            f"PUT /api/entries/{entry['id']} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: {key}\r\n"
            f"Connection: close\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n".encode()
        )
        for start in range(0, len(body), 40):
            wire.sendall(body[start : start + 40])
        assert told(wire)[0] == 201
        assert here.get("/api/entries")["entries"] == [entry]


@pytest.mark.slow
def test_many_who_dribble_do_not_keep_one_who_does_not_from_being_answered(running, tmp_path, gannet):
    with (
        shop(running, tmp_path / "book", body_seconds=20.0, solve_seconds=300.0) as here,
        contextlib.ExitStack() as held,
    ):
        for _ in range(100):
            wire = held.enter_context(line(here.client))
            wire.sendall(
                b"POST /api/solve HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
                b"Content-Length: 100000\r\n\r\n{"
            )
        assert here.client.post("/api/solve", json=gannet).status_code == 200


# What every answer carries


def test_page_api_errors_and_answers_without_a_body_all_carry_the_same_locks(house):
    tag = house.guest.get("/").headers["etag"]
    _, token = house.store.write(lambda db: links.make(db, job=JOB, device="d"))
    answers = {
        "page": (200, house.guest.get("/")),
        "worker": (200, house.guest.get("/sw.js")),
        "unchanged page": (304, house.guest.get("/", headers={"if-none-match": tag})),
        "API": (200, house.client.get("/api/jobs")),
        "link": (200, house.guest.get(f"/api/links/{token}")),
        "table": (200, house.client.get("/api/export/readings", headers={"accept": "text/csv"})),
        "nothing": (204, house.guest.options("/api/jobs")),
        "head": (200, house.guest.head("/")),
        "not JSON": (400, house.guest.post("/api/solve", content=b"{", headers=JSON)),
        "no key": (401, house.guest.get("/api/jobs")),
        "bad code": (403, house.guest.post("/api/devices", json={"code": "x", "name": "x"})),
        "nowhere": (404, house.guest.get("/nowhere")),
        "method": (405, house.guest.put("/api/jobs")),
        "media type": (415, house.guest.post("/api/solve", content=b"x")),
        "host": (421, house.guest.get("/", headers={"host": "evil.example"})),
    }
    for name, (status, reply) in answers.items():
        assert reply.status_code == status, name
        policy = {
            part.split()[0]: part.split()[1:] for part in reply.headers["content-security-policy"].split(";")
        }
        assert policy["frame-ancestors"] == policy["object-src"] == policy["base-uri"] == ["'none'"], name
        assert policy["default-src"] == ["'self'"], name
        assert policy["require-trusted-types-for"] == ["'script'"], name
        allowed = dict(part.split("=") for part in reply.headers["permissions-policy"].split(", "))
        assert {allowed[name] for name in ("camera", "geolocation", "microphone", "usb")} == {"()"}, name
        assert allowed["screen-wake-lock"] == "(self)", name
        assert reply.headers["x-content-type-options"] == "nosniff", name
        assert reply.headers["referrer-policy"] == "no-referrer", name
        assert reply.headers["cross-origin-opener-policy"] == "same-origin", name
        assert reply.headers["cross-origin-resource-policy"] == "same-origin", name
        # A browser keeps the page and asks again; what is in the book, and every refusal, it never keeps.
        kept = name in ("page", "worker", "unchanged page", "head")
        assert reply.headers["cache-control"] == ("no-cache" if kept else "no-store"), name
        # No HSTS (RFC 6797): it holds for a name at every port, so a phone that had been here once could no longer
        # read the help page, which is plain HTTP for those whose trust is missing; and it takes away the way past a
        # warning on a name whose certificate a shop may lose.
        assert "strict-transport-security" not in reply.headers, name
        assert "set-cookie" not in reply.headers, name
        assert not [h for h in reply.headers if h.startswith("access-control-")], name


# Pages of other origins


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "https://shop.test:1", "null", "http://127.0.0.1:1"]
)
@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("PUT", f"/api/entries/{JOB}"),
        ("POST", "/api/entries"),
        ("POST", "/api/devices"),
        ("DELETE", "/api/links/x"),
    ],
)
def test_a_page_elsewhere_is_not_allowed_to_ask(house, origin, method, path):
    reply = house.guest.options(
        path,
        headers={
            "origin": origin,
            "access-control-request-method": method,
            "access-control-request-headers": "authorization, content-type",
            "access-control-request-private-network": "true",
            "access-control-request-local-network": "true",
        },
    )
    assert not [name for name in reply.headers if name.startswith("access-control-")]


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""]
)
@pytest.mark.parametrize("path", ["/api/devices", "/api/entries", "/api/links", "/api/solve"])
def test_what_a_form_elsewhere_can_send_without_asking_is_not_read(house, kind, path):
    # The kinds that the Fetch standard (CORS-safelisted request-header) lets a page send anywhere.
    headers = (
        {"content-type": kind, "origin": "http://evil.example"} if kind else {"origin": "http://evil.example"}
    )
    reply = house.client.post(path, content=b'{"code": "x", "name": "x"}', headers=headers)
    assert (reply.status_code, reply.json()["code"]) == (415, "wrong-media-type")


# What lies about


def test_keys_codes_and_tokens_are_in_the_book_as_hashes_only_in_whatever_writing(here, tmp_path):
    made = here.client.post("/api/pairing").json()
    used = here.client.post("/api/pairing").json()["code"]
    key = here.guest.post("/api/devices", json={"code": used, "name": "phone"}).json()["key"]
    assert here.guest.get("/api/jobs", headers={"authorization": f"Bearer {key}"}).status_code == 200
    token = here.client.post("/api/links", json={"job": JOB}).json()["token"]
    content = b"".join(path.read_bytes() for path in sorted((tmp_path / "book").rglob("*")) if path.is_file())
    assert b"phone" in content
    for text in (made["code"], used, key.split(".")[1], token.split(".")[1]):
        raw = text.encode()
        # A short code's beginning in base64 or hex is as good as the code.
        for written in (raw, raw.lower(), raw.hex().encode(), base64.b64encode(raw).rstrip(b"=")):
            assert written not in content
    with contextlib.closing(sqlite3.connect(tmp_path / "book" / BOOK)) as db:
        for table, column in (
            ("devices", "key_hash"),
            ("pairing_codes", "code_hash"),
            ("links", "token_hash"),
        ):
            for (kept,) in db.execute(f"SELECT {column} FROM {table}"):
                assert isinstance(kept, bytes)
                assert len(kept) == 32


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_whatever_the_umask_nobody_else_on_the_machine_reads_the_book_or_a_key(tmp_path):
    data = tmp_path / "book"
    words = ["serve", "--no-browser", "--no-mdns", "--name", "shop.test", "--port", "0", "--data", str(data)]
    process = subprocess.Popen(
        [sys.executable, "-u", "-m", "bothends.service.command", *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, umask=0,
    )  # fmt: skip
    said = ""
    for row in process.stdout:
        said += row
        if "fingerprint" in row:
            break
    process.send_signal(signal.SIGTERM)
    rest, wrong = process.communicate(timeout=20)
    assert process.returncode == 0, wrong
    assert stat.S_IMODE(data.stat().st_mode) == stat.S_IMODE((data / "tls").stat().st_mode) == 0o700
    files = {path.name: path for path in data.rglob("*") if path.is_file()}
    assert {"authority.key", "server.key", BOOK} <= set(files)
    for name in ("authority.key", "server.key"):
        assert stat.S_IMODE(files[name].stat().st_mode) == 0o600
    # Of what the console showed, nothing can be read again later: a code is for the one who stood there.
    code = re.search(r"Pairing code (\w{4})-(\w{4})", said + rest)
    content = b"".join(path.read_bytes() for path in files.values())
    assert (code[1] + code[2]).encode() not in content


def test_the_plain_door_is_this_machines_alone():
    with listener.bind(0) as place:
        assert place.getsockname()[0] == "127.0.0.1"


def test_no_key_is_among_the_files_that_are_served():
    names = [path.name for root in (places.web(), places.MODEL) for path in root.rglob("*")]
    assert not [name for name in names if name.endswith((".key", ".pem", ".sqlite3", ".map", ".env"))]
