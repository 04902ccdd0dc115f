"""How the shop is reached: whether its names lead here and who answers at its ports; looks of ``doctor``."""

import json
import socket
import ssl
from collections.abc import Iterator
from contextlib import closing
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding

from ..lan.announce import answered
from ..lan.listener import bind
from ..lan.names import LOCAL, Names, present
from .finding import Finding

__all__ = ["names", "ports"]

BESIDE = ("the help page", "this PC's own browser")
"""What is served one and two ports further on, unless told otherwise."""


def names(data: Path, extra: tuple[str, ...]) -> Iterator[Finding]:
    """Addresses of this machine, and where its names lead."""
    found = present(data, extra)
    if not found.addresses:
        yield Finding("network", "wrong", "this machine has no address on a network", "Connect it.")
        return
    yield Finding("network", "ok", ", ".join(found.addresses))
    for name in dict.fromkeys([*extra, found.announced]):
        yield _resolved(name, found)


def _resolved(name: str, own: Names) -> Finding:
    try:
        found = {str(row[4][0]).split("%")[0] for row in socket.getaddrinfo(name, None)}
    except OSError:
        # Not every system asks the network for such a name; phones do.
        found = set(answered(name)) if name.endswith(LOCAL) else set()
    if not found:
        remedy = (
            "Start the app, which announces it, and ask it of a phone. Where phones cannot find it either, give"
            " this machine a fixed number and a name in the router, and start with --name."
        )
        return Finding("name", "note", f"{name} is not answered here", remedy)
    if found & {*own.addresses, "127.0.0.1", "127.0.1.1", "::1"}:
        return Finding("name", "ok", f"{name} is this machine")
    remedy = "Give this machine another name, with --name, or correct the name in the router."
    return Finding("name", "wrong", f"{name} is {', '.join(sorted(found))}, another machine", remedy)


def ports(port: int, chain: Path) -> Iterator[Finding]:
    """Who answers at the app's port, and where nobody does, whether it and those beside it are free.

    Parameters
    ----------
    chain : the certificate that the app shows, its own first
    """
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=3):
            pass
    except OSError:
        yield Finding("port", "note", f"nothing answers at {port}", "Start the app, if it is meant to run.")
        for number, what in enumerate(("the app", *BESIDE), port):
            trouble = _trouble(number)
            if trouble:
                text = f"{number}, for {what}, is not free: {trouble}"
                yield Finding(
                    "port", "wrong", text, "Stop the program that has it, or serve at others with --port."
                )
        return
    said = _health(port, chain)
    if said is None:
        remedy = "Stop the other program, or serve at another port with --port."
        yield Finding("port", "wrong", f"something else than this shop's app answers at {port}", remedy)
    else:
        yield Finding("port", "ok", f"the app answers at {port}, version {said.get('version')}")


def _trouble(port: int) -> str:
    """Why this program could not listen there, or ""."""
    try:
        bind(port, everywhere=True).close()
    except (OSError, OverflowError) as error:
        return getattr(error, "strerror", None) or str(error)
    return ""


def _health(port: int, chain: Path) -> dict[str, str] | None:
    """What the app says of itself, by HTTPS with this very certificate, or by HTTP; None where it is not ours."""
    # Which certificate it is, is compared below; its names are no business of a look at the loopback address.
    any_certificate = ssl.create_default_context()
    any_certificate.check_hostname = False
    any_certificate.verify_mode = ssl.CERT_NONE
    secure = HTTPSConnection("127.0.0.1", port, timeout=5, context=any_certificate)
    for way in (secure, HTTPConnection("127.0.0.1", port, timeout=5)):
        try:
            with closing(way):
                way.connect()
                if isinstance(way.sock, ssl.SSLSocket) and not _shows(way.sock, chain):
                    continue
                way.request("GET", "/api/health")
                said = json.loads(way.getresponse().read())
            if isinstance(said, dict) and said.get("status") == "ok":
                return said
        except (OSError, HTTPException, ValueError):
            continue
    return None


def _shows(wire: ssl.SSLSocket, chain: Path) -> bool:
    own = x509.load_pem_x509_certificates(chain.read_bytes())[0]
    return wire.getpeercert(binary_form=True) == own.public_bytes(Encoding.DER)
