"""The command line as real processes: what is printed where, exit codes, start and end of the server."""

import json
import os
import re
import signal
import socket
import stat
from pathlib import Path

import httpx
import pytest
from warm import run

import bothends
from bothends.service.cli.options import PORT
from bothends.service.command import main, parser
from bothends.service.site import places

pytestmark = pytest.mark.slow

GANNET = str(places.DEMO / "gannet.json")


def test_version_is_the_packages():
    assert run("--version", anew=True).stdout == f"bothends {bothends.__version__}\n"


def test_a_plan_is_printed_for_a_mechanic():
    done = run("solve", GANNET, anew=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert "inner end " in done.stdout
    assert "arm down (raises)" in done.stdout
    assert "chance 7" in done.stdout
    assert "trust the car" in done.stdout


def test_json_output_is_the_contracts_answer(client):
    answer = json.loads(run("solve", GANNET, "--json").stdout)
    assert (
        answer
        == client.post("/api/solve", json=json.loads((places.DEMO / "gannet.json").read_bytes())).json()
    )


def test_a_dash_reads_standard_input():
    body = (places.DEMO / "gannet.json").read_bytes()
    assert run("solve", "-", given=body).stdout == run("solve", GANNET).stdout


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"{", "not JSON"),
        (b'{"car": {"arm": 1}}', "$.car.arm"),
        (b'{"car": {"bar": {"diameter_mm": 0.9}}}', "diameter_mm must be a number from 5 to 80, got 0.9"),
    ],
)
def test_bad_input_ends_with_2_and_names_the_field(body, words):
    done = run("solve", "-", given=body)
    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_what_the_model_refuses_ends_with_2_as_well(gannet):
    gannet["log"] = gannet["log"][:2]
    done = run("solve", "-", given=json.dumps(gannet).encode())
    assert done.returncode == 2
    assert "No ride height on the left: measure it." in done.stderr
    assert "at $.log" in done.stderr


def test_a_file_that_is_not_there_ends_with_2():
    done = run("solve", "nowhere.json")
    assert (done.returncode, done.stderr) == (2, "bothends: nowhere.json: No such file or directory\n")


def test_the_schema_is_printed_as_committed(repository):
    assert run("schema").stdout == (repository / "openapi" / "bothends.json").read_text()


def test_an_unknown_option_is_refused_with_the_usage():
    done = run("solve", GANNET, "--inches")
    assert done.returncode == 2
    assert "usage: bothends" in done.stderr


def test_without_a_command_the_app_is_served():
    assert parser().parse_args(["serve"]).port == PORT
    done = run("--port", "70000")
    assert done.returncode == 2
    assert "usage: bothends serve" in done.stderr


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_the_server_ends_in_order_on_a_signal(serve, tmp_path, gannet, number):
    running = serve("--no-browser", "--data", str(tmp_path / "book"))
    with httpx.Client(base_url=running.address, trust_env=False) as client:
        # The connection stays open, as a browser's would; a solver is at hand as well.
        assert client.post("/api/solve", json=gannet).status_code == 200
        assert running.stop(number) == 0
    assert "Traceback" not in running.said
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", int(running.address.rsplit(":", 1)[1])))


def test_only_this_machine_is_listened_to(served):
    port = int(served.address.rsplit(":", 1)[1])
    listening = open_ports()
    assert ("0100007F", port) in listening
    assert ("00000000", port) not in listening


def open_ports() -> set[tuple[str, int]]:
    """Listening IPv4 sockets of this machine: address in the kernel's hexadecimal form, and port."""
    with open("/proc/net/tcp") as table:
        rows = [line.split() for line in table][1:]
    places_taken = [row[1].split(":") for row in rows if row[3] == "0A"]
    return {(address, int(port, 16)) for address, port in places_taken}


def test_a_taken_port_is_told_with_the_way_out(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = run("serve", "--http", "--no-browser", "--port", str(port), "--data", str(tmp_path / "book"))
    assert done.returncode == 1
    assert f"port {port}" in done.stderr
    assert "--port" in done.stderr


def test_a_data_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    done = run("serve", "--http", "--no-browser", "--data", str(tmp_path / "file" / "book"))
    assert done.returncode == 2
    assert "--data" in done.stderr


@pytest.fixture
def browser(tmp_path):
    """A stand-in for a browser that writes down what it was asked to open: its command, and the note."""
    note, script = tmp_path / "opened", tmp_path / "browser"
    os.mkfifo(note)
    script.write_text(f'#!/bin/sh\necho "$1" > {note}\n')
    script.chmod(script.stat().st_mode | stat.S_IXUSR)
    return script, note


def test_no_list_of_processes_shows_the_code_that_the_browser_is_opened_with(serve, tmp_path, browser):
    script, note = browser
    env = {"DISPLAY": ":7", "BROWSER": str(script), "HOME": str(tmp_path)}
    data = tmp_path / "book"
    running = serve("--data", str(data), env=env, fresh=True)
    opened = note.read_text().strip()
    # All that it was opened with: a file, of its owner alone, whose name says nothing.
    (page,) = data.glob("bothends-open-*.html")
    assert opened == page.as_uri()
    assert stat.S_IMODE(page.stat().st_mode) == 0o600
    assert stat.S_IMODE(data.stat().st_mode) == 0o700
    code = re.search(re.escape(running.address) + "/#here=([0-9A-Z]{8})", page.read_text())[1]
    assert code not in opened
    arguments = Path(f"/proc/{running.process.pid}/cmdline")
    assert not arguments.exists() or code.encode() not in arguments.read_bytes()
    # What stands in it lets the browser in, once, and then the file goes.
    pairing = {"code": code, "name": "PC"}
    with httpx.Client(base_url=running.address, trust_env=False) as client:
        assert [client.post("/api/devices", json=pairing).status_code for _ in range(2)] == [201, 403]
        while page.exists():
            assert client.get("/api/health").status_code == 200


def test_the_file_with_the_code_never_outlasts_the_server_or_the_next_start(serve, tmp_path, browser):
    script, note = browser
    env = {"DISPLAY": ":7", "BROWSER": str(script), "HOME": str(tmp_path)}
    data = tmp_path / "book"
    running = serve("--data", str(data), env=env)
    note.read_text()
    running.stop(signal.SIGKILL)
    (left,) = data.glob("bothends-open-*.html")
    again = serve("--data", str(data), env=env)
    note.read_text()
    assert not left.exists()
    assert again.stop() == 0
    assert not list(data.glob("bothends-open-*.html"))


@pytest.mark.parametrize(
    ("options", "word"),
    [
        (["--cert", "a.pem"], "--cert and --key go together"),
        (["--behind-proxy"], "--behind-proxy needs --address"),
        (["--http", "--cert", "a.pem", "--key", "b.pem"], "--cert is for HTTPS"),
        (["--name", "shop pc"], "expected a host name such as shop.lan, got shop pc"),
        (["--address", "shop.example"], "expected an address such as https://shop.example/"),
        (["--cert", "no.pem", "--key", "no.pem", "--port", "0"], "--cert no.pem: No such file"),
    ],
)  # fmt: skip
def test_options_that_do_not_go_together_are_told_before_anything_is_served(tmp_path, options, word):
    done = run("serve", "--no-browser", "--no-mdns", "--data", str(tmp_path / "book"), *options)
    assert done.returncode in (1, 2)
    assert word in done.stderr


def test_commands_run_in_this_process_too(capsys):
    assert main(["solve", GANNET, "--units", "inch"]) == 0
    assert " in)" in capsys.readouterr().out
