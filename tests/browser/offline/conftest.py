"""A shop, a gate before it, and phones: browser contexts on a page that has the phone's modules at hand."""

import itertools
import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser.conftest import FAILED, PATIENCE_MS, PHONE, UNHURRIED
from browser.offline.gate import Gate
from browser.offline.shop import Shop
from browser.standing import shares
from playwright.sync_api import Browser, BrowserContext, Page

from bothends.service.http.problems import CODES, MEDIA_TYPE
from bothends.service.site import places

HERE = Path(__file__).parent


class Phone:
    """One browser profile; its pages share a log."""

    def __init__(self, context: BrowserContext, gate: Gate, complaints: list[str]) -> None:
        self.context = context
        self.gate = gate
        self.complaints = complaints
        self.page = self.open()

    def open(self, place: str = "/bench.html", *, wait: bool = True) -> Page:
        """One more page; ``page`` stays the first."""
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.goto(self.gate.address + place)
        if wait:
            page.locator("body[data-ready]").wait_for()
        return page

    def js(self, code: str, arg: Any = None, *, page: Page | None = None) -> Any:
        """Run code with the modules as names and ``arg``; what it returns, or {error, code, name} of its throw."""
        return (page or self.page).evaluate(
            f"""async (arg) => {{
                const {{base, carry, device, file, fold, ids, log}} = bench;
                const {{outbox, pace, pairing, same, sync, tabs, update, JOB, fetching, resting, shelf}} = bench;
                try {{ return await (async () => {{ {code} }})(); }}
                catch ({{message, code, name}}) {{ return {{ error: message, code: code ?? name, name }}; }}
            }}""",
            arg,
        )

    def rest(self) -> None:
        """Leave the app: nothing goes on, and there is one page."""
        for page in self.context.pages:
            if page is not self.page:
                page.close()
        self.context.set_offline(False)
        self.page.goto("about:blank")

    def empty(self) -> None:
        """Forget all that this phone keeps, but for files that browsers may keep, and stand at the bench again."""
        session = self.context.new_cdp_session(self.page)
        session.send(
            "Storage.clearDataForOrigin",
            {
                "origin": self.gate.address,
                "storageTypes": "indexeddb,local_storage,cache_storage,service_workers",
            },
        )
        session.detach()
        self.page.goto(self.gate.address + "/bench.html")
        self.page.locator("body[data-ready]").wait_for()

    def readings(self, *values: float, page: Page | None = None) -> list[dict[str, Any]]:
        """Enter body heights one by one; the entries."""
        code = """
            const made = [];
            for (const value of arg) {
                made.push(...await log.append(JOB, [["reading", {what: "body-height", side: "left", value}]]));
            }
            return made;
        """
        made: list[dict[str, Any]] = self.js(code, list(values), page=page)
        assert isinstance(made, list), made
        return made

    def pair(self, shop: Shop, name: str = "phone") -> str:
        """Pair by a code; the device's id at the shop."""
        found = self.js("return pairing.pair(arg.code, arg.name);", {"code": shop.code(), "name": name})
        assert "error" not in found, found
        return str(found["id"])

    def sync(self) -> dict[str, Any]:
        """One round; what it came to, or the trouble."""
        told: dict[str, Any] = self.js("return sync.round();")
        return told

    def counts(self) -> dict[str, int]:
        """Honest counts."""
        found: dict[str, int] = self.js("return outbox.counts();")
        return found

    def ids(self) -> list[str]:
        """Ids of all entries on the phone, sorted."""
        return sorted(entry["id"] for entry in self.js("return log.everything();"))


