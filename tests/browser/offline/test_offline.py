"""The app without its server: refused, hanging, broken, in flight mode; and without a worker at all."""

import json
import subprocess
from pathlib import Path

import pytest
from browser.conftest import ARGS
from browser.offline.conftest import Phone
from browser.offline.versions import READY, real, serve
from playwright.sync_api import expect
from tools import CHROMIUM, need

APP = "/bench.html?app"
PLAIN = json.loads((Path(__file__).parents[1] / "cases" / "plain.json").read_text(encoding="utf-8"))
REQUEST = PLAIN.get("request", PLAIN)


@pytest.fixture
def ready(phones, gate):
    """A phone that has been to the shop once, a minute long."""
    serve(gate)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("ready:")
    return phone


def test_the_app_opens_enters_and_plans_whatever_has_become_of_the_server(ready, gate):
    # One phone, to the shop once, and from then on never the same trouble twice.
    for count, how in enumerate(("hang", "502", "flight mode", "refused"), start=1):
        gate.mode = how if how in ("hang", "502") else "open"
        ready.context.set_offline(how == "flight mode")
        if how == "refused":
            gate.down()
        page = ready.open("/", wait=False)
        page.locator("main h1").wait_for()
        # Any address of a page is the app.
        page.goto(f"{gate.address}/some/where")
        page.locator("main h1").wait_for()
        solved = "(request) => import('/model/solver.js').then((m) => m.solve(request))"
        assert page.evaluate(solved, REQUEST)["options"], how
        page.close()
        ready.page.goto(gate.address + APP)
        ready.page.locator("body[data-ready=yes]").wait_for()
        ready.readings(214)
        assert len(ready.js("return fold.sheetOf(JOB);")["sheet"]["readings"]) == count, how
        expect(ready.page.locator("#count")).to_have_text(f"{count} on this phone only")


def test_every_file_that_a_job_may_need_is_here_once_the_app_says_so(phones, gate):
    serve(gate)
    phone = phones(gate, hurried=True)
    phone.page.goto(gate.address)
    assert phone.page.evaluate(READY) == "ready"
    gate.down()
    written = real(gate.web)
    listed = json.loads(written[written.index("{") : written.rindex(";")])
    paths = [*listed["files"], *listed["soon"]]
    fetching = (
        "(all) => Promise.all(all.map((path) => fetch(path).then((reply) => reply.status, () => path)))"
    )
    assert set(phone.page.evaluate(fetching, paths)) == {200}


def test_manifest_and_icons_make_the_app_installable(ready, gate):
    told = ready.page.evaluate("""async () => {
        const manifest = await (await fetch("/manifest.webmanifest")).json();
        const sizes = [];
        for (const icon of manifest.icons) {
            const image = new Image();
            image.src = icon.src;
            await image.decode();
            sizes.push([icon.sizes, `${image.naturalWidth}x${image.naturalHeight}`, icon.purpose]);
        }
        return {manifest, sizes};
    }""")
    manifest = told["manifest"]
    assert (manifest["start_url"], manifest["scope"], manifest["display"]) == ("/", "/", "standalone")
    for said, found, _ in told["sizes"]:
        assert said in ("any", found)
    assert {(said, purpose) for said, _, purpose in told["sizes"]} >= {
        ("192x192", "any"),
        ("512x512", "any"),
        ("512x512", "maskable"),
    }


def test_over_plain_http_on_the_shops_network_the_app_works_without_a_worker_and_says_so(
    playwright, gate, shop_of_all
):
    serve(gate)
    browser = playwright.chromium.launch(
        executable_path=CHROMIUM, args=[*ARGS, "--host-resolver-rules=MAP shop.test 127.0.0.1"]
    )
    try:
        complaints: list[str] = []
        gate.address = gate.address.replace("127.0.0.1", "shop.test")
        phone = Phone(browser.new_context(), gate, complaints)
        phone.page.goto(gate.address + APP)
        expect(phone.page.locator("#app")).to_contain_text("insecure: Opened over plain http")
        assert phone.page.evaluate("() => [isSecureContext, 'locks' in navigator]") == [False, False]
        assert phone.js("return device.askToKeep();")["kept"] is None
        phone.pair(shop_of_all)
        phone.readings(214)
        told = phone.page.evaluate("() => Promise.all([bench.sync.round(), bench.sync.round()])")
        assert sorted(one["pushed"] for one in told) == [0, 1]
        assert complaints == []
    finally:
        browser.close()


def test_with_an_untrusted_certificate_entry_works_the_queue_grows_and_the_cause_is_named(
    phones, gate_to, shop_of_all, tmp_path
):
    key, certificate = tmp_path / "key.pem", tmp_path / "certificate.pem"
    subprocess.run(
        [need("openssl"), "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes",
         "-days", "2", "-subj", "/CN=127.0.0.1", "-addext", "subjectAltName=IP:127.0.0.1", "-keyout", key,
         "-out", certificate],
        check=True, capture_output=True,
    )  # fmt: skip
    gate = gate_to(shop_of_all, certificate=(certificate, key))
    serve(gate)
    phone = phones(gate, ignore_https_errors=True)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("refused: This phone does not trust")
    phone.pair(shop_of_all)
    screen = phone.open("/#/settings", wait=False)
    remedy = screen.get_by_role("link", name="How to trust the certificate")
    # This server has no such page to tell of; by custom it would be at the next port.
    port = int(gate.address.rsplit(":", 1)[1])
    expect(remedy.last).to_have_attribute("href", f"http://127.0.0.1:{port + 1}/")
    gate.down()
    phone.readings(214)
    told = phone.js("await pace.syncNow(); return pace.status();")
    assert told["code"] == "no-answer"
    assert "does not trust its certificate" in told["text"]
    assert "its help page tells how" in told["text"]
    screen.get_by_role("button", name="Sync now").tap()
    expect(screen.locator(".state .shop")).to_contain_text("does not trust its certificate")
    expect(screen.locator(".state").get_by_role("link", name="How to trust the certificate")).to_be_visible()
    assert phone.counts()["waiting"] == 1
    gate.up()
    # The settings' page goes its own rounds: either may be the one that brings it.
    phone.sync()
    assert phone.counts()["waiting"] == 0
