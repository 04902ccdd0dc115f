"""The help page: what a device needs to trust the shop, and nothing else."""

import datetime as dt
import ssl
import subprocess

import pytest
from service.alone import alone
from tools import need

from bothends.service.lan.authority import authority
from bothends.service.lan.certificate import served
from bothends.service.lan.garage import Garage, Options
from bothends.service.lan.helper import Helper
from bothends.service.lan.names import Names

NAMES = Names(announced="bothends-pc.local", dns=("bothends-pc.local",), addresses=())
ADDRESS = "https://bothends-pc.local:8622/"


@pytest.fixture(scope="module")
def signer(tmp_path_factory):
    return authority(tmp_path_factory.mktemp("shop"), NAMES)


@pytest.fixture(scope="module")
def page(signer, running):
    with running(Helper(signer, ADDRESS)) as client:
        yield client


def test_it_shows_the_fingerprint_that_openssl_finds_in_the_certificate_it_hands_out(page, tmp_path):
    file = tmp_path / "a.crt"
    reply = page.get("/bothends-authority.crt")
    assert reply.headers["content-type"] == "application/x-x509-ca-cert"
    file.write_bytes(reply.content)
    command = [need("openssl"), "x509", "-inform", "DER", "-in", file, "-noout", "-fingerprint", "-sha256"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert said.strip().split("=")[1] in page.get("/").text


def test_the_certificate_as_text_is_the_same(page):
    pem = page.get("/bothends-authority.pem")
    assert ssl.PEM_cert_to_DER_cert(pem.text) == page.get("/bothends-authority.crt").content
    assert "attachment" in pem.headers["content-disposition"]


def test_it_names_every_system_and_both_steps_of_iphones(page):
    text = page.get("/").text
    for word in ("iPhone and iPad: two steps", "full trust", "Android", "Windows", "Mac", "Linux", "Firefox"):
        assert word in text


@pytest.mark.parametrize("path", ["/api/jobs", "/app.js", "/.git/config", "//evil.example/x", "/a%0d%0ab"])
def test_everything_else_is_sent_on_to_the_app(page, path):
    reply = page.get(page.base_url.copy_with(raw_path=path.encode()), follow_redirects=False)
    assert reply.status_code == 307
    assert reply.headers["location"].startswith(ADDRESS)


def test_it_takes_nothing_in(page):
    assert page.post("/", content=b"x").status_code == 405
    assert page.head("/").content == b""


def test_it_runs_no_script_and_cannot_be_framed(page):
    reply = page.get("/")
    assert "<script" not in reply.text
    policy = reply.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert reply.headers["x-content-type-options"] == "nosniff"
    assert reply.headers["cache-control"] == "no-store"
    assert "set-cookie" not in reply.headers


def test_a_certificate_renewed_while_it_runs_is_shown_to_the_next_connection(tmp_path):
    garage = Garage(tmp_path, Options(port=1, name="shop.test", mdns=False))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(garage.shown.chain, garage.shown.key)
    first = garage.shown.chain.read_bytes()
    allowed = []
    alone(lambda: garage.look(context, allowed.append))
    assert garage.shown.chain.read_bytes() == first
    # Nearly two hundred days later.
    early = dt.datetime.now(dt.UTC) - dt.timedelta(days=150)
    garage.shown.chain.unlink()
    served(tmp_path, garage.signer, garage.names, early)
    alone(lambda: garage.look(context, allowed.append))
    assert garage.shown.renewed
    server = context.wrap_bio(a := ssl.MemoryBIO(), b := ssl.MemoryBIO(), server_side=True)
    trusting = ssl.create_default_context(cadata=garage.signer.pem.decode())
    client = trusting.wrap_bio(b, a, server_hostname="shop.test")
    for _ in range(4):
        for end in (client, server):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
    shown = ssl.DER_cert_to_PEM_cert(client.getpeercert(binary_form=True))
    assert shown.strip() in garage.shown.chain.read_text()
