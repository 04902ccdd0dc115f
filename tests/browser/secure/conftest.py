"""A shop served over HTTPS by the real command, and browsers that trust its authority by a store of their own.

The name is one of the network, not a loopback one (which browsers trust without any certificate); the browser is
told where it is. No flag that overlooks certificate errors is used anywhere here.
"""

import json
import os
import re
import signal
import ssl
import subprocess
import urllib.parse
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import warm
from browser.conftest import ARGS, PATIENCE_MS, PHONE, UNHURRIED
from browser.server import start
from playwright.sync_api import Browser, BrowserContext, Page, Playwright
from tools import WHOLE, need

NAME = "shop.test"
"""RFC 2606 keeps .test for such as this."""
ELSEWHERE = "bank.example"
"""A name of the internet (RFC 2606), for those who misuse the shop's authority."""
ROOM = [f"--host-resolver-rules=MAP {NAME} 127.0.0.1, MAP {ELSEWHERE} 127.0.0.1", "--no-proxy-server"]


class Shop:
    """``bothends serve`` in a process; ``address`` and ``help`` end without a slash and stay over restarts.

    ``local`` is the plain door for the PC's own browser.
    """

    def __init__(self, folder: Path) -> None:
        self.data = folder / "data"
        self._errors = folder / "errors.log"
        self._ports = ("0", "0")
        self.start()

    @property
    def authority(self) -> Path:
        """The authority's certificate."""
        return self.data / "tls" / "authority.pem"

    @property
    def port(self) -> int:
        """The app's port."""
        return int(self._ports[0])

    def start(self) -> None:
        """Start it, at the same ports as before."""
        words = [
            "serve",
            "--no-browser",
            "--no-mdns",
            "--name",
            NAME,
            "--port",
            self._ports[0],
            "--helper-port",
            self._ports[1],
        ]
        with self._errors.open("a") as errors:
            self._process = start([*words, "--data", str(self.data)], errors)
        said = ""
        assert self._process.stdout is not None
        for line in self._process.stdout:
            said += line
            if "fingerprint" in line:
                break
        else:
            raise RuntimeError(f"the shop did not start:\n{said}{self._errors.read_text()}")
        app = re.search(rf"https://{NAME}:(\d+)", said)
        helper = re.search(rf"http://{NAME}:(\d+)", said)
        assert app, said
        assert helper, said
        local = re.search(r"on this PC at (http://127\.0\.0\.1:\d+)/", said)
        assert local, said
        self.address, self.help, self.local = app[0], helper[0], local[1]
        self._ports = (app[1], helper[1])

    def stop(self) -> None:
        """End it in order."""
        self._process.send_signal(signal.SIGTERM)
        self._process.communicate(timeout=20)
        assert self._process.returncode == 0, self._errors.read_text()

    def new_code(self) -> str:
        """A pairing code, made as somebody at the shop's PC makes one."""
        said = warm.run("pair", "--data", self.data).stdout
        found = re.search(r"(\w{4})-(\w{4})", said)
        assert found, said
        return found[1] + found[2]

    def end_access(self, device: str) -> None:
        """End a device's access, as its row on the devices page does, by another device made for that."""
        trust = ssl.create_default_context(cafile=str(self.authority))
        own = urllib.request.build_opener(
            urllib.request.ProxyHandler({}), urllib.request.HTTPSHandler(context=trust)
        )

        def ask(method: str, path: str, body: Any = None, key: str = "") -> Any:
            request = urllib.request.Request(
                # The certificate is for localhost as well, which needs no name service.
                f"https://localhost:{self.port}{path}",
                method=method,
                data=json.dumps(body).encode() if body else None,
                headers={"Content-Type": "application/json", "Authorization": f"Bearer {key}"},
            )
            with own.open(request, timeout=20) as reply:
                return json.loads(reply.read() or b"null")

        key = ask("POST", "/api/devices", {"code": self.new_code(), "name": "office"})["key"]
        ask("DELETE", f"/api/devices/{device}", key=key)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A shop of the test's own."""
    made = Shop(tmp_path)
    yield made
    if made._process.returncode is None:
        made.stop()


@pytest.fixture(scope="session")
def shop_of_all(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """One shop for tests that leave it as it is."""
    made = Shop(tmp_path_factory.mktemp("secure"))
    yield made
    made.stop()


def trusting(playwright: Playwright, home: Path, *authorities: Path) -> Browser:
    """Launch a browser with a home of its own that trusts these authorities, and no other."""
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    _certutil("-N", "-d", f"sql:{store}", "--empty-password")
    for number, pem in enumerate(authorities):
        _certutil("-A", "-d", f"sql:{store}", "-t", "C,,", "-n", f"shop {number}", "-i", str(pem))
    env = {name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")}
    return playwright.chromium.launch(
        executable_path=WHOLE, args=[*ARGS, *ROOM], env={**env, "HOME": str(home)}
    )


@pytest.fixture
def browsers(playwright: Playwright, tmp_path: Path) -> Iterator[Callable[..., Browser]]:
    """Launches browsers, each with a home of its own that trusts the authorities it was given, and no other."""
    started: list[Browser] = []

    def launch(*authorities: Path) -> Browser:
        started.append(trusting(playwright, tmp_path / f"home-{len(started)}", *authorities))
        return started[-1]

    yield launch
    for browser in started:
        browser.close()


@pytest.fixture(scope="session")
def trusts_shop_of_all(
    playwright: Playwright, shop_of_all: Shop, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """One browser that trusts the shop which tests leave as it is; each phone there is a profile of its own."""
    browser = trusting(playwright, tmp_path_factory.mktemp("home"), shop_of_all.authority)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def chromium_told(playwright: Playwright) -> Iterator[Browser]:
    """A browser that was told where the shop is, and trusts nobody."""
    browser = playwright.chromium.launch(executable_path=WHOLE, args=[*ARGS, *ROOM])
    yield browser
    browser.close()


def _certutil(*words: str) -> None:
    subprocess.run([need("certutil"), *words], check=True, capture_output=True)


@pytest.fixture
def phone_of(
    request: pytest.FixtureRequest, browsers: Callable[..., Browser]
) -> Iterator[Callable[..., Page]]:
    """Makes a phone that trusts the shops given; its page. With ``keeps`` the app installs itself there."""
    contexts: list[BrowserContext] = []

    def make(*shops: Shop, keeps: bool = False, **options: Any) -> Page:
        if "shop_of_all" in request.fixturenames and shops == (request.getfixturevalue("shop_of_all"),):
            browser: Browser = request.getfixturevalue("trusts_shop_of_all")
        else:
            browser = browsers(*(shop.authority for shop in shops))
        workers = {"service_workers": "allow" if keeps else "block"}
        context = browser.new_context(**{**PHONE, **workers, **options})
        contexts.append(context)
        if not keeps:
            context.add_init_script(UNHURRIED)
        context.set_default_timeout(PATIENCE_MS)
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


def pairing(shop: Shop, code: str, what: str = "pair") -> str:
    """The address that carries a pairing code."""
    return f"{shop.address}/#{what}={urllib.parse.quote(code)}"
