"""The certificate that the server shows: the authority's own, or one from elsewhere.

Owns ``server.pem`` and ``.key`` in the folder ``tls``, made again well before they end and when names or addresses
change; the authority stays, so that no phone is asked anything.
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
from .authority import EARLY, FOLDER, Authority, secret_text, usage
from .names import Names

__all__ = ["CHAIN", "RENEW_DAYS", "BadCertificateError", "Served", "given", "served", "unfit", "wanted"]

CHAIN = "server.pem"
SERVER_DAYS = 200
"""Below the 398 days of the CA/Browser Forum's baseline requirements (6.3.2) and the 825 of Apple's systems."""
RENEW_DAYS = 60


class BadCertificateError(Exception):
    """A certificate from elsewhere that cannot be served; the message says why and what to do."""


class Served(msgspec.Struct, frozen=True, kw_only=True):
    """The certificate that the server shows.

    Attributes
    ----------
    chain, key : files as TLS wants them
    ends : when it ends
    left_out : names and addresses that the authority may not speak for
    renewed : why it was made now, or "" where the one that was there still holds
    names : host names it is for
    """

    chain: Path
    key: Path
    ends: dt.datetime
    left_out: tuple[str, ...]
    renewed: str
    names: tuple[str, ...] = ()


def wanted(names: Names) -> list[str]:
    """What a certificate of this machine should be for, best first."""
    return [*names.dns, "localhost", *names.addresses, "127.0.0.1", "::1"]


def served(data: Path, signer: Authority, names: Names, now: dt.datetime | None = None) -> Served:
    """The server's certificate for these names, made again where the one that is there does not serve.

    Raises
    ------
    OSError
        When it cannot be written.
    """
    now = now or dt.datetime.now(dt.UTC).replace(microsecond=0)
    folder = data / FOLDER
    chain, secret = folder / CHAIN, folder / "server.key"
    asked = wanted(names)
    good = [name for name in asked if signer.may_certify(name)]
    left_out = tuple(name for name in asked if name not in good)
    why, ends = unfit(chain, secret, signer, good, now)
    if why:
        key = ec.generate_private_key(ec.SECP256R1())
        certificate = _sign(signer, key, good, now)
        ends = certificate.not_valid_after_utc
        # The key first: a chain without its key is noticed at the next start and made again.
        private.write(secret, secret_text(key))
        private.write(chain, certificate.public_bytes(serialization.Encoding.PEM) + signer.pem)
    return Served(chain=chain, key=secret, ends=ends, left_out=left_out, renewed=why)


def _sign(
    signer: Authority, key: ec.EllipticCurvePrivateKey, good: list[str], now: dt.datetime
) -> x509.Certificate:
    ends = min(now + dt.timedelta(days=SERVER_DAYS), signer.certificate.not_valid_after_utc)
    parent = signer.certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    return (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, good[0][:64])]))
        .issuer_name(signer.certificate.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLY)
        .not_valid_after(ends)
        .add_extension(x509.SubjectAlternativeName([_general(name) for name in good]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(parent), critical=False)
        .sign(signer.key, hashes.SHA256())
    )


def _general(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def unfit(
    chain: Path, secret: Path, signer: Authority, good: list[str], now: dt.datetime
) -> tuple[str, dt.datetime]:
    """Why the certificate that is there cannot be shown, or "", and when it ends."""
    try:
        certificate = x509.load_pem_x509_certificates(chain.read_bytes())[0]
        key = serialization.load_pem_private_key(secret.read_bytes(), None)
        alternative = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        certificate.verify_directly_issued_by(signer.certificate)
    except FileNotFoundError:
        return "there was none", now
    except Exception:  # whatever is wrong with it, a new one mends it
        return "the one that was there could not be read", now
    ends = certificate.not_valid_after_utc
    if key.public_key() != certificate.public_key():
        return "the one that was there had another key", ends
    if ends - now < dt.timedelta(days=RENEW_DAYS) or now < certificate.not_valid_before_utc:
        return "the one that was there ends soon", ends
    held = {*alternative.get_values_for_type(x509.DNSName)}
    held |= {str(a) for a in alternative.get_values_for_type(x509.IPAddress)}
    lacking = [name for name in good if name not in held]
    return (f"{', '.join(lacking)} came to this machine" if lacking else ""), ends


def given(chain: Path, key: Path, now: dt.datetime | None = None) -> Served:
    """A certificate from elsewhere, checked.

    Raises
    ------
    BadCertificateError
        Where it cannot be read, has another key, has ended or is not valid yet.
    """
    now = now or dt.datetime.now(dt.UTC)
    try:
        certificate = x509.load_pem_x509_certificates(chain.read_bytes())[0]
    except OSError as error:
        raise BadCertificateError(f"--cert {chain}: {error.strerror}") from error
    except ValueError as error:
        raise BadCertificateError(
            f"--cert {chain}: expected certificates in PEM form, the server's first"
        ) from error
    try:
        secret = serialization.load_pem_private_key(key.read_bytes(), None)
    except OSError as error:
        raise BadCertificateError(f"--key {key}: {error.strerror}") from error
    except (ValueError, TypeError) as error:
        raise BadCertificateError(
            f"--key {key}: expected a private key in PEM form, without a password"
        ) from error
    if secret.public_key() != certificate.public_key():
        raise BadCertificateError(
            f"--key {key} is not the key of --cert {chain}; give the pair that belongs together"
        )
    if not certificate.not_valid_before_utc <= now < certificate.not_valid_after_utc:
        first, last = certificate.not_valid_before_utc, certificate.not_valid_after_utc
        raise BadCertificateError(
            f"--cert {chain} is valid from {first:%Y-%m-%d} to {last:%Y-%m-%d}, and today is {now:%Y-%m-%d};"
            " renew it, or set this machine's clock"
        )
    try:
        alternative = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        held = alternative.get_values_for_type(x509.DNSName)
    except x509.ExtensionNotFound as error:
        raise BadCertificateError(
            f"--cert {chain} names no host (subjectAltName), which browsers refuse; get another"
        ) from error
    names = tuple(name.lower() for name in held if not name.startswith("*"))
    return Served(
        chain=chain, key=key, ends=certificate.not_valid_after_utc, left_out=(), renewed="", names=names
    )
