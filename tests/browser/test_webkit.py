"""The app in a second engine: WebKit, the one of iPhones, in a window of Debian's on a screen in memory.

A smoke run, no more: it starts, it installs itself, it plans without a server what the PC plans, it keeps its log.
These are what engines differ in (storage, workers, WebAssembly); what screens look like is for Chromium's tests.
The page is reached by its addresses and its modules, so no wording is known here but that of the odds.

There is no ``navigator.storage.persist`` here, as on some phones. The driver never answers a request for a picture
of the page: do not ask it for one.
"""

import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import pytest
import tools
from browser.hand import PLAIN
from browser.offline.gate import Gate
from browser.server import running
from browser.test_parity import differences
from selenium.webdriver import WebKitGTKOptions
from selenium.webdriver.remote.client_config import ClientConfig
from selenium.webdriver.remote.remote_connection import RemoteConnection
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.support.wait import WebDriverWait
from selenium.webdriver.webkitgtk.service import Service

from bothends.book.sheet.fold import fold
from bothends.book.sheet.request import request
from bothends.model.solve import solve
from bothends.service.site import places

pytestmark = pytest.mark.slow
PATIENCE_S = 60
ASKED = """
const [given, done] = arguments;
(async () => {%s})().then((value) => done({ value }), (error) => done({ error: String(error) }));
"""
BEGIN = """
const { begin } = await import("/book/log.js");
return (await begin(given)).job;
"""
ADD = """
const { append } = await import("/book/log.js");
const [job, items] = given;
return (await append(job, items)).map(({ id }) => id);
"""
ENTRIES = """
const { entries } = await import("/book/log.js");
return entries(given);
"""
PLAN = """
const { entries } = await import("/book/log.js");
const { sheets, solve } = await import("/model/solver.js");
const [{ request }] = await sheets([{ job: given, entries: await entries(given) }]);
return { request, answer: await solve(request.request) };
"""
HOLD = """
const { transact } = await import("/book/base.js");
globalThis.runs = 0;
transact(["meta"], "readwrite", async (tx) => {
  runs += 1;
  do await tx.store.get("count"); while (runs === 1);
  return "done";
}).then((how) => (globalThis.held = how), (error) => (globalThis.held = String(error)));
"""
"""Holds a transaction open as long as it is let; the second time it ends at once."""
UNREACHED = "return fetch('/api/health', { cache: 'no-store' }).then(() => false, () => true);"
CARD: list[list[Any]] = [
    ["job", {"title": "Gannet, Maren"}],
    ["car", PLAIN["car"]],
    ["target", PLAIN["target"]],
]
READINGS: list[list[Any]] = [
    [item["kind"], {name: value for name, value in item.items() if name != "kind"}] for item in PLAIN["log"]
]


class Second:
    """A page of the app in the second engine, behind a gate that can be shut."""

    def __init__(self, driver: WebDriver, gate: Gate) -> None:
        self.driver = driver
        self.gate = gate

    def js(self, code: str, given: Any = None) -> Any:
        """Run the body of an async function of ``given`` in the page; what it returns, else AssertionError."""
        told = self.driver.execute_async_script(ASKED % code, given)
        assert "error" not in told, told["error"]
        return told.get("value")

    def until(self, condition: str) -> None:
        """Wait for an expression to hold in the page."""
        WebDriverWait(self.driver, PATIENCE_S, poll_frequency=0.05).until(
            lambda driver: driver.execute_script(f"return Boolean({condition})"), condition
        )

    def stands(self) -> None:
        """Wait until the address is drawn."""
        self.until("document.body?.dataset.at === location.hash && document.querySelector('main h1')")

    def open(self) -> None:
        """Open the app anew and wait until it would open without the server."""
        self.driver.get("about:blank")
        self.driver.get(f"{self.gate.address}/")
        self.stands()
        self.until("navigator.serviceWorker.controller")

    def go(self, job: str, words: str) -> None:
        """Go to a screen of a job, as a link would."""
        self.driver.execute_script("location.hash = arguments[0]", f"#/{job}/{words}")
        self.stands()

    def reload(self) -> None:
        """Load the page again, at the address where it is."""
        self.driver.refresh()
        self.stands()


