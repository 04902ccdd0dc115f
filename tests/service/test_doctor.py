"""bothends doctor: a sound shop is called sound; whatever is wrong is named with what to do."""

import contextlib
import json
import os
import shutil
import socket
import sqlite3
from collections import namedtuple
from datetime import UTC, datetime, timedelta

import pytest
from warm import Process, run

from bothends.book.store import BOOK, Store
from bothends.service.cli import doctor, reach
from bothends.service.lan.garage import Garage, Options
from bothends.service.lan.names import present


@pytest.fixture
def shop(tmp_path):
    """A folder with a book and certificates, as after a first start."""
    data = tmp_path / "shop"
    data.mkdir(mode=0o700)
    with Store(data):
        pass
    Garage(data, Options(port=1, mdns=False))
    return data


@pytest.fixture
def free_port():
    """Free, as are the two after it; below those that systems hand out by themselves."""
    for port in range(20_000 + os.getpid() % 5000, 32_000):
        with contextlib.suppress(OSError), contextlib.ExitStack() as held:
            for number in range(port, port + 3):
                held.enter_context(socket.create_server(("0.0.0.0", number)))
            return port
    raise AssertionError("no three free ports in a row")


@pytest.fixture(autouse=True)
def silent(monkeypatch):
    """Nobody on the network answers for a name; asking takes a second each time."""
    monkeypatch.setattr(reach, "answered", lambda name: [])


def about(found, what):
    """What was found about something: {state: text and remedy}."""
    return {one.state: f"{one.text} {one.remedy}" for one in found if one.about == what}


def test_a_sound_shop_has_nothing_wrong_and_nothing_is_changed_by_looking(shop, free_port):
    before = {p: p.read_bytes() for p in shop.rglob("*") if p.is_file() and "sqlite3-" not in p.name}
    found = doctor.findings(shop, free_port)
    assert [one for one in found if one.state == "wrong"] == []
    for what in ("folder", "room", "database", "clock", "authority", "certificate"):
        assert "ok" in about(found, what), what
    assert {p: p.read_bytes() for p in before} == before


def test_every_finding_that_is_not_well_says_what_to_do(shop, free_port):
    for one in doctor.findings(shop, free_port):
        assert one.remedy or one.state == "ok", one


def test_a_folder_that_is_not_there_yet_is_a_note(tmp_path):
    found = doctor.findings(tmp_path / "none", 1)
    assert "Start the app once" in about(found, "folder")["note"]


@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_keys_and_folders_open_to_others_are_named_with_the_command_that_closes_them(shop, free_port):
    (shop / "tls" / "authority.key").chmod(0o644)
    shop.chmod(0o755)
    found = doctor.findings(shop, free_port)
    assert f"chmod 600 {shop / 'tls' / 'authority.key'}" in about(found, "authority")["wrong"]
    assert f"chmod 700 {shop}" in about(found, "folder")["note"]


def test_a_spoilt_authority_is_wrong_and_a_spoilt_certificate_only_a_note(shop, free_port):
    (shop / "tls" / "server.pem").write_bytes(b"no")
    assert "makes a new one" in about(doctor.findings(shop, free_port), "certificate")["note"]
    (shop / "tls" / "authority.key").write_bytes(b"no")
    assert "from a copy" in about(doctor.findings(shop, free_port), "authority")["wrong"]


def test_a_damaged_book_is_wrong_and_restoring_a_copy_is_the_remedy(shop, free_port):
    with Store(shop):
        pass
    path = shop / BOOK
    size = path.stat().st_size
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * (size - 8192))
    assert "bothends restore" in about(doctor.findings(shop, free_port), "database")["wrong"]


def test_a_clock_behind_the_newest_entry_is_wrong(shop, free_port):
    later = (datetime.now(UTC) + timedelta(days=2)).isoformat(timespec="seconds").replace("+00:00", "Z")
    with sqlite3.connect(shop / BOOK) as book:
        book.execute(
            "INSERT INTO entries (id, job, device, at, kind, schema, body, received)"
            " VALUES ('a', 'b', 'c', ?, 'note', 1, '{}', ?)",
            [later, later],
        )
    book.close()
    assert "Set it" in about(doctor.findings(shop, free_port), "clock")["wrong"]


def test_little_room_is_told_before_there_is_none(shop, free_port, monkeypatch):
    usage = namedtuple("usage", "total used free")
    for free, state in ((1_000_000_000, "note"), (1_000_000, "wrong")):
        monkeypatch.setattr(shutil, "disk_usage", lambda _, free=free: usage(1, 1, free))
        assert state in about(doctor.findings(shop, free_port), "room")


@pytest.mark.parametrize("kind", ["nfs4", "cifs", "9p"])
def test_a_book_on_a_network_share_is_wrong(shop, free_port, monkeypatch, kind):
    monkeypatch.setattr(doctor, "_file_system", lambda _: kind)
    assert "a disk of this machine" in about(doctor.findings(shop, free_port), "folder")["wrong"]


