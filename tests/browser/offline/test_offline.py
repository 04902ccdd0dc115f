"""The app without its server: refused, hanging, broken, in flight mode; and without a worker at all."""

import json
import subprocess
from pathlib import Path

import pytest
from browser.conftest import ARGS, PATIENCE_MS, PHONE
from browser.offline.conftest import Phone
from browser.offline.gate import Gate
from browser.offline.versions import READY, real, serve
from playwright.sync_api import expect
from tools import CHROMIUM, need

APP = "/bench.html?app"
PLAIN = json.loads((Path(__file__).parents[1] / "cases" / "plain.json").read_text(encoding="utf-8"))
REQUEST = PLAIN.get("request", PLAIN)


ENTERED = """async (job) => {
  const { append } = await import("/book/log.js");
  await append(job, [["reading", { what: "body-height", side: "left", value: 214 }]]);
  const { sheetOf } = await import("/book/fold.js");
  const { counts } = await import("/book/outbox.js");
  return [(await sheetOf(job)).sheet.readings.length, (await counts()).waiting];
}"""
JOB = "0198c000-0000-7000-8000-0000000000aa"


@pytest.fixture(scope="module")
def ready(chromium, shop_of_all):
    """A phone that has been to the shop once, a minute long: the app is on it, and its gate may be shut."""
    gate = Gate(shop_of_all.address, shop_of_all.web)
    serve(gate)
    context = chromium.new_context(**PHONE)
    context.set_default_timeout(PATIENCE_MS)
    complaints = []
    phone = Phone(context, gate, complaints)
    phone.page.goto(gate.address)
    assert phone.page.evaluate(READY) == "ready"
    yield phone
    context.close()
    gate.release()
    gate.down()
    assert complaints == []


@pytest.fixture
def open_gate(ready):
    """That phone's gate, open whatever an earlier test did."""
    ready.gate.mode = "open"
    ready.context.set_offline(False)
    if not ready.gate.is_up:
        ready.gate.up()
    return ready.gate


def test_the_app_opens_enters_and_plans_whatever_has_become_of_the_server(ready, open_gate, long):
    # One phone, to the shop once, and from then on never the same trouble twice.
    gate, page = open_gate, ready.page
    for count, how in enumerate(("hang", "502", "flight mode", "refused"), start=1):
        gate.mode = how if how in ("hang", "502") else "open"
        ready.context.set_offline(how == "flight mode")
        if how == "refused":
            gate.down()
        # Any address of a page is the app.
        page.goto(gate.address + ("/" if count % 2 else "/some/where"))
        page.locator("main h1").wait_for()
        # Planning asks no server: with --long it is seen to ask none of these four.
        if long or how in ("hang", "refused"):
            solved = "(request) => import('/model/solver.js').then((m) => m.solve(request))"
            assert page.evaluate(solved, REQUEST)["options"], how
        assert page.evaluate(ENTERED, JOB) == [count, count], how


def test_every_file_that_a_job_may_need_is_here_once_the_app_says_so(ready, open_gate):
    phone, gate = ready, open_gate
    gate.down()
    written = real(gate.web)
    listed = json.loads(written[written.index("{") : written.rindex(";")])
    paths = [*listed["files"], *listed["soon"]]
    fetching = (
        "(all) => Promise.all(all.map((path) => fetch(path).then((reply) => reply.status, () => path)))"
    )
    assert set(phone.page.evaluate(fetching, paths)) == {200}


def test_manifest_and_icons_make_the_app_installable(phone):
    told = phone.page.evaluate("""async () => {
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


@pytest.mark.long("the same where a shop's own authority is no longer trusted: secure/test_trust.py")
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
