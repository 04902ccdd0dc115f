"""What a server makes of the front end's files once, kept for all servers of the test runs on this machine.

Packing all scripts and style sheets and taking the comments out of them is two seconds of work, and every server
that a browser asks for the whole app does it again. The same bytes always come to the same: so tests whose subject
is not that work take it from here. `tests/service/` proves it, on servers of their own without this.
"""

import functools
import hashlib
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bothends.service import command
from bothends.service.site import bare, front, static_files

__all__ = ["FOLDER", "LASTING", "keep", "lasting", "main"]

FOLDER = "BOTHENDS_TESTS_PACKED"
"""The environment variable that tells a server of the tests where it is kept."""
LASTING = "BOTHENDS_TESTS_LASTING"
"""The environment variable that tells a server of the tests that its scripts stay as they are while it runs."""


_BARE = hashlib.sha256(Path(bare.__file__).read_bytes()).hexdigest()[:12]
"""Another way to take comments out comes to other text."""


def keep(folder: Path, change: Callable[[Any, str, Any], None] = setattr) -> None:
    """Have this process take from a folder, or put there, what it packs or strips; ``change`` sets attributes."""

    def once(name: str, work: Callable[[bytes], bytes]) -> Callable[[bytes], bytes]:
        @functools.cache
        def done(body: bytes) -> bytes:
            place = folder / f"{hashlib.sha256(body).hexdigest()}.{name}"
            try:
                return place.read_bytes()
            except FileNotFoundError:
                made = work(body)
            # Whole or not at all, for others write here at the same time.
            with tempfile.NamedTemporaryFile(dir=folder, delete=False) as fresh:
                fresh.write(made)
            Path(fresh.name).replace(place)
            return made

        return done

    def text(name: str, work: Callable[[str], str]) -> Callable[[str], str]:
        done = once(f"{name}-{_BARE}", lambda body: work(body.decode()).encode())
        return lambda source: done(source.encode()).decode()

    folder.mkdir(parents=True, exist_ok=True)
    packers = {name: once(name, work) for name, work in static_files._PACKERS.items()}
    change(static_files, "_PACKERS", packers)
    change(static_files, "_AT_ONCE", packers)
    change(front, "bare", text("bare", bare.bare))
    change(front, "bare_page", text("page", bare.bare_page))


def lasting(change: Callable[[Any, str, Any], None] = setattr) -> None:
    """Have browsers ask once for what a page loads, not again each time it is loaded anew.

    A page loaded anew asks for a hundred files, nearly half of its cost. That the app has them asked for again,
    so that an update arrives, is proved in `tests/service/` and `tests/browser/offline/`, on servers without this.
    """
    send = front.send

    def sent(asset: static_files.Asset, request: Any) -> Any:
        reply = send(asset, request)
        if asset.media_type != "text/html":
            reply.headers["Cache-Control"] = "max-age=86400"
        return reply

    change(front, "send", sent)


def main() -> int:
    """Run ``bothends`` so."""
    keep(Path(os.environ[FOLDER]))
    if LASTING in os.environ:
        lasting()
    return command.main()


if __name__ == "__main__":
    sys.exit(main())
