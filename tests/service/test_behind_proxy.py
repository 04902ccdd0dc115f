"""Shops behind a real proxy that does HTTPS, set up by the guide's own text: what comes through, and who is who."""

import json
import ssl
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx
import pytest
from book.pages import Page, an_id
from service.proxy import AUTHORITY, FROM, Behind, behind_proxy

from bothends.book import devices
from bothends.book.store import visit
from bothends.service.settings import Settings

pytestmark = pytest.mark.slow

TERN, KNOT = "tern.test", "knot.test"
PHONE = "192.0.2.7"
"""An address of a machine elsewhere (RFC 5737)."""


class Shops:
    """Two shops behind one proxy; asked as from machines of one's choice."""

    def __init__(self, folder: Path, behind: list[Behind]) -> None:
        self.behind = {shop.name: shop for shop in behind}
        self._trust = ssl.create_default_context(cafile=str(folder / AUTHORITY))

    def ask(self, name: str, *, machine: str = PHONE) -> httpx.Client:
        """A client of the shop with this name, through the proxy."""
        transport = httpx.HTTPTransport(verify=self._trust)
        shop = self.behind[name]
        port = shop.address.rpartition(":")[2]

        def named(request: httpx.Request) -> None:
            request.extensions["sni_hostname"] = name

        return httpx.Client(
            base_url=f"https://127.0.0.1:{port}",
            headers={"Host": f"{name}:{port}", FROM: machine},
            transport=transport,
            event_hooks={"request": [named]},
            timeout=30,
        )

    def key(self, name: str, device: str) -> dict[str, str]:
        """Pair a device through the proxy; its header."""
        code, _ = visit(self.behind[name].data, devices.new_code)
        with self.ask(name) as client:
            made = client.post("/api/devices", json={"code": code, "name": device}).raise_for_status().json()
        return {"Authorization": f"Bearer {made['key']}"}


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shops]:
    """Two shops behind the proxy."""
    folder = tmp_path_factory.mktemp("behind")
    with behind_proxy(folder, (TERN, KNOT)) as behind:
        yield Shops(folder, behind)


def entries(number: int, many: int) -> list[dict[str, Any]]:
    """A job with so many readings."""
    page = Page(job=an_id(number), first=1000 * number)
    for n in range(many):
        page.reading(214.0 + n % 7)
    return page.entries


def test_each_shop_answers_under_its_own_name_with_the_address_that_devices_use(shops):
    for name, shop in shops.behind.items():
        with shops.ask(name) as client:
            told = client.get("/api/health").raise_for_status().json()
            assert told["address"] == f"{shop.address}/"
            # Nobody stands at a host's own screen.
            assert told["local"] is None
            page = client.get("/")
            assert page.status_code == 200
            assert "Content-Security-Policy" in page.headers


def test_what_a_shop_has_no_device_of_another_can_read_or_write(shops):
    key = shops.key(TERN, "phone")
    row = entries(1, 1)
    with shops.ask(TERN) as tern, shops.ask(KNOT) as knot:
        assert tern.post("/api/entries", json={"entries": row}, headers=key).status_code == 200
        for refused in (
            knot.post("/api/entries", json={"entries": row}, headers=key),
            knot.get("/api/entries", headers=key),
        ):
            assert refused.status_code == 401
            assert refused.headers["Content-Type"] == "application/problem+json"


def test_a_batch_as_large_as_a_phone_sends_comes_through_and_is_answered_row_by_row(shops):
    rows = entries(2, 100)
    for row in rows:
        row["body"]["note"] = "read in poor light, wind on the car " * 300
    assert len(json.dumps(rows)) > 2**20
    key = shops.key(TERN, "phone with much to say")
    with shops.ask(TERN) as client:
        told = client.post("/api/entries", json={"entries": rows}, headers=key).raise_for_status().json()
        assert [row["status"] for row in told["rows"]] == ["stored"] * len(rows)
        there = client.get("/api/entries", headers=key, params={"limit": 500}).json()["entries"]
        assert {row["id"] for row in rows} <= {entry["id"] for entry in there}


