"""Real server, real browser; every page is watched.

An error in the console or a breach of the content policy fails the test whose page it is.
"""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import packed
import pytest
import tools
from browser.hand import Hand
from browser.server import running
from browser.standing import Ear, Standing, shares
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

HERE = Path(__file__).parent
# A busy machine is no failure: what is expected or worked may take its time to come.
PATIENCE_MS = 40_000
expect.set_options(timeout=PATIENCE_MS)
ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Of two such lists Chromium takes the last, so the driver's own stand here too. The first ones cost most of a
    # second of work for every page: hidden pages for what is offered while typing an address.
    "--disable-features="
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,WebUIOmniboxFullPopup,"
    "AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,HttpsUpgrades,"
    "HttpsFirstBalancedModeAutoEnable,LensOverlay,MediaRouter,PaintHolding,ThirdPartyStoragePartitioning,"
    "AvoidCorsURLLoaderRestartOnRedirect,OptimizationHints,NetworkTimeServiceQuerying,AimEnabled,PreconnectToSearch",
]
PHONE: dict[str, Any] = {"viewport": {"width": 412, "height": 915}, "has_touch": True, "is_mobile": True}
PC: dict[str, Any] = {"viewport": {"width": 1440, "height": 900}}


@pytest.fixture(scope="session", autouse=True)
def packed_in(pytestconfig: pytest.Config) -> Path:
    """Where servers of these tests keep what they pack (``packed``)."""
    cache = getattr(pytestconfig, "cache", None)
    folder = Path(cache.mkdir("packed") if cache else mkdtemp())
    os.environ[packed.FOLDER] = str(folder)
    return folder


@pytest.fixture(scope="module", autouse=True)
def packed_once(packed_in: Path) -> Iterator[None]:
    """Shops in this process do as well, as long as a module of these is run."""
    with pytest.MonkeyPatch.context() as patch:
        packed.keep(packed_in, patch.setattr)
        yield


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where the real server listens."""
    with running(tmp_path_factory.mktemp("shop")) as found:
        yield found


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The driver, one for the whole session."""
    tools.need(tools.WHOLE)
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """One browser for the whole session."""
    browser = playwright.chromium.launch(executable_path=tools.CHROMIUM, args=ARGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def whole_chromium(playwright: Playwright) -> Iterator[Browser]:
    """One whole browser, for pages that use a phone's sensors: the one without a window has none."""
    browser = playwright.chromium.launch(executable_path=tools.WHOLE, args=ARGS)
    yield browser
    browser.close()


FAILED = pytest.StashKey[bool]()
UNHURRIED = "window.requestIdleCallback = (work) => setTimeout(work, 4000);"
"""What a page fetches and starts ahead once it stands comes later: a test pays for the screens that it opens."""
NO_WORKER = "Service Worker registration blocked by Playwright"
"""What the driver itself notes where a test does without the service worker."""


def watched(context: BrowserContext, complaints: list[str] | Ear) -> Page:
    """A page whose complaints are collected."""
    page = context.new_page()
    page.on("pageerror", lambda error: complaints.append(f"error: {error}"))
    page.on(
        "console",
        lambda message: (
            complaints.append(f"console: {message.text}")
            if message.type in ("error", "warning") and NO_WORKER not in message.text
            else None
        ),
    )
    page.add_init_script(path=HERE / "probes.js")
    return page


@pytest.fixture
def complaints() -> list[str]:
    """What the page complained of; a test that provokes a complaint clears it."""
    return []


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[None]:
    """Note at a test that it failed: no other goes on with its page."""
    report = yield
    item.stash[FAILED] = item.stash.get(FAILED, False) or call.excinfo is not None
    return report


@pytest.fixture(scope="session")
def standing() -> Iterator[Standing]:
    """The pages that tests marked ``same_page`` leave to each other."""
    pages = Standing()
    yield pages
    pages.close()


@pytest.fixture
def new_hand(
    request: pytest.FixtureRequest, address: str, complaints: list[str], standing: Standing
) -> Iterator[Callable[..., Hand]]:
    """Makes a hand in a browser's profile of these options; all are closed and judged at the end.

    In a test marked ``same_page`` it is on the page that an earlier test has left, where there is one of these
    options (``browser.standing``); with ``device`` on one that has the access of that device.
    """
    contexts: list[BrowserContext] = []
    standing.go_on(request.node.path)
    shared, empty = shares(request), request.node.get_closest_marker("empty_page") is not None

    def make(browser: Browser, device: str, options: dict[str, Any]) -> Hand:
        def fresh(options: dict[str, Any], told: list[str] | Ear) -> Hand:
            # A worker of each test's own would fetch the whole app again; those about it stand in offline/.
            context = browser.new_context(**{"service_workers": "block", **options})
            context.set_default_timeout(PATIENCE_MS)
            context.add_init_script(UNHURRIED)
            return Hand(watched(context, told), address, touch=bool(options.get("has_touch")))

        if shared:
            return standing.take(options, fresh, complaints, device, browser=browser, empty=empty)
        hand = fresh(options, complaints)
        contexts.append(hand.page.context)
        return hand

    yield make
    standing.give_back(request, request.node.stash.get(FAILED, False), complaints)
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def make_hand(chromium: Browser, new_hand: Callable[..., Hand]) -> Callable[..., Hand]:
    """Makes a hand in a browser profile of these options, see ``new_hand``."""

    def make(device: str = "", **options: Any) -> Hand:
        return new_hand(chromium, device, options)

    return make


@pytest.fixture
def in_letters_of(
    request: pytest.FixtureRequest, chromium: Browser, new_hand: Callable[..., Hand]
) -> Callable[..., Hand]:
    """Makes a hand whose browser shows text at so many pixels where a page sets none; 16 is usual."""

    def make(
        letters: int, sizes: tuple[tuple[int, int], ...], program: str = tools.CHROMIUM, **options: Any
    ) -> Hand:
        # Not as a mobile device: that would zoom out until what is too wide fits.
        wide, high = sizes[0]
        window = {"viewport": {"width": wide, "height": high}, "has_touch": wide < 500}
        browser = chromium if program == tools.CHROMIUM else request.getfixturevalue("whole_chromium")
        hand = new_hand(browser, "", {**window, **options})
        hand.letters(letters)
        return hand

    return make


@pytest.fixture
def phone(make_hand: Callable[..., Hand]) -> Hand:
    """A phone of 412 by 915, by touch."""
    return make_hand(**PHONE)


@pytest.fixture
def pc(make_hand: Callable[..., Hand]) -> Hand:
    """A PC of 1440 by 900."""
    return make_hand(**PC)


@pytest.fixture
def paired(make_hand: Callable[..., Hand], shop: Any) -> Callable[..., Hand]:
    """Makes a hand on a page that is paired with the book that the test's module has as ``shop``."""

    def make(**options: Any) -> Hand:
        hand = make_hand(shop.access["id"], **options)
        shop.pair(hand)
        return hand

    return make


@pytest.fixture(scope="session")
def axe_source() -> str:
    """The vendored accessibility checker."""
    return (HERE / "vendor" / "axe.min.js").read_text(encoding="utf-8")
