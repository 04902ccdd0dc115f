"""What is looked at while the shop is served: a certificate from elsewhere that is renewed, trouble that passes."""

import asyncio
import contextlib
import os
import re
import signal
import socket
import ssl
import stat
import sys

import httpx
import pytest
import zxingcpp
from cryptography import x509
from PIL import Image
from service.alone import alone
from warm import Process

from bothends.book import devices, log
from bothends.book.store import BOOK, Store
from bothends.service.command import main
from bothends.service.lan import certificate, garage, names, private
from bothends.service.lan.authority import authority
from bothends.service.lan.garage import Garage, Options
from bothends.service.lan.names import Names
from bothends.service.settings import Settings

ELSEWHERE = Names(announced="bothends-pc.local", dns=("shop.test",), addresses=())


class Context:
    """Notes what a TLS context is told to show."""

    def __init__(self):
        self.shown = []

    def load_cert_chain(self, chain, key):
        self.shown.append(x509.load_pem_x509_certificates(chain.read_bytes())[0].serial_number)


@pytest.fixture
def elsewhere(tmp_path):
    """A certificate of somebody else's making, and how it is made anew in its place."""
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    signer = authority(folder, ELSEWHERE)
    shown = certificate.served(folder, signer, ELSEWHERE)

    def renew():
        shown.chain.unlink()
        certificate.served(folder, signer, ELSEWHERE)

    return shown, renew


def test_a_certificate_from_elsewhere_that_is_renewed_in_its_place_is_shown_without_a_restart(
    tmp_path, elsewhere
):
    shown, renew = elsewhere
    served = Garage(tmp_path, Options(port=1, cert=shown.chain, key=shown.key, mdns=False))
    assert served.address == "https://shop.test:1/"
    assert served.signer is None
    context = Context()
    alone(lambda: served.look(context, lambda hosts: None))
    renew()
    alone(lambda: served.look(context, lambda hosts: None))
    first, second = context.shown
    assert first != second


def test_trouble_while_looking_is_told_once_and_the_next_look_may_go_better(
    tmp_path, elsewhere, monkeypatch, capsys
):
    shown, renew = elsewhere
    served = Garage(tmp_path, Options(port=1, cert=shown.chain, key=shown.key, mdns=False))
    shown.chain.write_bytes(b"half")
    looks = []

    async def waited(seconds):
        assert seconds == garage.LOOK_SECONDS
        looks.append(seconds)
        if len(looks) == 3:
            renew()
        if len(looks) == 5:
            raise asyncio.CancelledError

    context = Context()
    with pytest.raises(asyncio.CancelledError):
        alone(lambda: served.watch(context, lambda hosts: None, pause=waited))
    said = capsys.readouterr().err
    assert said.count("the certificate could not be looked at") == 1
    assert "expected certificates in PEM form" in said
    assert len(context.shown) == 2


def test_numbers_of_the_internet_are_neither_certified_nor_told_nor_a_note(tmp_path, monkeypatch):
    monkeypatch.setattr(names, "addresses", lambda: ["192.168.1.20", "2001:db8::7"])
    monkeypatch.setattr(socket, "getfqdn", lambda host: "localhost")
    served = Garage(tmp_path, Options(port=8622, mdns=False))
    assert "2001:db8::7" in served.shown.left_out
    assert served.address == "https://192.168.1.20:8622/"
    assert served.others == []
    assert served.notes == []
    # It is refused as a Host as well only where it is not this machine's own; there the browser's warning stands.
    assert "[2001:db8::7]" in served.names.hosts


def test_a_shop_with_nothing_but_a_number_of_the_internet_is_served_on_this_machine(tmp_path, monkeypatch):
    monkeypatch.setattr(names, "addresses", lambda: ["2001:db8::7"])
    monkeypatch.setattr(socket, "getfqdn", lambda host: "localhost")
    assert Garage(tmp_path, Options(port=8622, mdns=False)).address == "https://localhost:8622/"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="permission bits")
def test_a_book_in_a_folder_that_others_may_read_is_taken_from_them_at_the_next_start(tmp_path, serve):
    data = tmp_path / "open"
    data.mkdir(mode=0o755)
    with Store(data):
        (data / BOOK).chmod(0o644)
    running = serve("--no-browser", "--data", str(data))
    # The folder is its owner's business; the book and what SQLite keeps beside it are nobody else's.
    kept = [path for path in data.iterdir() if path.name.startswith(BOOK)]
    assert {path.name for path in kept} >= {BOOK, f"{BOOK}-wal", f"{BOOK}-shm"}
    assert {stat.S_IMODE(path.stat().st_mode) for path in kept} == {0o600}
    assert stat.S_IMODE(data.stat().st_mode) == 0o755
    assert running.stop() == 0


@pytest.mark.slow
def test_a_header_that_anybody_can_write_buys_no_further_tries(serve, tmp_path):
    running = serve("--no-browser", "--data", str(tmp_path / "book"))
    statuses = set()
    with httpx.Client(base_url=running.address, trust_env=False) as client:
        for n in range(int(Settings().tries) + 5):
            forwarded = {"x-forwarded-for": f"10.0.0.{n}", "forwarded": f"for=10.0.0.{n}"}
            guess = {"code": "AAAAAAAA", "name": "x"}
            statuses.add(client.post("/api/devices", json=guess, headers=forwarded).status_code)
    assert statuses == {403, 429}


