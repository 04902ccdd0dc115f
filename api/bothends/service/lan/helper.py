"""The help page on a port of its own, over plain HTTP: how a device is told to trust the shop's authority.

It shows the steps, hands out the authority's certificate and forwards to the app; it takes nothing in and keeps
nothing. Plain HTTP is meant: a device that does not trust the shop yet could not read it otherwise, and what it
says is checked by the fingerprint on the PC's own screen.
"""

import base64
import hashlib
import html
import re
from pathlib import Path
from urllib.parse import quote

from litestar.enums import ScopeType
from litestar.types import Receive, Scope, Send

from .authority import Authority

__all__ = ["Helper"]

PAGE = Path(__file__).with_name("helper.html")
STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
NAME = "bothends-authority"


class Helper:
    """The page as an ASGI application.

    Parameters
    ----------
    signer : whose certificate it hands out
    address : where the app is, ending in a slash
    """

    def __init__(self, signer: Authority, address: str) -> None:
        self._signer = signer
        self.point(address)

    def point(self, address: str) -> None:
        """Send everybody to this address from now on."""
        signer = self._signer
        text = PAGE.read_text(encoding="utf-8")
        subject = signer.certificate.subject.rfc4514_string().removeprefix("CN=").replace("\\", "")
        for name, value in {
            "fingerprint": signer.fingerprint,
            "subject": subject,
            "address": address,
        }.items():
            text = text.replace("{" + name + "}", html.escape(value))
        style = STYLE.search(text)
        digest = hashlib.sha256(style[1].encode() if style else b"").digest()
        policy = (
            f"default-src 'none'; style-src 'sha256-{base64.b64encode(digest).decode()}'; base-uri 'none';"
        )
        self._headers = [
            (b"content-security-policy", f"{policy} form-action 'none'; frame-ancestors 'none'".encode()),
            (b"x-content-type-options", b"nosniff"),
            (b"referrer-policy", b"no-referrer"),
            (b"cache-control", b"no-store"),
        ]
        self._address = address
        self._files = {
            "/": (b"text/html; charset=utf-8", text.encode()),
            f"/{NAME}.crt": (b"application/x-x509-ca-cert", signer.der),
            f"/{NAME}.pem": (b"application/x-pem-file", signer.pem),
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != ScopeType.HTTP:
            return
        status, headers, body = self._answer(scope["method"], scope["path"])
        length = (b"content-length", str(len(body)).encode())
        await send(
            {"type": "http.response.start", "status": status, "headers": [*headers, length, *self._headers]}
        )
        sent = b"" if scope["method"] == "HEAD" else body
        await send({"type": "http.response.body", "body": sent, "more_body": False})

    def _answer(self, method: str, path: str) -> tuple[int, list[tuple[bytes, bytes]], bytes]:
        if method not in ("GET", "HEAD"):
            return 405, [(b"allow", b"GET, HEAD")], b""
        if path in self._files:
            kind, body = self._files[path]
            headers = [(b"content-type", kind)]
            if path.endswith(".pem"):
                # The other is opened by the system itself, which on iPhones needs it not to be a download.
                headers.append((b"content-disposition", f'attachment; filename="{NAME}.pem"'.encode()))
            return 200, headers, body
        # Anything else is meant for the app; its fragment, a pairing code, goes along in the browser.
        onward = self._address.rstrip("/") + quote(path, safe="/-._~")
        return 307, [(b"location", onward.encode())], b""
