"""bothends pair, backup and restore as real processes, beside a running server and without one."""

import contextlib
import os
import re
import sqlite3
import stat
import subprocess
import sys

import httpx
import pytest
from book.pages import Page
from conftest import Served
from warm import run

from bothends.book.store import Store

pytestmark = pytest.mark.slow


@pytest.fixture
def data(tmp_path):
    """The folder of a book."""
    return tmp_path / "book"


def paired(server, said):
    """The header of a device paired by the code in what a program said."""
    (code,) = re.findall(r"Pairing code (\S+):", said)
    reply = httpx.post(f"{server.address}/api/devices", json={"code": code, "name": "phone"}, trust_env=False)
    return {"Authorization": f"Bearer {reply.raise_for_status().json()['key']}"}


def jobs(server, key):
    return httpx.get(f"{server.address}/api/jobs", headers=key, trust_env=False).json()["jobs"]


def test_the_commands_work_beside_a_running_server_and_restoring_waits_for_its_end(data, tmp_path):
    copy = tmp_path / "copy.sqlite3"
    options = ("--demo", "--no-browser", "--data", str(data))
    server = Served(*options)
    try:
        key = paired(server, server.said)
        found = jobs(server, key)
        assert {job["owner"] for job in found} == {"Maren", "Tove", "Jonas"}

        done = run("pair", "--data", data, anew=True)
        assert (done.returncode, done.stderr) == (0, "")
        paired(server, done.stdout)
        # Plain HTTP, as behind a proxy: the shop signs no certificate, so there is no page about trusting it.
        assert "help page" not in done.stdout

        done = run("backup", copy, "--data", data, anew=True)
        assert (done.returncode, done.stderr) == (0, "")
        assert "records, checked" in done.stdout
        assert "name another file" in run("backup", copy, "--data", data).stderr

        entry = Page().reading(214.0)
        address = f"{server.address}/api/entries/{entry['id']}"
        assert httpx.put(address, json=entry, headers=key, trust_env=False).status_code == 201

        refused = run("restore", copy, "--data", data)
        assert refused.returncode == 1
        assert "stop it first" in refused.stderr
        second = run("serve", "--http", "--port", "0", "--no-browser", "--data", data)
        assert second.returncode == 1
        assert "another program" in second.stderr
        assert "Traceback" not in second.stderr
    finally:
        server.stop()
    done = run("restore", copy, "--data", data)
    assert (done.returncode, done.stderr) == (0, "")
    assert list(data.glob("book-replaced-*.sqlite3"))
    again = Served(*options)
    try:
        assert "Pairing code" not in again.said
        assert jobs(again, key) == found
    finally:
        again.stop()


def test_a_file_that_is_no_book_is_named_and_nothing_starts(data):
    data.mkdir()
    (data / "book.sqlite3").write_text("not a database, and long enough to be looked at twice" * 50)
    for command in (["serve", "--http", "--port", "0", "--no-browser"], ["pair"]):
        done = run(*command, "--data", data)
        assert done.returncode == 1
        assert str(data) in done.stderr
        assert "Traceback" not in done.stderr


def test_commands_on_an_empty_folder_say_what_to_do(data, tmp_path):
    assert "start the app once" in run("pair", "--data", data).stderr
    assert "no shop database" in run("backup", tmp_path / "copy.sqlite3", "--data", data).stderr
    assert "there is no file" in run("restore", tmp_path / "copy.sqlite3", "--data", data).stderr


@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_copies_and_what_is_restored_or_imported_are_their_owners_alone(data, tmp_path):
    copy, more = tmp_path / "copy.sqlite3", tmp_path / "more.jsonl"
    before = os.umask(0)
    try:
        with Store(data):
            pass
        assert run("backup", copy, "--data", data).returncode == 0
        assert run("export", more, "--data", data).returncode == 0
        for command in (["restore", copy], ["import", more]):
            fresh = tmp_path / command[0]
            assert run(*command, "--data", fresh).returncode == 0
            assert stat.S_IMODE((fresh / "book.sqlite3").stat().st_mode) == 0o600
    finally:
        os.umask(before)
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_a_database_of_another_program_is_named_and_left_alone(data):
    data.mkdir()
    with contextlib.closing(sqlite3.connect(data / "book.sqlite3")) as db:
        db.execute("CREATE TABLE t (a)")
    held = (data / "book.sqlite3").read_bytes()
    done = run("serve", "--http", "--port", "0", "--no-browser", "--data", data)
    assert (done.returncode, "not one of this program" in done.stderr) == (1, True)
    assert "Traceback" not in done.stderr
    assert (data / "book.sqlite3").read_bytes() == held


@pytest.mark.skipif(os.name != "posix", reason="limits of a process")
def test_a_start_on_a_full_disk_says_so(data):
    # A limit on file size stands for the disk: no write beyond the first kilobytes succeeds.
    import resource

    done = subprocess.run(
        [sys.executable, "-m", "bothends.service.command", "serve", "--http", "--port", "0", "--no-browser",
         "--data", str(data)],
        capture_output=True, text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000)),
    )  # fmt: skip
    assert done.returncode == 1
    assert "make room" in done.stderr
    assert "Traceback" not in done.stderr
