"""bothends doctor: a sound shop is called sound; whatever is wrong is named with what to do."""

import json
import os
import shutil
import socket
import sqlite3
import subprocess
import sys
from collections import namedtuple
from datetime import UTC, datetime, timedelta

import pytest

from bothends.book.store import BOOK, Store
from bothends.service import doctor
from bothends.service.garage import Garage, Wish


@pytest.fixture
def shop(tmp_path):
    """A folder with a book and certificates, as after a first start."""
    data = tmp_path / "shop"
    data.mkdir(mode=0o700)
    with Store(data):
        pass
    Garage(data, Wish(port=1, mdns=False))
    return data


@pytest.fixture
def free_port():
    with socket.create_server(("127.0.0.1", 0)) as place:
        return place.getsockname()[1]


def about(found, what):
    """What was found about something: {state: text and remedy}."""
    return {one.state: f"{one.text} {one.remedy}" for one in found if one.about == what}


def test_a_sound_shop_has_nothing_wrong_and_nothing_is_changed_by_looking(shop, free_port):
    before = {p: p.read_bytes() for p in shop.rglob("*") if p.is_file() and "sqlite3-" not in p.name}
    found = doctor.findings(shop, free_port)
    assert [one for one in found if one.state == "wrong"] == []
    for what in ("folder", "room", "logbook", "clock", "authority", "certificate"):
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
    assert "bothends restore" in about(doctor.findings(shop, free_port), "logbook")["wrong"]


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


def test_the_command_prints_the_findings_and_ends_with_one_where_something_is_wrong(shop, free_port):
    command = [sys.executable, "-m", "bothends.service.command", "doctor", "--data", str(shop)]
    command += ["--port", str(free_port)]
    done = subprocess.run([*command, "--json"], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
    assert {"about", "state", "text"} <= set(json.loads(done.stdout)[0])
    (shop / "tls" / "authority.pem").unlink()
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 1
    assert "wrong authority" in done.stdout
