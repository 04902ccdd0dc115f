"""The shop's authority and its certificates: accepted by judges that did not make them, narrow, renewed in time.

Judges: the command lines of OpenSSL and GnuTLS, and Python's own TLS. Rules: RFC 5280 (PKIX profile), RFC 6125
(names), and the CA/Browser Forum's baseline requirements (validity; figures from memory).
"""

import datetime as dt
import os
import ssl
import stat
import subprocess
import threading

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from hypothesis import given, settings
from hypothesis import strategies as st
from tools import need
from tries import tries

from bothends.service.lan import authority, certificate, private
from bothends.service.lan.names import Names

NAMES = Names(
    announced="bothends-pc.local", dns=("bothends-pc.local", "pc"), addresses=("192.168.1.20", "fd00::2")
)
NOW = dt.datetime(2026, 11, 20, 12, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)


@pytest.fixture
def signer(tmp_path):
    return authority.authority(tmp_path, NAMES)


def openssl(*words):
    """OpenSSL's verdict: whether it accepts, and what it says."""
    done = subprocess.run([need("openssl"), *map(str, words)], capture_output=True, text=True)
    return done.returncode == 0, done.stdout + done.stderr


def gnutls(pem, chain, name):
    """GnuTLS's verdict on a chain for a host name: whether it accepts, and what it says."""
    words = [need("certtool"), "--verify", "--load-ca-certificate", pem, "--infile", chain]
    done = subprocess.run(
        [*map(str, words), "--verify-hostname", name, "--verify-purpose", "1.3.6.1.5.5.7.3.1"],
        capture_output=True,
        text=True,
    )
    return done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    "way",
    [("-verify_hostname", "bothends-pc.local"), ("-verify_ip", "192.168.1.20"), ("-verify_ip", "fd00::2"),
     ("-verify_ip", "127.0.0.1")],
)  # fmt: skip
def test_openssl_accepts_the_chain_for_every_name_and_address(tmp_path, signer, way):
    shown = certificate.served(tmp_path, signer, NAMES)
    pem = tmp_path / "tls" / "authority.pem"
    good, said = openssl("verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", pem, *way, shown.chain)
    assert good, said


@pytest.mark.parametrize("name", ["bothends-pc.local", "192.168.1.20", "127.0.0.1"])
def test_gnutls_accepts_the_chain_too(tmp_path, signer, name):
    shown = certificate.served(tmp_path, signer, NAMES)
    good, said = gnutls(tmp_path / "tls" / "authority.pem", shown.chain, name)
    assert good, said


def test_a_stolen_authority_signs_for_nothing_but_servers(tmp_path, signer):
    # As a thief would: for mail and for programs, past all checks of ours.
    shown = certificate.served(tmp_path, signer, NAMES)
    pem = tmp_path / "tls" / "authority.pem"
    for purpose in ("smimesign", "codesign", "sslclient", "timestampsign"):
        good, said = openssl("verify", "-purpose", purpose, "-CAfile", pem, shown.chain)
        assert not good, said
    (usages,) = [e.value for e in signer.certificate.extensions if isinstance(e.value, x509.ExtendedKeyUsage)]
    assert [each.dotted_string for each in usages] == ["1.3.6.1.5.5.7.3.1"], "RFC 5280, 4.2.1.12: serverAuth"


@pytest.mark.parametrize("name", ["bank.example", "pc", "intranet", "8.8.8.8", "2001:4860::1"])
def test_whatever_a_thief_signs_beyond_its_limits_openssl_and_gnutls_refuse(tmp_path, signer, name):
    rogue = certificate._sign(signer, signer.key, [name], dt.datetime.now(dt.UTC))
    chain = tmp_path / "rogue.pem"
    chain.write_bytes(rogue.public_bytes(Encoding.PEM) + signer.pem)
    pem = tmp_path / "tls" / "authority.pem"
    good, said = openssl("verify", "-CAfile", pem, chain)
    assert not good
    assert "permitted subtree violation" in said
    good, said = gnutls(pem, chain, name)
    assert not good, said