def test_news_comes_through_as_it_happens_and_ends_with_the_access(shops):
    writer, reader = shops.key(KNOT, "phone"), shops.key(KNOT, "PC")
    with (
        shops.ask(KNOT) as other,
        shops.ask(KNOT) as client,
        client.stream("GET", "/api/news", headers=reader) as stream,
    ):
        lines = (json.loads(line[5:]) for line in stream.iter_lines() if line.startswith("data:"))
        # Were it held up, the first would not be here: the next comes after 15 s, and a buffer holds thousands.
        before = next(lines)["last"]
        other.post("/api/entries", json={"entries": entries(3, 1)}, headers=writer).raise_for_status()
        said = next(last for line in lines if (last := line["last"]) > before)
        (own,) = [d for d in other.get("/api/devices", headers=writer).json()["devices"] if d["name"] == "PC"]
        other.delete(f"/api/devices/{own['id']}", headers=writer).raise_for_status()
        # It ends, and a beat is all that may still have been on the way.
        assert {line["last"] for line in lines} <= {said}


def guesses(client: httpx.Client, **headers: str) -> set[int]:
    """The answers to more guesses at a pairing code than one address has in a minute."""
    guess = {"code": "AAAAAAAA", "name": "x"}
    many = int(Settings().tries) + 5
    return {client.post("/api/devices", json=guess, headers=headers).status_code for _ in range(many)}


def test_tries_are_counted_by_who_asks_and_a_header_of_ones_own_buys_no_more(shops):
    with shops.ask(KNOT, machine="192.0.2.8") as one:
        assert guesses(one) == {403, 429}
        # The proxy puts who asks at the end of whatever was there.
        assert guesses(one, **{"X-Forwarded-For": "10.0.0.9", "Forwarded": "for=10.0.0.9"}) == {429}
    with shops.ask(KNOT, machine="192.0.2.9") as another:
        assert 403 in guesses(another)


def test_streams_are_counted_by_network_though_all_come_from_the_proxy(shops):
    each = Settings().listeners_each
    keys = [shops.key(TERN, f"device {n}") for n in range(each + 2)]
    with shops.ask(TERN) as near, shops.ask(TERN, machine="192.0.2.10") as far:
        held = []
        try:
            for key in keys[:each]:
                held.append(near.send(near.build_request("GET", "/api/news", headers=key), stream=True))
            assert {reply.status_code for reply in held} == {200}
            assert near.get("/api/news", headers=keys[each]).json()["code"] == "too-many-streams"
            with far.stream("GET", "/api/news", headers=keys[each + 1]) as stream:
                assert stream.status_code == 200
        finally:
            for reply in held:
                reply.close()


def test_many_devices_push_at_once_and_every_record_is_there(shops):
    key = shops.key(KNOT, "many")

    def push(n: int) -> int:
        with shops.ask(KNOT) as client:
            told = client.post("/api/entries", json={"entries": entries(100 + n, 10)}, headers=key)
            return sum(row["status"] == "stored" for row in told.raise_for_status().json()["rows"])

    with ThreadPoolExecutor(8) as pool:
        stored = sum(pool.map(push, range(24)))
    assert stored == sum(len(entries(100 + n, 10)) for n in range(24))


def test_a_proxy_that_takes_less_at_once_says_so_in_words_that_no_phone_takes_for_the_shops(tmp_path):
    with behind_proxy(tmp_path, (TERN,), room="64k") as behind:
        shops = Shops(tmp_path, behind)
        key = shops.key(TERN, "phone")
        with shops.ask(TERN) as client:
            refused = client.post("/api/entries", json={"entries": entries(4, 400)}, headers=key)
            assert refused.status_code == 413
            assert not refused.headers["Content-Type"].startswith("application/problem+json")
            assert (
                client.post("/api/entries", json={"entries": entries(4, 10)}, headers=key).status_code == 200
            )
