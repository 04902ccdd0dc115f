"""The name on the local network: answered by multicast DNS, left to whoever has it, told when it comes late."""

import contextlib
import socket
import struct
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from service.alone import alone
from zeroconf import Zeroconf

from bothends.service.app import create_app
from bothends.service.lan import names
from bothends.service.lan.announce import Announcer
from bothends.service.lan.authority import authority
from bothends.service.lan.garage import Garage, Options
from bothends.service.lan.helper import Helper
from bothends.service.lan.names import Names
from bothends.service.serving import _moved
from bothends.service.settings import Settings

pytestmark = pytest.mark.slow

GROUP = ("224.0.0.251", 5353)
"""RFC 6762, 3."""


@pytest.fixture
def quiet(monkeypatch):
    """A network of this machine alone: what is announced stays on the loopback address."""
    monkeypatch.setattr("bothends.service.lan.announce.Zeroconf", lambda: Zeroconf(interfaces=["127.0.0.1"]))


def question(name: str, kind: int) -> bytes:
    """A query for one record as RFC 1035 (4.1) writes it, for an answer to the asker alone (RFC 6762, 5.4)."""
    labels = b"".join(bytes([len(part)]) + part.encode() for part in name.split("."))
    return struct.pack("!6H", 0, 0, 1, 0, 0, 0) + labels + b"\0" + struct.pack("!2H", kind, 0x8001)


def resolved(name: str, patience_s: float = 10) -> str | None:
    """The IPv4 address that multicast DNS gives for a name; written from the standards, without any library."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as wire:
        wire.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton("127.0.0.1"))
        wire.settimeout(0.3)
        ends = time.monotonic() + patience_s
        while time.monotonic() < ends:
            wire.sendto(question(name, 1), GROUP)
            with contextlib.suppress(TimeoutError):
                said = wire.recv(2000)
                assert struct.unpack("!H", said[2:4])[0] & 0x8000, "an answer"
                # The record's data: type A, class IN (its top bit flushes caches), any time to live, four bytes.
                for flush in (0x8001, 0x0001):
                    at = said.find(struct.pack("!2H", 1, flush), 12 + len(name))
                    while at >= 0:
                        if said[at + 8 : at + 10] == b"\0\4":
                            return socket.inet_ntoa(said[at + 10 : at + 14])
                        at = said.find(struct.pack("!2H", 1, flush), at + 1)
    return None


def test_the_name_is_answered_to_whoever_asks_the_network_and_no_longer_once_it_is_taken_back(quiet):
    # Apart from a browser's loop, which may be running in this thread; zeroconf would take it for its own.
    with ThreadPoolExecutor(1) as pool:
        pool.submit(answered_until_taken_back).result()


def answered_until_taken_back():
    found = Names(announced="bothends-pc.local", dns=(), addresses=("192.168.1.20",))
    announcer = Announcer(8622)
    assert announcer.start(found) == ""
    try:
        assert resolved("bothends-pc.local") == "192.168.1.20"
        announcer.change(Names(announced="bothends-pc.local", dns=(), addresses=("10.0.0.7",)))
        assert resolved("bothends-pc.local") == "10.0.0.7"
        # Somebody else who wants the same name hears that it is taken.
        other = Announcer(8622)
        assert "bothends-pc.local is the name of another machine here" in other.start(
            Names(announced="bothends-pc.local", dns=(), addresses=("10.0.0.8",))
        )
        assert other.taken
        # A second book on the same machine may share it.
        second = Announcer(8632)
        assert second.start(Names(announced="bothends-pc.local", dns=(), addresses=("10.0.0.7",))) == ""
        second.stop()
    finally:
        announcer.stop()
    assert resolved("bothends-pc.local", 1) is None


class Network:
    """Stands in for the announcer: names that others have, and whether there is a network at all."""

    def __init__(self, *taken, up=True):
        self.others = taken
        self.up = up
        self.announced = []
        self.taken = False

    def __call__(self, port):
        return self

    def start(self, found):
        self.taken = found.announced in self.others
        if self.taken or not self.up:
            return "taken" if self.taken else "no network"
        self.announced.append(found.announced)
        return ""

    def change(self, found):
        self.announced.append(found.addresses)

    def stop(self):
        self.announced.append(None)


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """Makes garages of one shop on a network that is given."""
    monkeypatch.setattr(socket, "gethostname", lambda: "pc")
    monkeypatch.setattr(socket, "getfqdn", lambda host: "localhost")
    monkeypatch.setattr(names, "addresses", lambda: ["192.168.1.20"])

    def make(network):
        monkeypatch.setattr("bothends.service.lan.garage.Announcer", network)
        made = Garage(tmp_path, Options(port=8622, helper_port=8623))
        made.announce()
        return made

    return make


def test_a_new_shop_takes_the_next_name_where_the_first_is_taken_and_keeps_it(shop):
    made = shop(Network("bothends-pc.local", "bothends-pc-2.local"))
    assert made.address == "https://bothends-pc-3.local:8622/"
    assert "bothends-pc-3.local" in made.names.hosts
    assert made.notes == []
    # The others have gone; phones know this one by its own name now.
    assert shop(Network()).address == "https://bothends-pc-3.local:8622/"


def test_a_shop_that_phones_know_never_changes_its_name_for_another_machine(shop):
    assert shop(Network()).address == "https://bothends-pc.local:8622/"
    network = Network("bothends-pc.local")
    later = shop(network)
    assert later.address == "https://192.168.1.20:8622/"
    assert later.notes == ["taken"]
    # It goes when the other does, without a restart.
    network.others = ()
    told = []
    alone(lambda: later.look(None, told.append))
    assert later.address == "https://bothends-pc.local:8622/"
    assert told == [later.names.hosts]


def test_a_pc_that_starts_before_its_network_is_found_once_it_has_one(shop, monkeypatch, capsys):
    monkeypatch.setattr(names, "addresses", list)
    network = Network(up=False)
    made = shop(network)
    assert made.address == "https://localhost:8622/"
    app = create_app(Settings(address=made.address))
    helper = Helper(made.signer, made.address)
    network.up = True
    monkeypatch.setattr(names, "addresses", lambda: ["192.168.1.20"])

    class Context:
        def load_cert_chain(self, chain, key):
            pass

    alone(lambda: made.look(Context(), lambda hosts: _moved(app, made, helper, hosts)))
    assert app.state.settings.address == "https://bothends-pc.local:8622/"
    assert "Bothends is now at https://bothends-pc.local:8622/" in capsys.readouterr().out
    assert {"192.168.1.20", "bothends-pc.local"} <= app.asgi_handler._hosts
    assert helper._answer("GET", "/x")[1] == [(b"location", b"https://bothends-pc.local:8622/x")]
    # Nothing changes any more, so nothing more is said.
    alone(lambda: made.look(Context(), lambda hosts: pytest.fail("nothing moved")))


def test_a_certificate_for_the_next_name_stands_under_the_same_authority(shop, tmp_path):
    made = shop(Network("bothends-pc.local"))
    assert made.signer.fingerprint == authority(tmp_path, made.names).fingerprint
    assert made.shown.renewed == "bothends-pc-2.local came to this machine"
    assert [name for name in made.shown.left_out if "." in name] == []