def test_a_name_that_is_another_machine_here_is_wrong(shop, free_port, monkeypatch):
    real = socket.getaddrinfo
    there = [(2, 1, 6, "", ("198.51.100.7", 0))]
    monkeypatch.setattr(
        socket, "getaddrinfo", lambda name, *rest: there if name.endswith(".local") else real(name, *rest)
    )
    assert "198.51.100.7, another machine" in about(doctor.findings(shop, free_port), "name")["wrong"]


def test_something_else_at_the_port_is_told_from_the_app(shop, running):
    async def other(scope, receive, send):
        if scope["type"] == "lifespan":
            for moment in ("startup", "shutdown"):
                await receive()
                await send({"type": f"lifespan.{moment}.complete"})
            return
        await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"2")]})
        await send({"type": "http.response.body", "body": b"hi"})

    with running(other) as client:
        found = doctor.findings(shop, client.base_url.port)
    assert "something else" in about(found, "port")["wrong"]


def test_the_running_app_is_recognised_by_http(shop, served):
    port = int(served.address.rsplit(":", 1)[1])
    assert "the app answers" in about(doctor.findings(shop, port), "port")["ok"]


@pytest.mark.slow
def test_the_command_prints_the_findings_and_ends_with_one_where_something_is_wrong(shop, free_port):
    words = ["doctor", "--data", shop, "--port", free_port]
    done = run(*words, "--json", anew=True)
    assert done.returncode == 0, done.stdout
    assert {"about", "state", "text"} <= set(json.loads(done.stdout)[0])
    (shop / "tls" / "authority.pem").unlink()
    done = run(*words)
    assert done.returncode == 1
    assert "wrong authority" in done.stdout


@pytest.mark.slow
def test_the_running_shop_is_recognised_by_its_very_certificate(tmp_path):
    data = tmp_path / "shop"
    words = ["serve", "--no-browser", "--no-mdns", "--name", "shop.test", "--port", "0", "--data", str(data)]
    with Process(words) as process:
        try:
            said = next(line for line in process.stdout if "Bothends is running at" in line)
            port = int(said.split("/")[2].split(":")[1])
            assert "the app answers" in about(doctor.findings(data, port), "port")["ok"]
            # The same port, another shop's folder: its certificate is not the one that is shown there.
            other = tmp_path / "other"
            other.mkdir()
            Garage(other, Options(port=port, mdns=False))
            assert "something else" in about(doctor.findings(other, port), "port")["wrong"]
        finally:
            process.terminate()
            process.communicate(timeout=20)


def test_a_port_that_cannot_be_had_is_told_before_the_app_is_started(shop):
    with socket.create_server(("0.0.0.0", 0)) as taken:
        number = taken.getsockname()[1]
        # The app's own port is free; the help page's, one further, is not.
        # Somebody else on this machine may have the third one.
        told = [one for one in doctor.findings(shop, number - 1) if one.about == "port"]
    wrong = [one.text for one in told if one.state == "wrong"]
    assert [text for text in wrong if f"{number}, for the help page, is not free" in text]
    assert "nothing answers" in about(told, "port")["note"]


def test_a_certificate_from_elsewhere_is_looked_at_in_place_of_the_shops_own(
    shop, free_port, tmp_path, monkeypatch
):
    chain, key = shop / "tls" / "server.pem", shop / "tls" / "server.key"
    assert "localhost" in about(doctor.findings(shop, free_port, (), (chain, key)), "certificate")["ok"]
    wrong = about(
        doctor.findings(shop, free_port, (), (chain, shop / "tls" / "authority.key")), "certificate"
    )
    assert "is not the key of" in wrong["wrong"]
    monkeypatch.setattr(doctor, "WARN_DAYS", 201)
    assert "Renew it" in about(doctor.findings(shop, free_port, (), (chain, key)), "certificate")["note"]
    key.chmod(0o644)
    assert "chmod 600" in about(doctor.findings(shop, free_port, (), (chain, key)), "certificate")["wrong"]


def test_a_name_that_this_system_does_not_ask_the_network_for_is_asked_for_by_the_doctor(
    shop, free_port, monkeypatch
):
    def none(*_):
        raise OSError("no such name")

    own = present(shop)
    monkeypatch.setattr(socket, "getaddrinfo", none)
    monkeypatch.setattr(reach, "answered", lambda name: [own.addresses[0]] if name == own.announced else [])
    assert f"{own.announced} is this machine" in about(doctor.findings(shop, free_port), "name")["ok"]
    monkeypatch.setattr(reach, "answered", lambda name: ["198.51.100.7"])
    assert "another machine" in about(doctor.findings(shop, free_port), "name")["wrong"]
    monkeypatch.setattr(reach, "answered", lambda name: [])
    assert "ask it of a phone" in about(doctor.findings(shop, free_port), "name")["note"]
