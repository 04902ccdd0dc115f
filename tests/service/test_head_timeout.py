"""A connection that is slow to say what it wants is let go; one that rests between requests is not hurried."""

import contextlib
import socket

import httpx
import pytest
from service.in_thread import serving_in_thread

from bothends.service.http.head_timeout import HeadTimeout
from bothends.service.lan import listener


class Hasty(HeadTimeout):
    """The same, with a patience that a test can wait for."""

    head_seconds = 0.4


@pytest.fixture
def house():
    """An app served by the hasty protocol; its address, host and port."""
    place = listener.bind(0)
    address = place.getsockname()
    with serving_in_thread(place, http=Hasty):
        yield address


@pytest.mark.parametrize("sent", [b"", b"G", b"GET /api/health HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: "])
def test_a_connection_that_never_ends_its_first_head_is_closed_and_others_are_served(house, sent):
    with socket.create_connection(house, timeout=20) as wire:
        wire.sendall(sent)
        assert wire.recv(100) == b""
    assert httpx.get(f"http://{house[0]}:{house[1]}/api/health", trust_env=False).status_code == 200


def test_a_letter_now_and_then_does_not_buy_more_time(house):
    with socket.create_connection(house, timeout=0.05) as wire:
        said = None
        for _ in range(400):
            # The reset that answers a letter sent after the end is an end as well.
            with contextlib.suppress(TimeoutError):
                try:
                    wire.sendall(b"G")
                    said = wire.recv(100)
                except ConnectionError:
                    said = b""
            if said is not None:
                break
        assert said == b""


def test_a_second_request_on_the_same_connection_is_timed_from_its_first_byte(house):
    request = b"GET /api/health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    with socket.create_connection(house, timeout=20) as wire:
        for _ in range(3):
            wire.sendall(request)
            said = b""
            while not said.endswith(b"}"):
                said += wire.recv(65536)
            assert said.startswith(b"HTTP/1.1 200")
        wire.sendall(request[:10])
        assert wire.recv(65536) == b""


@pytest.mark.slow
def test_an_answer_may_take_longer_than_a_head_may(house):
    # Its body is the guard's to time; the head was whole at once.
    with socket.create_connection(house, timeout=20) as wire:
        head = "POST /api/solve HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        wire.sendall(f"{head}Connection: close\r\nContent-Length: 3\r\n\r\n{{".encode())
        wire.settimeout(3 * Hasty.head_seconds)
        with pytest.raises(TimeoutError):
            wire.recv(100)
        wire.settimeout(20)
        wire.sendall(b"  ")
        assert wire.recv(65536).startswith(b"HTTP/1.1 400")