@pytest.fixture(scope="session")
def web(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the front end: a version is a hundred files, and none may change while it is installed."""
    copy = tmp_path_factory.mktemp("web") / "web"
    shutil.copytree(places.web(), copy)
    return copy


@pytest.fixture(scope="session")
def shop_of_all(tmp_path_factory: pytest.TempPathFactory, web: Path) -> Iterator[Shop]:
    """One shop for tests that do not look at the whole book."""
    shop = Shop(tmp_path_factory.mktemp("shop"), web)
    yield shop
    shop.stop()


@pytest.fixture
def shop(tmp_path: Path, web: Path) -> Iterator[Shop]:
    """A shop of one's own, with an empty book."""
    shop = Shop(tmp_path, web)
    yield shop
    shop.stop()


def bench_files() -> dict[str, bytes | None]:
    """The bench's page, as the gate serves it."""
    return {f"/{name}": (HERE / name).read_bytes() for name in ("bench.html", "bench.js")}


class Kept:
    """What tests of a module that are marked ``same_page`` leave to each other: gates, and phones there."""

    def __init__(self) -> None:
        self.gates: list[Gate] = []
        self.phones: list[Phone] = []
        self.complaints: list[str] = []

    def gate(self, number: int, shop: Shop) -> Gate:
        """That one, as if new, before this shop. What browsers may keep of the front end they do not ask it for."""
        if number == len(self.gates):
            self.gates.append(Gate(shop.address, shop.web))
        gate = self.gates[number]
        gate.renew(shop.address)
        gate.lasting = True
        gate.files.update(bench_files())
        return gate

    def phone(self, gate: Gate, used: list[Phone], make: Callable[..., Phone]) -> Phone:
        """One at this gate that is not used yet, emptied."""
        for phone in self.phones:
            if phone.gate is gate and phone not in used:
                phone.empty()
                return phone
        self.phones.append(make(gate, self.complaints))
        return self.phones[-1]


@pytest.fixture(scope="module")
def kept() -> Iterator[Kept]:
    """What is left to the next test."""
    kept = Kept()
    yield kept
    for phone in kept.phones:
        phone.context.close()
    for gate in kept.gates:
        gate.release()
        gate.down()


@pytest.fixture
def gate_to(request: pytest.FixtureRequest, kept: Kept) -> Iterator[Callable[..., Gate]]:
    """Makes gates, or takes those that an earlier test has left; all others are shut at the end."""
    gates: list[Gate] = []
    numbers = itertools.count()
    shared = shares(request)

    def make(shop: Shop, **options: Any) -> Gate:
        if shared and not options:
            return kept.gate(next(numbers), shop)
        gate = Gate(shop.address, shop.web, **options)
        gate.files.update(bench_files())
        gates.append(gate)
        return gate

    yield make
    for gate in gates:
        gate.release()
        gate.down()


@pytest.fixture
def phones(request: pytest.FixtureRequest, chromium: Browser, kept: Kept) -> Iterator[Callable[..., Phone]]:
    """Makes phones; at the end none may have thrown anything nobody caught.

    On one that is ``hurried`` the app itself fetches ahead and installs its worker as soon as it stands. In a test
    marked ``same_page`` others are phones that an earlier one has left, emptied.
    """
    contexts: list[BrowserContext] = []
    complaints: list[str] = []
    used: list[Phone] = []
    shared = shares(request)

    def fresh(gate: Gate, told: list[str], *, hurried: bool = False, **options: Any) -> Phone:
        context = chromium.new_context(**PHONE, **options)
        context.set_default_timeout(PATIENCE_MS)
        if not hurried:
            context.add_init_script(UNHURRIED)
        return Phone(context, gate, told)

    def make(gate: Gate, *, hurried: bool = False, **options: Any) -> Phone:
        if shared and gate in kept.gates and not hurried and not options:
            used.append(kept.phone(gate, used, fresh))
            return used[-1]
        phone = fresh(gate, complaints, hurried=hurried, **options)
        contexts.append(phone.context)
        return phone

    yield make
    for context in contexts:
        context.close()
    for phone in used:
        if request.node.stash.get(FAILED, False):
            kept.phones.remove(phone)
            phone.context.close()
        else:
            phone.rest()
    heard, kept.complaints[:] = [*complaints, *kept.complaints], []
    assert heard == []


@pytest.fixture
def phone(phones: Callable[..., Phone], gate: Gate) -> Phone:
    """A phone at a gate before the shop that all share."""
    return phones(gate)


@pytest.fixture
def gate(gate_to: Callable[..., Gate], shop_of_all: Shop) -> Gate:
    """A gate before the shop that all share."""
    return gate_to(shop_of_all)


def answer(status: int, body: Any, **headers: str) -> tuple[int, dict[str, str], bytes]:
    """A JSON answer for a gate's rule."""
    return status, {"Content-Type": "application/json", **headers}, json.dumps(body).encode()


def problem(code: str, detail: str = "") -> tuple[int, dict[str, str], bytes]:
    """The server's own problem of a code, for a gate's rule."""
    status = CODES[code][0]
    return answer(status, {"code": code, "status": status, "detail": detail}, **{"Content-Type": MEDIA_TYPE})
