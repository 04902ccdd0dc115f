"""The stream of news: told at once, ended with the access, bounded, and in nobody's way when the server stops."""

import contextlib
import json
import re
import signal
from collections.abc import Iterator

import httpx
import jsonschema_rs
import pytest
from book.pages import Page
from service.alone import alone
from service.contract import DOCUMENT
from service.shop import shop
from warm import Process

from bothends.book import devices
from bothends.book.store import Store, visit
from bothends.service.api.listening import Listening
from bothends.service.api.open_book import OpenBook
from bothends.service.http.problems import Refusal

PATIENCE = httpx.Timeout(30)


@pytest.fixture
def here(running, tmp_path):
    """A shop of one's own, with an empty book."""
    with shop(running, tmp_path / "book") as opened:
        yield opened


class Ear:
    """One open stream."""

    def __init__(self, reply: httpx.Response) -> None:
        self.reply = reply
        self._lines = reply.iter_lines()

    def next(self):
        """What is said next; None where it has ended."""
        for line in self._lines:
            if line.startswith("data: "):
                return json.loads(line.removeprefix("data: "))
        return None

    def after(self, last):
        """What is said first that goes beyond a number."""
        while (said := self.next()) is not None:
            if said["last"] > last:
                return said
        return None


@contextlib.contextmanager
def listening(client, **options) -> Iterator[Ear]:
    """A stream that stands."""
    with client.stream("GET", "/api/news", timeout=PATIENCE, **options) as reply:
        assert reply.status_code == 200, reply.read()
        yield Ear(reply)


def readings(number):
    """So many entries of one job."""
    page = Page()
    for value in range(number):
        page.write("reading", {"what": "body-height", "side": "left", "value": 200.0 + value})
    return page.entries


def places(shop):
    """How many listen at the server."""
    return len(shop.app.state.listening)


def test_what_is_stored_is_told_at_once_to_whoever_listens_and_the_feed_has_it(here):
    _, header = here.pair()
    with listening(here.client) as one, listening(here.guest, headers=header) as two:
        assert one.next()["last"] == two.next()["last"] == 0
        here.push(*readings(3))
        # Not the next beat, which comes when this test is long over.
        assert one.after(0) == two.after(0) == {"epoch": here.get("/api/entries")["epoch"], "last": 3}
        assert here.get("/api/entries", after=0)["next"] == 3
        assert one.reply.headers["cache-control"] == "no-store"


def test_what_is_told_fits_the_schema_and_comes_as_the_type_that_the_schema_names(here):
    (kind,) = DOCUMENT["paths"]["/api/news"]["get"]["responses"]["200"]["content"]
    name = {"$ref": "#/components/schemas/News"}
    with listening(here.client) as ear:
        assert ear.reply.headers["content-type"].split(";")[0] == kind
        jsonschema_rs.Draft202012Validator({**DOCUMENT, **name}).validate(ear.next())


def test_without_a_key_nobody_listens(here):
    for header in ({}, {"Authorization": "Bearer 0a1b2c3d4e5f.x"}):
        reply = here.guest.get("/api/news", headers=header)
        assert (reply.status_code, reply.json()["code"]) == (401, "no-key")
    assert places(here) == 0


def test_a_stream_ends_with_the_access_of_its_device_and_no_other_does(here):
    name, header = here.pair()
    with listening(here.guest, headers=header) as theirs, listening(here.client) as ours:
        assert theirs.next()
        here.client.delete(f"/api/devices/{name}").raise_for_status()
        assert theirs.after(99) is None
        assert here.guest.get("/api/news", headers=header).json()["code"] == "no-key"
        here.push(*readings(1))
        assert ours.after(0)


def test_a_second_stream_of_a_device_ends_its_first(here):
    with listening(here.client) as first:
        assert first.next()
        with listening(here.client) as second:
            assert first.after(99) is None
            assert places(here) == 1
            here.push(*readings(1))
            assert second.after(0)


def test_where_all_places_are_taken_the_next_is_told_so_until_one_goes(running, tmp_path):
    with shop(running, tmp_path / "book", listeners=1) as here:
        _, header = here.pair()
        with listening(here.client) as ear:
            assert ear.next()
            reply = here.guest.get("/api/news", headers=header)
            assert (reply.status_code, reply.json()["code"]) == (503, "too-many-streams")
            assert int(reply.headers["retry-after"]) > 0
            # Everything else goes on.
            assert here.guest.get("/api/entries", headers=header).status_code == 200
        with contextlib.suppress(httpx.ReadTimeout):
            while here.guest.get("/api/news", headers=header, timeout=0.2).status_code == 503:
                pass


def test_to_ask_for_the_head_alone_takes_no_place_and_has_an_end(here):
    reply = here.client.head("/api/news")
    assert (reply.status_code, reply.content) == (200, b"")
    while places(here):
        here.get("/api/entries")


def test_a_client_that_goes_gives_its_place_back(here):
    with listening(here.client) as ear:
        assert ear.next()
        assert places(here) == 1
    while places(here):
        here.get("/api/entries")


@pytest.mark.slow
def test_what_another_program_does_to_the_book_is_heard_too(here, tmp_path):
    name, header = here.pair()
    with listening(here.guest, headers=header) as ear:
        assert ear.next()
        # As the command line does it beside a server that runs.
        assert visit(tmp_path / "book", lambda db: devices.revoke(db, name))
        assert ear.after(99) is None


def test_one_network_takes_its_own_places_and_this_machine_all_there_are(tmp_path):
    async def work():
        book = OpenBook(Store(tmp_path))
        names = []
        for number in range(8):
            code, _ = await book.write(devices.new_code)
            made = await book.write(lambda db, code=code, n=number: devices.pair(db, code, f"phone {n}"))
            names.append(made[0]["id"])
        room = Listening(book, most=6, each=2)
        for name in names[:2]:
            await room.join(name, "192.168.1.66")
        with pytest.raises(Refusal):
            await room.join(names[2], "192.168.1.66")
        assert len(room) == 2
        others = [await room.join(name, f"192.168.1.{n}") for n, name in enumerate(names[2:4])]
        own = [await room.join(name, "127.0.0.1") for name in names[4:6]]
        with pytest.raises(Refusal):
            await room.join(names[6], "127.0.0.1")
        # One that comes again needs no second place, full as it is.
        again = await room.join(names[0], "192.168.1.66")
        assert len(room) == 6
        for one in [*others, *own, again]:
            room.leave(one)
            room.leave(one)
        assert len(room) == 1
        await room.close()
        assert (len(room), room._networks) == (0, {})
        await book.close()

    alone(work)


@pytest.mark.slow(seconds=3)
def test_a_server_with_streams_open_stops_at_once_and_without_complaint(tmp_path):
    process = Process(["serve", "--http", "--port", "0", "--no-browser", "--data", str(tmp_path / "book")])
    said = ""
    for line in process.stdout:
        said += line
        if "Pairing code" in said and "running at" in said:
            break
    address = re.search(r"http://127\.0\.0\.1:\d+", said)[0]
    code = re.search(r"Pairing code (\S+):", said)[1]
    with httpx.Client(base_url=address, trust_env=False) as client:
        key = client.post("/api/devices", json={"code": code, "name": "phone"}).json()["key"]
        with listening(client, headers={"Authorization": f"Bearer {key}"}) as ear:
            assert ear.next()
            process.send_signal(signal.SIGTERM)
            # Its end is an orderly one: a connection that was cut raises.
            assert ear.after(99) is None
    _, complaints = process.communicate(timeout=20)
    assert (process.returncode, complaints) == (0, "")
