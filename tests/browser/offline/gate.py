"""A gate in front of the real server: it can be shut, hang, answer for it, lose replies, or serve other files.

What passes is the real server's; a file of the front end, which is the same each time, a gate asks it for once. The
gate keeps its address while servers behind it come and go.
"""

import http.client
import ssl
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, ClassVar
from urllib.parse import urlsplit

from bothends.service.http.guard import POLICY

__all__ = ["Answer", "Gate"]

Answer = tuple[int, dict[str, str], bytes]
"""Status, headers, body."""
HOP = {"connection", "keep-alive", "transfer-encoding", "content-length", "host"}
FILES = (".js", ".mjs", ".css", ".svg", ".png", ".woff2", ".wasm", ".webmanifest")
"""Files of the front end, which nobody changes below a folder that tests serve."""
LASTING = {"Cache-Control": "max-age=86400"}
TYPES = {"html": "text/html; charset=utf-8", "js": "text/javascript", "css": "text/css"}


class Gate:
    """Listens on one loopback port.

    Attributes
    ----------
    mode : "open"; "hang" (accepts and says nothing); "502"; "sign-in" (a page of somebody else's for everything)
    files : path -> bytes served instead of the server's, or None for 404
    rule : called with method, path and body before the server; its Answer is given instead
    lose : called with method, path and status after the server has answered; True loses the answer
    web : folder of the front end that the server behind it serves
    seen : (method, path) of every request that reached the gate
    lasting : whether browsers may keep files of the front end and need not ask again for a page loaded anew
    """

    _told: ClassVar[dict[tuple[str, ...], Answer]] = {}
    """What servers said, by address, front end, path and what the answer hangs on."""

    def __init__(self, upstream: str, web: Path, *, certificate: Any = None) -> None:
        self.web = web
        self.lasting = False
        self._certificate = certificate
        self._released = threading.Event()
        self._port = 0
        self._server: ThreadingHTTPServer | None = None
        self.renew(upstream)
        self.address = f"http{'s' if certificate else ''}://127.0.0.1:{self._port}"

    def renew(self, upstream: str) -> None:
        """Be as a new one before that server, at the same address."""
        self.upstream = upstream
        self.mode = "open"
        self.files: dict[str, bytes | None] = {}
        self.rule: Callable[[str, str, bytes], Answer | None] = lambda *_: None
        self.lose: Callable[[str, str, int], bool] = lambda *_: False
        self.seen: list[tuple[str, str]] = []
        self.release()
        if not self.is_up:
            self.up()

    def up(self) -> None:
        """Listen, on the same port as before."""
        gate = self

        class Handler(BaseHTTPRequestHandler):
            def handle_one(self) -> None:
                gate.handle(self)

            do_GET = do_POST = do_PUT = do_DELETE = do_HEAD = handle_one  # noqa: N815

            def log_message(self, *_: Any) -> None:
                pass

        class Server(ThreadingHTTPServer):
            daemon_threads = True
            request_queue_size = 64
            # Browsers open connections and drop them; that is no error of the test.
            handle_error = lambda *_: None  # noqa: E731

        self._server = Server(("127.0.0.1", self._port), Handler)
        if self._certificate:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(*self._certificate)
            self._server.socket = context.wrap_socket(
                self._server.socket, server_side=True, do_handshake_on_connect=False
            )
        self._port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    @property
    def is_up(self) -> bool:
        """Whether it listens."""
        return self._server is not None

    def down(self) -> None:
        """Refuse connections."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None

    def release(self) -> None:
        """Let go of whatever hangs, without an answer."""
        self._released.set()
        self._released = threading.Event()

    def handle(self, request: BaseHTTPRequestHandler) -> None:
        """Answer one request, or not."""
        method, path = request.command, request.path
        body = request.rfile.read(int(request.headers.get("Content-Length") or 0))
        self.seen.append((method, path))
        request.close_connection = True
        answer = self._answer(method, path, body, request)
        if answer is None:
            return
        status, headers, content = answer
        request.send_response_only(status)
        for name, value in headers.items():
            request.send_header(name, value)
        request.send_header("Content-Length", str(len(content)))
        request.send_header("Connection", "close")
        request.end_headers()
        if method != "HEAD":
            request.wfile.write(content)

    def _answer(self, method: str, path: str, body: bytes, request: BaseHTTPRequestHandler) -> Answer | None:
        if self.mode == "hang":
            self._released.wait(60)
            return None
        if self.mode == "502":
            return 502, {"Content-Type": "text/html"}, b"<h1>Bad gateway</h1>"
        if self.mode == "sign-in":
            return 200, {"Content-Type": "text/html"}, b"<h1>Welcome to the harbour's network</h1>"
        if (ruled := self.rule(method, path, body)) is not None:
            return ruled
        plain = urlsplit(path).path
        if plain in self.files:
            content = self.files[plain]
            if content is None:
                return 404, {"Content-Type": "text/plain"}, b"gone"
            kind = TYPES.get(plain.rsplit(".", 1)[-1], "application/octet-stream")
            headers = {"Content-Type": kind, "Cache-Control": "no-cache", "Content-Security-Policy": POLICY}
            return 200, headers, content
        status, headers, content = self._file(method, path, request) or self._forward(
            method, path, body, request
        )
        return None if self.lose(method, path, status) else (status, headers, content)

    def _file(self, method: str, path: str, request: BaseHTTPRequestHandler) -> Answer | None:
        """What a server said to the same question for a file of the same front end; asked for the first time."""
        if method != "GET" or not path.endswith(FILES):
            return None
        asked = tuple(request.headers.get(name, "") for name in ("Accept-Encoding", "If-None-Match"))
        key = (self.upstream, str(self.web), path, *asked)
        if key not in self._told:
            answer = self._forward(method, path, b"", request)
            if answer[0] not in (200, 304):
                return answer
            self._told[key] = answer
        status, headers, content = self._told[key]
        if self.lasting:
            headers = {**{n: v for n, v in headers.items() if n.lower() != "cache-control"}, **LASTING}
        return status, headers, content

    def _forward(self, method: str, path: str, body: bytes, request: BaseHTTPRequestHandler) -> Answer:
        host = urlsplit(self.upstream).netloc
        connection = http.client.HTTPConnection(host, timeout=30)
        try:
            headers = {n: v for n, v in request.headers.items() if n.lower() not in HOP}
            connection.request(method, path, body or None, {**headers, "Host": host})
            reply = connection.getresponse()
            kept = {n: v for n, v in reply.getheaders() if n.lower() not in HOP}
            return reply.status, kept, reply.read()
        except OSError:
            return 502, {"Content-Type": "text/html"}, b"no server"
        finally:
            connection.close()
