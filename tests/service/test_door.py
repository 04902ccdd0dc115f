"""However many connections are opened and say nothing, honest ones are served, and what they took comes back."""

import contextlib
import os
import re
import resource
import socket
import ssl
import subprocess
import sys
import time
from pathlib import Path

import httpx
import pytest
from service.alone import alone
from service.in_thread import serving_in_thread

from bothends.service.http import door
from bothends.service.http.door import Bounds, Door
from bothends.service.http.head_timeout import HeadTimeout
from bothends.service.lan import listener
from bothends.service.lan.garage import Garage, Options

FLOOD = 1200
SLACK_MB = 24
"""What an interpreter keeps for itself of memory that it once needed, [MB]: found -1 to 1."""
linux = pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="needs /proc, which Linux has")


@contextlib.contextmanager
def house(bounds: Bounds, context: ssl.SSLContext | None = None):
    """An app behind a door; the door and its address."""
    gate = Door(bounds)
    place = gate.guards(listener.bind(0))
    options = {"http": HeadTimeout.behind(gate)}
    if context:
        options["ssl_context_factory"] = lambda *_: context
    address = place.getsockname()
    with serving_in_thread(place, **options):
        yield gate, address


def ended(wire: socket.socket) -> bool:
    """Whether the server has ended a connection; waits for it."""
    try:
        return wire.recv(100) == b""
    except ConnectionError:
        return True


def asked(place) -> int:
    """The status of an honest request."""
    return httpx.get(f"http://{place[0]}:{place[1]}/api/health", trust_env=False, timeout=20).status_code


def test_a_connection_that_never_shakes_hands_is_not_held_for_ever(tmp_path):
    garage = Garage(tmp_path, Options(port=1, mdns=False))
    with (
        house(Bounds(silent_s=0.4), garage.context()) as (gate, place),
        socket.create_connection(place, timeout=20) as nothing,
        socket.create_connection(place, timeout=20) as begun,
    ):
        # The beginning of a hello, and no more.
        begun.sendall(b"\x16\x03\x01\x02\x00\x01")
        assert ended(nothing)
        assert ended(begun)
    assert len(gate) == 0


