"""bothends pair, backup and restore as real processes, beside a running server and without one."""

import re
import subprocess
import sys

import httpx
import pytest
from book.pages import Page
from conftest import Served

pytestmark = pytest.mark.slow


def run(*arguments):
    """Run a command; output as text."""
    command = [sys.executable, "-m", "bothends.service.command", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


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

        done = run("pair", "--data", data)
        assert (done.returncode, done.stderr) == (0, "")
        paired(server, done.stdout)

        done = run("backup", copy, "--data", data)
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
