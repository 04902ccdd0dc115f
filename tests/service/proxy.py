"""Debian's nginx in front of shops, set up as the guide says.

The text of the guide is taken as it stands; only addresses, names and files are those of the test.
"""

import contextlib
import re
import shutil
import socket
import subprocess
from collections.abc import Iterator
from pathlib import Path

from browser.server import start
from tools import NGINX, need

from bothends.service.lan import authority, certificate
from bothends.service.lan.names import Names

__all__ = ["AUTHORITY", "FROM", "Behind", "behind_proxy"]

GUIDE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
AUTHORITY = "tls/authority.pem"
"""Who signed the proxy's certificate, below the folder given."""
FROM = "X-Machine"
"""The header in which a request says whose it is, as a further proxy would."""
HOLD = """\
daemon off;
master_process off;
pid nginx.pid;
error_log stderr warn;
events {}
http {
    access_log off;
    set_real_ip_from 127.0.0.1;
    real_ip_header %s;
    client_body_temp_path body;
    proxy_temp_path proxied;
    fastcgi_temp_path fastcgi;
    scgi_temp_path scgi;
    uwsgi_temp_path uwsgi;
%s
}
"""


class Behind:
    """A shop behind the proxy: its name, its address there, its own address, its data folder."""

    def __init__(self, name: str, port: int, data: Path) -> None:
        self.name = name
        self.address = f"https://{name}:{port}"
        self.local = ""
        self.data = data


def block() -> str:
    """The guide's server block."""
    return re.search(r"```nginx\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.DOTALL)[1]


def changed(text: str, old: str, new: str) -> str:
    """The text with one thing in it that must be there replaced."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


def _free() -> int:
    with contextlib.closing(socket.create_server(("127.0.0.1", 0))) as place:
        return place.getsockname()[1]


def _certificate(folder: Path, names: tuple[str, ...]) -> None:
    """A certificate for these names, in the files that the guide names."""
    known = Names(announced=names[0], dns=names, addresses=())
    served = certificate.served(folder, authority.authority(folder, known), known)
    shutil.copyfile(served.chain, folder / "tern.pem")
    shutil.copyfile(served.key, folder / "tern.key")


@contextlib.contextmanager
def _shop(shop: Behind) -> Iterator[None]:
    """The real command, as the guide starts it."""
    words = ["serve", "--behind-proxy", "--address", f"{shop.address}/", "--port", "0", "--no-browser"]
    with start([*words, "--data", str(shop.data)]) as process:
        try:
            found = (re.search(r"on this PC at (http://127\.0\.0\.1:\d+)", line) for line in process.stdout)
            shop.local = next(hit[1] for hit in found if hit)
            yield
        finally:
            process.terminate()
            process.communicate(timeout=20)
    assert process.returncode == 0


@contextlib.contextmanager
def behind_proxy(folder: Path, names: tuple[str, ...], *, room: str = "4m") -> Iterator[list[Behind]]:
    """Run a shop for each name, and the proxy in front of all of them, which takes so much at once.

    Where a request says in ``FROM`` whose it is, the proxy takes that for the machine that asks: a further proxy
    stands before it, and the test is that one.
    """
    nginx = need(NGINX)
    port = _free()
    with contextlib.ExitStack() as held:
        shops = [Behind(name, port, folder / name) for name in names]
        for shop in shops:
            held.enter_context(_shop(shop))
        _certificate(folder, names)
        servers = ""
        for shop in shops:
            text = changed(block(), "listen 443", f"listen 127.0.0.1:{port}")
            text = changed(text, "server_name tern.example;", f"server_name {shop.name};")
            text = changed(text, "client_max_body_size 4m", f"client_max_body_size {room}")
            servers += changed(text, "http://127.0.0.1:8201", shop.local)
        (folder / "nginx.conf").write_text(HOLD % (FROM, servers), encoding="utf-8")
        with (folder / "nginx.log").open("w") as log:
            proxy = subprocess.Popen([nginx, "-p", str(folder), "-c", "nginx.conf"], stderr=log)
        held.callback(proxy.wait, 20)
        held.callback(proxy.terminate)
        while True:
            if proxy.poll() is not None:
                raise RuntimeError((folder / "nginx.log").read_text())
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 20):
                break
        yield shops
