"""Picture codes as a scanner sees them: rendered by a browser, read by a decoder that did not draw them."""

import subprocess

import pytest
from book.pages import JOB, Page
from browser.conftest import ARGS
from browser.scanned import codes
from service.shop import shop
from tools import WHOLE, need

from bothends.service import qr

pytestmark = pytest.mark.slow

DATA = "https://workshop.example:8622/"
NAMES = (
    "https://a.local:8622/#pair=ABCD2345",
    "https://bothends-slipway.local:8622/#link=0a1b2c3d4e5f.abcdefghijklmnopqrstuvwxyzABCDEF",
    "https://192.168.178.231:8622/#pair=ZZZZ9999",
    "https://[fd00::1234:5678:9abc:def0]:8622/#pair=ZZZZ9999",
    f"https://{'long-name.' * 20}local:65535/#pair=ABCD2345",
    "https://werkstatt-süd.local:8622/#pair=ABCD2345",
)


@pytest.fixture
def rendered(tmp_path):
    """Renders SVG elements on a page of some colour; the screenshot."""

    def render(*drawn, ground="#ffffff"):
        page, out = tmp_path / "page.html", tmp_path / "page.png"
        boxes = "".join(f'<div style="width:300px;float:left;margin:20px">{svg}</div>' for svg in drawn)
        page.write_text(f'<meta charset="utf-8"><body style="background:{ground}">{boxes}', encoding="utf-8")
        words = ["--headless=new", "--window-size=1100,800", f"--user-data-dir={tmp_path / 'profile'}"]
        subprocess.run(
            [need(WHOLE), *ARGS, *words, f"--screenshot={out}", page.as_uri()],
            check=True, capture_output=True, timeout=60,
        )  # fmt: skip
        return out.read_bytes()

    return render


@pytest.fixture
def here(running, tmp_path):
    """A shop that was told its address, with one job."""
    with shop(running, tmp_path / "book", address=DATA) as opened:
        page = Page()
        page.write("job", {"title": "Level the rear"})
        opened.push(*page.entries)
        yield opened


@pytest.mark.parametrize("ground", ["#ffffff", "#12181d"], ids=["light", "dark"])
def test_a_pairing_code_and_a_link_are_scanned_as_the_addresses_they_came_with(here, rendered, ground):
    code = here.client.post("/api/pairing").json()
    link = here.client.post("/api/links", json={"job": JOB}).json()
    read = codes(rendered(code["qr"], link["qr"], ground=ground))
    assert sorted(read) == sorted([code["address"], link["address"]])
    assert code["address"] == f"{DATA}#pair={code['code']}"
    assert link["address"] == f"{DATA}#link={link['token']}"


def test_short_long_and_foreign_addresses_are_scanned_as_they_are(rendered):
    assert sorted(codes(rendered(*(qr.svg(name) for name in NAMES)))) == sorted(NAMES)


def test_a_picture_code_stands_as_a_file_of_its_own(rendered, tmp_path):
    picture = tmp_path / "code.svg"
    picture.write_text(qr.svg(NAMES[0]), encoding="utf-8")
    assert codes(rendered(f'<img width="300" src="{picture.as_uri()}">')) == [NAMES[0]]


def test_what_is_scanned_pairs_one_device_once(here, rendered):
    (address,) = codes(rendered(here.client.post("/api/pairing").json()["qr"]))
    code = address.partition("#pair=")[2]
    made = here.guest.post("/api/devices", json={"code": code, "name": "Tove's phone"})
    assert made.status_code == 201
    again = here.guest.post("/api/devices", json={"code": code, "name": "somebody else's"})
    assert (again.status_code, again.json()["code"]) == (403, "bad-code")
    assert "Make a new one" in again.json()["remedy"]


def test_a_code_says_how_long_it_holds_without_a_clock(here):
    made = here.client.post("/api/pairing").json()
    assert made["seconds"] == 600


def test_the_server_tells_its_address_to_whoever_asks_how_it_is(here, running, tmp_path):
    assert here.guest.get("/api/health").json()["address"] == DATA
    with shop(running, tmp_path / "other") as untold:
        assert untold.guest.get("/api/health").json()["address"] is None
