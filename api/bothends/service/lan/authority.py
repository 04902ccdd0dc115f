"""The shop's own certificate authority, which phones are told once to trust.

Owns ``authority.pem`` and ``.key`` in the folder ``tls`` beside the logbook, made once and never again while they
are there, since every phone would have to be told anew.

The authority may speak only for servers (extended key usage; RFC 5280, 4.2.1.12), and only for names of local
networks, the names that this machine has and private addresses (name constraints; 4.2.1.10), so that its key, if it
were stolen, opens nothing on the internet and signs nothing but a server's certificate. A bare host name is none of
them: one of a single label may be any machine of a larger network.
"""

import datetime as dt
import ipaddress
from pathlib import Path

import msgspec
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from . import private
from .names import Names

__all__ = [
    "EARLY",
    "FOLDER",
    "Authority",
    "BadAuthorityError",
    "authority",
    "load",
    "secret_text",
    "signs",
    "usage",
]

FOLDER = "tls"
YEARS = 10
EARLY = dt.timedelta(hours=24)
"""Certificates are valid a day before they are made: clocks of phones differ."""
LOCAL_ZONES = ("local", "localhost", "lan", "home", "home.arpa", "internal", "test")
"""RFC 6762, 6761, 8375, ICANN's reservation of internal; lan and home are common in routers, no source."""
PRIVATE = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "169.254.0.0/16", "127.0.0.0/8",
    "192.0.2.0/24", "fc00::/7", "fe80::/10", "::1/128",
)  # fmt: skip
"""RFC 1918, 6598, 3927, 1122, 5737, 4193, 4291."""


class BadAuthorityError(Exception):
    """The files in the folder do not make an authority; the message says which and what to do."""


class Authority(msgspec.Struct, frozen=True):
    """The authority: its certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        """The certificate as text."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    @property
    def der(self) -> bytes:
        """The certificate as phones take it."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, as systems show it."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    def may_certify(self, name: str) -> bool:
        """Whether a host name or an address lies within what the authority may speak for."""
        limits = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
        permitted = [subtree.value for subtree in limits.permitted_subtrees or ()]
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            return any(isinstance(p, str) and (name == p or name.endswith("." + p)) for p in permitted)
        return any(
            not isinstance(p, str) and p.version == address.version and address in p for p in permitted
        )


def _now() -> dt.datetime:
    return dt.datetime.now(dt.UTC).replace(microsecond=0)


def signs(data: Path) -> bool:
    """Whether a shop has ever signed a certificate of its own: behind a proxy, or with a certificate given, it need
    not."""
    return _files(data)[0].exists()


def _files(data: Path) -> tuple[Path, Path]:
    return data / FOLDER / "authority.pem", data / FOLDER / "authority.key"


def authority(data: Path, names: Names) -> Authority:
    """The authority in a data folder, made where there is none.

    Raises
    ------
    BadAuthorityError
        Where one of its files is missing, spoilt or not the other's.
    OSError
        When the folder cannot be read or written.
    """
    private.folder(data / FOLDER)
    pem, key = _files(data)
    if pem.exists() or key.exists():
        return load(pem, key)
    made = _make(names)
    private.write(key, secret_text(made.key))
    private.write(pem, made.pem)
    return made


def load(pem: Path, key: Path) -> Authority:
    """The authority of two files.

    Raises
    ------
    BadAuthorityError
        Where one of them is missing, spoilt or not the other's.
    """
    remedy = (
        f"put {pem.name} and {key.name} back from a copy of {pem.parent}, or remove both: a new authority is then"
        " made, and every phone has to trust it anew"
    )
    try:
        certificate = x509.load_pem_x509_certificate(pem.read_bytes())
        secret = serialization.load_pem_private_key(key.read_bytes(), None)
        certificate.extensions.get_extension_for_class(x509.NameConstraints)
    except FileNotFoundError as error:
        raise BadAuthorityError(f"{error.filename} is missing; {remedy}") from error
    except (ValueError, TypeError, x509.ExtensionNotFound) as error:
        raise BadAuthorityError(f"{pem} or {key} cannot be read; {remedy}") from error
    if not isinstance(secret, ec.EllipticCurvePrivateKey) or secret.public_key() != certificate.public_key():
        raise BadAuthorityError(f"{key} is not the key of {pem}; {remedy}")
    return Authority(certificate, secret)


def _make(names: Names) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Bothends, {names.announced}"[:64])])
    now = _now()
    own = (n for n in names.dns if "." in n and n.split(".")[-1] not in LOCAL_ZONES)
    zones = dict.fromkeys([*LOCAL_ZONES, *own])
    limits = x509.NameConstraints(
        [*map(x509.DNSName, zones), *(x509.IPAddress(ipaddress.ip_network(net)) for net in PRIVATE)], None
    )
    public = key.public_key()
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLY)
        .not_valid_after(now + dt.timedelta(days=365 * YEARS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage(signs_certificates=True), critical=True)
        # In an authority's certificate the purposes of all below it; browsers and OpenSSL hold to that.
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(limits, critical=True)
        .sign(key, hashes.SHA256())
    )
    return Authority(certificate, key)


def usage(*, signs_certificates: bool) -> x509.KeyUsage:
    """What a key is for: signing certificates, or shaking hands."""
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def secret_text(key: ec.EllipticCurvePrivateKey) -> bytes:
    """A key as the text of its file."""
    form = serialization.PrivateFormat.PKCS8
    return key.private_bytes(serialization.Encoding.PEM, form, serialization.NoEncryption())