def test_openssl_refuses_it_for_another_name(tmp_path, signer):
    shown = certificate.served(tmp_path, signer, NAMES)
    pem = tmp_path / "tls" / "authority.pem"
    good, said = openssl("verify", "-CAfile", pem, "-verify_hostname", "bank.example", shown.chain)
    assert not good
    assert "hostname mismatch" in said


@pytest.mark.parametrize(
    ("name", "may"),
    [("pc", False), ("bothends-pc.local", True), ("other.local", True), ("shop.lan", True), ("10.1.2.3", True),
     ("172.31.0.1", True), ("172.32.0.1", False), ("fe80::1", True), ("8.8.8.8", False), ("2001:4860::1", False),
     ("bank.example", False), ("notlocal", False), ("xlocal", False)],
)  # fmt: skip
def test_what_it_may_speak_for_is_local(signer, name, may):
    assert signer.may_certify(name) is may


def test_python_itself_shakes_hands_by_name(tmp_path, signer):
    shown = certificate.served(tmp_path, signer, NAMES)
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(shown.chain, shown.key)
    client = ssl.create_default_context(cadata=signer.pem.decode())
    # The strictest reading of RFC 5280 that Python has; from 3.13 on it is the usual one.
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    here, there = ssl.MemoryBIO(), ssl.MemoryBIO()
    ends = [
        client.wrap_bio(here, there, server_hostname="bothends-pc.local"),
        server.wrap_bio(there, here, server_side=True),
    ]
    for _ in range(4):
        for end in ends:
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
    assert ("DNS", "bothends-pc.local") in ends[0].getpeercert()["subjectAltName"]


def test_the_server_certificate_says_what_rfc_5280_wants_of_it(tmp_path, signer):
    found = x509.load_pem_x509_certificates(certificate.served(tmp_path, signer, NAMES).chain.read_bytes())
    leaf, parent = found
    about = {e.value.__class__.__name__: (e.critical, e.value) for e in leaf.extensions}
    assert about["BasicConstraints"] == (True, x509.BasicConstraints(ca=False, path_length=None))
    assert about["KeyUsage"][0]
    assert about["KeyUsage"][1].digital_signature
    assert not about["KeyUsage"][1].key_cert_sign
    parent_id = parent.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value.digest
    assert about["AuthorityKeyIdentifier"][1].key_identifier == parent_id
    limits = parent.extensions.get_extension_for_class(x509.NameConstraints)
    # RFC 5280, 4.2.1.10: conforming authorities mark it critical.
    assert limits.critical
    # CA/Browser Forum baseline requirements, 6.3.2: at most 398 days; from March 2026 at most 200.
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= 201 * DAY
    assert leaf.not_valid_before_utc < dt.datetime.now(dt.UTC) - dt.timedelta(hours=1)


def test_the_authority_is_made_once_and_its_certificates_are_renewed_under_it(tmp_path, signer):
    first = certificate.served(tmp_path, signer, NAMES, NOW)
    assert first.renewed == "there was none"
    held = first.chain.read_bytes()
    assert certificate.served(tmp_path, signer, NAMES, NOW + DAY).renewed == ""
    assert first.chain.read_bytes() == held
    later = certificate.served(tmp_path, authority.authority(tmp_path, NAMES), NAMES, first.ends - 59 * DAY)
    assert "ends soon" in later.renewed
    assert later.ends > first.ends
    assert authority.authority(tmp_path, NAMES).fingerprint == signer.fingerprint


def test_a_new_address_is_taken_in_and_one_that_left_does_no_harm(tmp_path, signer):
    certificate.served(tmp_path, signer, NAMES, NOW)
    moved = Names(announced=NAMES.announced, dns=NAMES.dns, addresses=("10.0.0.7",))
    assert "10.0.0.7 came to this machine" in certificate.served(tmp_path, signer, moved, NOW).renewed
    assert certificate.served(tmp_path, signer, moved, NOW).renewed == ""


def test_a_name_beyond_its_limits_is_left_out_and_told(tmp_path, signer):
    wide = Names(announced=NAMES.announced, dns=(*NAMES.dns, "shop.example"), addresses=("203.0.113.9",))
    shown = certificate.served(tmp_path, signer, wide)
    assert set(shown.left_out) == {"pc", "shop.example", "203.0.113.9"}