def test_where_all_places_are_taken_the_oldest_silent_one_makes_room_and_never_one_that_is_answered():
    with (
        house(Bounds(total=4, own=0)) as (gate, place),
        contextlib.ExitStack() as opened,
    ):
        busy = opened.enter_context(socket.create_connection(place, timeout=20))
        # Its head is whole, its body is not: it is being answered.
        head = "POST /api/solve HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        busy.sendall(f"{head}Connection: close\r\nContent-Length: 3\r\n\r\n{{".encode())
        while not (len(gate) == 1 and not gate._silent):
            assert asked(place) == 200
        silent = [opened.enter_context(socket.create_connection(place, timeout=20)) for _ in range(30)]
        assert asked(place) == 200
        # Four places: one is busy, one was the honest request's; all but the youngest few have made room.
        assert all(ended(wire) for wire in silent[:-3])
        assert len(gate) <= 4
        busy.sendall(b"  ")
        assert busy.recv(65536).startswith(b"HTTP/1.1 400")


def held(gate: Door, host: str, port: int) -> door._Held | None:
    """A connection as if it came from there; None where it was not let in."""
    ours, theirs = socket.socketpair()
    theirs.close()
    made = door._Held(ours.family, ours.type, ours.proto, fileno=ours.detach())
    if gate.admits(made, (host, port)):
        return made
    made.close()
    return None


def test_one_network_never_takes_the_places_of_the_others_or_of_this_machine():
    async def work():
        gate = Door(Bounds(total=20, each=5, own=4))
        bad = [held(gate, "192.168.1.66", n) for n in range(5)]
        for one in bad:
            gate.speaks(one.key)
        # All of them are being answered: nobody makes room for a sixth of that network.
        assert held(gate, "192.168.1.66", 9) is None
        assert held(gate, "::ffff:192.168.1.66", 9) is None
        others = [held(gate, f"192.168.1.{n}", 1) for n in range(1, 12)]
        assert all(others)
        for one in others:
            gate.speaks(one.key)
        # Four of the twenty are this machine's.
        assert held(gate, "fd00::1", 1) is None
        own = [held(gate, "127.0.0.1", n) for n in range(4)]
        assert all(own)
        for one in [*bad, *others, *own]:
            one.close()
        assert (len(gate), gate._counts, gate._networks) == (0, {}, {})
        assert (gate._silent, gate._resting, gate._leaving) == ({}, {}, {})

    alone(work)


def test_a_port_that_comes_again_before_the_loop_heard_of_its_end_is_never_counted_twice():
    async def work():
        gate = Door(Bounds(each=2))
        first = held(gate, "10.0.0.1", 7)
        again = held(gate, "10.0.0.1", 7)
        assert len(gate) == gate._counts["10.0.0.1"] == 1
        first.close()
        assert len(gate) == 1
        again.close()
        assert len(gate) == 0
        assert not gate._counts

    alone(work)


def test_a_system_that_gives_few_files_gets_fewer_connections(monkeypatch):
    given = []
    monkeypatch.setattr(resource, "setrlimit", lambda _, limits: given.append(limits))
    monkeypatch.setattr(resource, "getrlimit", lambda _: (256, 300))
    assert Door()._total == 300 - door.SPARE_FILES
    monkeypatch.setattr(resource, "getrlimit", lambda _: (256, resource.RLIM_INFINITY))
    assert Door()._total == door.BOUNDS.total
    assert [soft for soft, _ in given] == [300, door.BOUNDS.total + door.SPARE_FILES]
    monkeypatch.setattr(resource, "getrlimit", lambda _: (1024, 4096))
    assert Door()._total == door.BOUNDS.total
    assert len(given) == 2


def test_a_stream_takes_no_place_of_the_others_and_none_when_it_has_ended():
    async def work():
        gate = Door(Bounds(total=3, each=2, own=0), streams=8)
        streams = [held(gate, "192.168.1.66", n) for n in range(2)]
        for one in streams:
            gate.speaks(one.key)
            gate.streams(one.key)
            gate.streams(one.key)
        # Both of its own places, and all three there are, are free as before.
        usual = [held(gate, "192.168.1.66", 7), held(gate, "192.168.1.66", 8), held(gate, "10.0.0.1", 1)]
        assert all(usual)
        for one in usual:
            gate.speaks(one.key)
        assert held(gate, "10.0.0.2", 1) is None
        # It rests for nobody, and makes room for nobody.
        gate.rests(streams[0].key)
        assert gate._resting == {}
        assert len(gate) == 5
        for one in [*streams, *usual]:
            one.close()
        assert (len(gate), gate._counts, gate._networks, gate._streaming) == (0, {}, {}, set())

    alone(work)


def test_where_a_system_gives_few_files_streams_are_the_first_to_be_fewer(monkeypatch):
    monkeypatch.setattr(resource, "setrlimit", lambda *_: None)
    for hard, usual, streams in (
        (300, 300 - door.SPARE_FILES, 0),
        (door.BOUNDS.total + door.SPARE_FILES + 5, door.BOUNDS.total, 5),
        (4096, door.BOUNDS.total, 9),
    ):
        monkeypatch.setattr(resource, "getrlimit", lambda _, hard=hard: (256, hard))
        made = Door(streams=9)
        assert (made._total, made.most_streams) == (usual, streams)


class Shop:
    """The real command, plain or over HTTPS; ``port`` is that of the door that is flooded."""

    def __init__(self, data: Path, *, secure: bool) -> None:
        command = [
            sys.executable,
            "-u",
            "-m",
            "bothends.service.command",
            "serve",
            "--no-browser",
            "--port",
            "0",
        ]
        command += ["--data", str(data), *(("--no-mdns", "--no-helper") if secure else ("--http",))]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        said = ""
        for line in self.process.stdout or ():
            said += line
            if "on this PC at" in line or (not secure and "running at" in line):
                break
        self.local = re.findall(r"http://\S+?(?=/\.? |/$)", said, re.MULTILINE)[-1]
        main = re.search(r"running at https?://\S+?:(\d+)/", said)
        assert main, said
        self.port = int(main[1])
        context = ssl._create_unverified_context()
        self.client = httpx.Client(
            base_url=f"https://127.0.0.1:{self.port}" if secure else self.local,
            trust_env=False,
            timeout=30,
            verify=context,
            limits=httpx.Limits(max_keepalive_connections=0),
        )

    def connections(self) -> int:
        """Sockets that the server has open."""
        found = 0
        for entry in Path(f"/proc/{self.process.pid}/fd").iterdir():
            with contextlib.suppress(OSError):
                found += os.readlink(entry).startswith("socket:")
        return found

    def resident_mb(self) -> float:
        """Memory that the server holds, [MB]."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmRSS:\s+(\d+) kB", status)[1]) / 1024

    def stop(self) -> None:
        """End it."""
        self.client.close()
        self.process.terminate()
        self.process.communicate(timeout=20)


@pytest.fixture
def many_files():
    """Enough open files for the flood, if this machine gives them to a test."""
    before = resource.getrlimit(resource.RLIMIT_NOFILE)
    if before[0] < FLOOD + 300:
        if before[1] != resource.RLIM_INFINITY and before[1] < FLOOD + 300:
            pytest.skip(f"needs {FLOOD + 300} open files, this machine gives {before[1]}")
        resource.setrlimit(resource.RLIMIT_NOFILE, (FLOOD + 300, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_NOFILE, before)


@linux
@pytest.mark.slow(seconds=2)
@pytest.mark.parametrize("secure", [False, True], ids=["plain", "tls"])
def test_a_flood_of_connections_never_keeps_an_honest_one_out_or_the_memory_it_took(
    secure, tmp_path, many_files
):
    shop = Shop(tmp_path / "book", secure=secure)
    try:
        for _ in range(20):
            assert shop.client.get("/api/health").status_code == 200
        sockets, memory = shop.connections(), shop.resident_mb()
        most = 0
        with contextlib.ExitStack() as opened:
            for number in range(FLOOD):
                wire = socket.create_connection(("127.0.0.1", shop.port), timeout=30)
                opened.enter_context(wire)
                if number % 3 == 0:
                    with contextlib.suppress(OSError):
                        wire.sendall(b"\x16\x03\x01\x02" if secure else b"GET / HTTP/1.1\r\nHost: x\r\n")
                if number % 100 == 99:
                    assert shop.client.get("/api/health").status_code == 200
                    most = max(most, shop.connections() - sockets)
            # All 1,200 are open on this side; the server serves, and holds no more than it may.
            for _ in range(20):
                assert shop.client.get("/api/health").status_code == 200
            most = max(most, shop.connections() - sockets)
            assert 100 < most <= door.BOUNDS.total + door.LEAVING
            taken = shop.resident_mb() - memory
        while shop.connections() > sockets + 1:
            time.sleep(0.1)
            assert shop.client.get("/api/health").status_code == 200
        # What the last of them held goes when the collector has come by.
        for _ in range(1000):
            if (left := shop.resident_mb() - memory) < SLACK_MB:
                break
            assert shop.client.get("/api/health").status_code == 200
        print(f"at most {most} connections, {taken:.0f} MB more while they stood, {left:.0f} MB after")
        assert left < SLACK_MB
    finally:
        shop.stop()