@contextmanager
def screen() -> Iterator[str]:
    """A screen in memory, for windows of a machine that has none; the display's name."""
    reads, writes = os.pipe()
    with open(reads) as told:
        try:
            # It looks for a free number itself.
            words = ["-displayfd", str(writes), "-screen", "0", "1280x1024x24", "-nolisten", "tcp"]
            process = subprocess.Popen(
                [tools.need("Xvfb"), *words], pass_fds=[writes], stderr=subprocess.DEVNULL
            )
        finally:
            os.close(writes)
        try:
            number = told.readline().strip()
            assert number, "Xvfb found no display"
            yield f":{number}"
        finally:
            process.terminate()
            process.wait(timeout=20)


@contextmanager
def session(display: str) -> Iterator[WebDriver]:
    """One window of the browser, with a profile that nothing is kept of."""
    service = Service(tools.need("WebKitWebDriver"), env={**os.environ, "DISPLAY": display})
    service.start()
    try:
        reached = RemoteConnection(
            client_config=ClientConfig(remote_server_addr=service.service_url, timeout=2 * PATIENCE_S)
        )
        driver = WebDriver(command_executor=reached, options=WebKitGTKOptions())
        try:
            driver.set_script_timeout(PATIENCE_S)
            driver.set_page_load_timeout(PATIENCE_S)
            yield driver
        finally:
            driver.quit()
    finally:
        service.stop()


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Second]:
    """The one window of this file; its origin is a loopback address, so a secure one."""
    for program in ("WebKitWebDriver", "Xvfb"):
        tools.need(program)
    with ExitStack() as stack:
        address = stack.enter_context(running(tmp_path_factory.mktemp("shop"), demo=False))
        gate = Gate(address, places.web())
        # Each test opens and shuts it.
        gate.down()
        driver = stack.enter_context(session(stack.enter_context(screen())))
        yield Second(driver, gate)


@pytest.fixture
def second(window: Second) -> Iterator[Second]:
    """The window with the app open and its server there."""
    window.gate.up()
    window.open()
    yield window
    window.gate.down()


def test_the_app_starts_and_installs_itself(second: Second) -> None:
    assert "AppleWebKit" in second.js("return navigator.userAgent")
    assert second.js("return isSecureContext") is True
    kept = "return (await (await caches.open((await caches.keys())[0])).keys()).length"
    assert second.js(kept) > 50


def test_a_whole_plan_without_the_server_is_the_one_the_pc_makes(second: Second) -> None:
    second.gate.down()
    # A start from nothing: page, log, fold and model come from the phone itself.
    second.open()
    assert second.js(UNREACHED) is True
    job = second.js(BEGIN, CARD)
    second.js(ADD, [job, READINGS])
    second.go(job, "plan")
    folded = request(fold(job, second.js(ENTRIES, job)))
    answer = solve(folded["request"])
    odds = f"{round(100 * answer['options'][0]['odds'])} in 100"
    second.until(f"document.querySelector('main').textContent.includes({json.dumps(odds)})")
    phone = second.js(PLAN, job)
    assert phone["request"]["request"] == folded["request"]
    assert phone["answer"]["headline"] == answer["headline"]
    assert differences(answer, phone["answer"]) == []


@pytest.mark.long(
    "a plan from its log after the app was opened anew; over a reload, in Chromium: offline/test_phone_log"
)
def test_the_log_is_kept_over_a_reload(second: Second) -> None:
    job = second.js(BEGIN, CARD + READINGS)
    before = second.js(ENTRIES, job)
    written = sorted(before, key=lambda entry: entry["device_seq"])
    assert [entry["kind"] for entry in written] == [kind for kind, _ in CARD + READINGS]
    second.go(job, "list")
    second.reload()
    assert second.js(ENTRIES, job) == before
    second.gate.down()
    second.reload()
    assert second.js(ENTRIES, job) == before


@pytest.mark.long("pages that write at once, in Chromium: offline/test_phone_log")
def test_a_page_that_is_left_while_it_writes_stops_no_other_and_writes_when_it_is_back(
    second: Second,
) -> None:
    second.js(HOLD)
    # Any address is the app; the page before is put away whole, as it is when somebody follows a link.
    second.driver.get(f"{second.gate.address}/elsewhere")
    second.stands()
    job = second.js(BEGIN, CARD)
    assert len(second.js(ENTRIES, job)) == len(CARD)
    second.driver.back()
    second.until("globalThis.held")
    assert second.js("return [held, runs]") == ["done", 2]