@pytest.mark.slow
def test_a_proxy_in_front_is_believed_where_one_was_announced(tmp_path):
    words = ["serve", "--no-browser", "--port", "0"]
    words += ["--behind-proxy", "--address", "https://shop.example/", "--data", str(tmp_path / "book")]
    with Process(words) as process:
        said = ""
        for line in process.stdout:
            said += line
            if "on this PC at" in line:
                break
        local = line.split()[-1]
        try:
            assert "Bothends is running at https://shop.example/" in said
            with httpx.Client(base_url=local, trust_env=False, headers={"host": "shop.example"}) as client:
                assert client.get("/api/health").json()["address"] == "https://shop.example/"
                statuses = set()
                for n in range(int(Settings().tries) + 5):
                    guess = {"code": "AAAAAAAA", "name": "x"}
                    reply = client.post(
                        "/api/devices", json=guess, headers={"x-forwarded-for": f"10.0.0.{n}"}
                    )
                    statuses.add(reply.status_code)
                # Each phone has its own tries, as it would without the proxy.
                assert statuses == {403}
        finally:
            process.terminate()
            process.wait(20)


def started(data):
    """What a shop that is started by the system says, until it serves; then it is ended."""
    words = ["serve", "--no-browser", "--no-mdns", "--name", "shop.test", "--port", "0", "--data", str(data)]
    with Process(words) as process:
        said = ""
        for line in process.stdout:
            said += line
            if "fingerprint" in line:
                process.terminate()
        process.wait(20)
    assert process.returncode == 0
    return said


def drawn(text):
    """The picture on a console as one of an image: half blocks, light on dark as a terminal shows them."""
    rows = [line for line in text.splitlines() if line and set(line) <= set(" ▀▄█")]
    halves = {" ": (0, 0), "▀": (255, 0), "▄": (0, 255), "█": (255, 255)}
    lines = [bytes(halves[sign][half] for sign in row) for row in rows for half in (0, 1)]
    picture = Image.frombytes("L", (len(rows[0]), len(lines)), b"".join(lines))
    return picture.resize((picture.width * 8, picture.height * 8))


@pytest.mark.slow
def test_a_first_start_shows_a_phone_the_way_in_and_later_ones_by_the_system_make_no_codes(tmp_path):
    said = started(tmp_path / "book")
    code = re.search(r"Pairing code (\w{4})-(\w{4})", said)
    address = re.search(r"Bothends is running at (\S+)\. ", said)[1]
    # First the page that says how to trust the shop, then the code, each under its words.
    trust, pairing = re.split("Then scan", said)
    (first,) = zxingcpp.read_barcodes(drawn(trust))
    assert first.text == re.search(r"let it trust this shop: (\S+)", trust)[1]
    assert first.text.startswith("http://shop.test:")
    (read,) = zxingcpp.read_barcodes(drawn(pairing))
    assert read.text == f"{address}#pair={code[1]}{code[2]}"
    assert address.startswith("https://shop.test:")
    with Store(tmp_path / "book") as store:
        assert store.write(lambda db: devices.pair(db, read.text.split("=")[1], "phone"))
    said = started(tmp_path / "book")
    assert "Pairing code" not in said
    assert "fingerprint (SHA-256)" in said


def test_a_folder_that_cannot_be_written_is_told_before_anything_is_served(tmp_path, capsys, monkeypatch):
    def full(path, content):
        raise OSError(28, "No space left on device", str(path))

    before = os.umask(0o022)
    monkeypatch.setattr(private, "write", full)
    try:
        assert main(["serve", "--no-browser", "--no-mdns", "--port", "0", "--data", str(tmp_path / "b")]) == 1
    finally:
        os.umask(before)
    said = capsys.readouterr()
    assert "No space left on device; give this user the folder and room in it" in said.err
    assert "Bothends is running at" not in said.out


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_secure_server_ends_in_order_though_browsers_hold_their_connections(tmp_path, number):
    data = tmp_path / "book"
    words = ["serve", "--no-browser", "--no-mdns", "--name", "shop.test", "--port", "0", "--data", str(data)]
    with Process(words) as process:
        said = ""
        for line in process.stdout:
            said += line
            if "fingerprint" in line:
                break
        ports = [int(port) for port in re.findall(r"(?:shop\.test|127\.0\.0\.1):(\d+)", said)]
        app, local, helper = ports
        trusting = ssl.create_default_context(cafile=str(data / "tls" / "authority.pem"))
        request = b"GET /api/health HTTP/1.1\r\nHost: shop.test\r\n\r\n"
        with contextlib.ExitStack() as held:
            for port in (app, local, helper):
                wire = held.enter_context(socket.create_connection(("127.0.0.1", port), timeout=20))
                if port == app:
                    wire = held.enter_context(trusting.wrap_socket(wire, server_hostname="shop.test"))
                    assert wire.version() == "TLSv1.3"
                wire.sendall(request)
                assert wire.recv(100).startswith(b"HTTP/1.1 307" if port == helper else b"HTTP/1.1 200")
            # And one that has not even shaken hands.
            held.enter_context(socket.create_connection(("127.0.0.1", app), timeout=20))
            process.send_signal(number)
            _, wrong = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Traceback" not in wrong
    with Store(data) as store:
        assert store.read(log.last) == 0


def test_nothing_older_than_tls_1_2_is_spoken_whatever_python_takes_for_usual(tmp_path, monkeypatch):
    class Lax:
        """Debian 12's own Python has no oldest version of its own; others would set 1.2 by themselves."""

        minimum_version = ssl.TLSVersion.MINIMUM_SUPPORTED

        def __init__(self, protocol):
            assert protocol == ssl.PROTOCOL_TLS_SERVER

        def load_cert_chain(self, chain, key):
            pass

    garage = Garage(tmp_path, Options(port=1, mdns=False))
    assert garage.context().minimum_version == ssl.TLSVersion.TLSv1_2
    monkeypatch.setattr(ssl, "SSLContext", Lax)
    assert garage.context().minimum_version == ssl.TLSVersion.TLSv1_2