def test_a_name_that_was_there_when_the_authority_was_made_is_within_its_limits(tmp_path):
    wide = Names(announced=NAMES.announced, dns=("shop.example", NAMES.announced), addresses=())
    signer = authority.authority(tmp_path, wide)
    assert certificate.served(tmp_path, signer, wide).left_out == ()


@pytest.mark.parametrize("what", ["server.pem", "server.key"])
@pytest.mark.parametrize(
    "content", [None, b"", b"-----BEGIN CERTIFICATE-----\nno\n-----END CERTIFICATE-----\n"]
)
def test_a_spoilt_server_certificate_is_made_again(tmp_path, signer, what, content):
    certificate.served(tmp_path, signer, NAMES)
    spoilt = tmp_path / "tls" / what
    spoilt.unlink() if content is None else spoilt.write_bytes(content)
    assert certificate.served(tmp_path, signer, NAMES).renewed
    assert certificate.served(tmp_path, signer, NAMES).renewed == ""


@pytest.mark.parametrize("what", ["authority.pem", "authority.key"])
def test_a_spoilt_authority_is_never_replaced_in_silence(tmp_path, signer, what):
    spoilt = tmp_path / "tls" / what
    spoilt.write_bytes(b"no")
    with pytest.raises(authority.BadAuthorityError, match="every phone has to trust it anew"):
        authority.authority(tmp_path, NAMES)
    spoilt.unlink()
    with pytest.raises(authority.BadAuthorityError, match=f"{what} is missing"):
        authority.authority(tmp_path, NAMES)


def test_the_key_of_another_authority_is_noticed(tmp_path, signer):
    other = tmp_path / "other"
    other.mkdir()
    authority.authority(other, NAMES)
    os.replace(other / "tls" / "authority.key", tmp_path / "tls" / "authority.key")
    with pytest.raises(authority.BadAuthorityError, match="is not the key of"):
        authority.authority(tmp_path, NAMES)


@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_keys_are_their_owners_alone_whatever_the_umask(tmp_path):
    done = []

    def make():
        signer = authority.authority(tmp_path, NAMES)
        certificate.served(tmp_path, signer, NAMES)
        done.append(True)

    before = os.umask(0)
    try:
        thread = threading.Thread(target=make)
        thread.start()
        thread.join()
    finally:
        os.umask(before)
    assert done
    assert stat.S_IMODE((tmp_path / "tls").stat().st_mode) == 0o700
    for file in (tmp_path / "tls").iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert not private.open_to_others(file)


def test_a_certificate_from_elsewhere_is_checked_before_it_is_served(tmp_path, signer):
    shown = certificate.served(tmp_path, signer, NAMES)
    assert "bothends-pc.local" in certificate.given(shown.chain, shown.key).names
    tls = tmp_path / "tls"
    for chain, key, now, words in (
        (tmp_path / "no.pem", shown.key, None, "--cert"),
        (shown.chain, tmp_path / "no.pem", None, "--key"),
        (shown.key, shown.key, None, "expected certificates in PEM form"),
        (shown.chain, shown.chain, None, "expected a private key"),
        (shown.chain, tls / "authority.key", None, "is not the key of"),
        (shown.chain, shown.key, shown.ends + DAY, "renew it, or set this machine's clock"),
        (tls / "authority.pem", tls / "authority.key", None, "names no host"),
    ):
        with pytest.raises(certificate.BadCertificateError, match=words):
            certificate.given(chain, key, now)


@pytest.mark.slow(seconds=2)
@settings(max_examples=tries(30))
@given(
    labels=st.lists(st.from_regex(r"[a-z][a-z0-9-]{0,20}[a-z0-9]", fullmatch=True), min_size=1, max_size=4),
    zone=st.sampled_from(authority.LOCAL_ZONES),
)
def test_any_name_of_a_local_zone_can_be_certified(tmp_path_factory, labels, zone):
    folder = tmp_path_factory.mktemp("shop")
    signer = authority.authority(folder, NAMES)
    named = Names(announced=NAMES.announced, dns=(".".join([*labels, zone]),), addresses=())
    assert certificate.served(folder, signer, named).left_out == ()
