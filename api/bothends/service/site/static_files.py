"""Files served as they are: reading, type, ETag and compression, with a cache that follows changes on disk.

A file is packed at once where somebody waits for it, and packed small after that, on a thread beside: all of the
app's files packed small are six seconds of work, in which a server answered nothing else to the first phone.

Owns which path names which file. Knows nothing of HTTP routes.
"""

import gzip
import hashlib
import threading
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache, partial
from pathlib import Path
from queue import SimpleQueue
from typing import NamedTuple

import brotli

__all__ = ["Asset", "Form", "StaticFiles", "beside"]

_TEXT = {
    ".css": "text/css",
    ".html": "text/html",
    ".js": "text/javascript",
    ".json": "application/json",
    ".md": "text/markdown",
    ".mjs": "text/javascript",
    ".py": "text/x-python",
    ".svg": "image/svg+xml",
    ".txt": "text/plain",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
}
_OTHER = {
    ".ico": "image/x-icon",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
}
_TYPES = {**_TEXT, **_OTHER}
_WORTH_PACKING = 1000
_PACKERS = {
    "br": partial(brotli.compress, quality=11),
    "gzip": partial(gzip.compress, compresslevel=9, mtime=0),
}
"""Content codings (RFC 7932, RFC 1952), the smaller first, packed as small as they can be."""
_AT_ONCE = {
    "br": partial(brotli.compress, quality=5),
    "gzip": partial(gzip.compress, compresslevel=6, mtime=0),
}
"""The same for who waits: a tenth larger, in a fortieth of the time."""
_READY = ".br"
"""A large file may have its packed form beside it: packing the interpreter takes a second."""


class Form(NamedTuple):
    """How a file travels: its content coding, "" for as it is, its bytes, and their own entity tag, quoted."""

    coding: str
    body: bytes
    etag: str


class Asset:
    """One file and its packed forms, each made when first asked for.

    Attributes
    ----------
    body : its bytes
    media_type : its media type
    etag : the same for the same bytes
    """

    def __init__(self, body: bytes, suffix: str, ready: bytes | None = None) -> None:
        self.body = body
        self.media_type = _TYPES[suffix]
        self.etag = hashlib.sha256(body).hexdigest()[:20]
        self._worth = suffix in _TEXT and len(body) >= _WORTH_PACKING
        self._small = {} if ready is None else {"br": ready}
        self._quick: dict[str, bytes] = {}

    def coded(self, accepted: str) -> Form:
        """The smallest form that an Accept-Encoding header allows; of one not packed small yet, what there is."""
        coding = next((name for name in _PACKERS if name in accepted), "") if self._worth else ""
        if not coding:
            return Form("", self.body, f'"{self.etag}"')
        if coding in self._small:
            return Form(coding, self._small[coding], f'"{self.etag}-{coding}"')
        if coding not in self._quick:
            self._quick[coding] = _AT_ONCE[coding](self.body)
            beside(partial(self.packed, coding))
        return Form(coding, self._quick[coding], f'"{self.etag}-{coding}-quick"')

    def packed(self, coding: str) -> bytes:
        """The bytes in that coding as small as they can be, which takes up to a second the first time."""
        if coding not in self._small:
            self._small[coding] = _PACKERS[coding](self.body)
        return self._small[coding]

    def is_among(self, etags: Iterable[str], form: Form) -> bool:
        """Whether one of these entity tags is of this file in the form's coding, however small it was packed."""
        coded = f"{self.etag}-{form.coding}" if form.coding else self.etag
        return not {"*", f'"{coded}"', f'"{coded}-quick"'}.isdisjoint(etags)


_WAITING: SimpleQueue[Callable[[], object]] = SimpleQueue()


def beside(work: Callable[[], object]) -> None:
    """Have work on files done on a thread beside, in its turn; it ends with the process, whatever is left."""
    _WAITING.put(work)
    _thread()


@cache
def _thread() -> threading.Thread:
    def run() -> None:
        while True:
            # A file that is gone by then is asked for by nobody.
            with suppress(OSError):
                _WAITING.get()()

    thread = threading.Thread(target=run, name="files", daemon=True)
    thread.start()
    return thread


class StaticFiles:
    """The files of one folder, by their path below it; kinds of file not known here are not served.

    Parameters
    ----------
    root : the folder
    suffixes : serve only these kinds
    deep : whether folders below it are served too
    """

    def __init__(self, root: Path, *, suffixes: tuple[str, ...] = tuple(_TYPES), deep: bool = True) -> None:
        self._root = root
        self._suffixes = suffixes
        self._deep = deep
        self._kept: dict[str, tuple[tuple[int, int], Asset]] = {}

    def names(self) -> list[str]:
        """Names of the files directly in the folder, sorted."""
        return sorted(p.name for p in self._root.iterdir() if self.find(p.name) is not None)

    def all_names(self) -> list[str]:
        """Slash-separated names of every file that is served, sorted."""
        found = (p.relative_to(self._root).as_posix() for p in self._root.rglob("*"))
        return sorted(name for name in found if self.find(name) is not None)

    def find(self, name: str) -> Path | None:
        """The file that a slash-separated name means, or None."""
        steps = name.split("/")
        if len(steps) > 1 and not self._deep:
            return None
        for step in steps:
            # Also keeps out "..", drive letters, other streams and dot-files.
            if not step or step[0] == "." or any(c in '\\:*?"<>|' or c < " " for c in step):
                return None
        path = self._root.joinpath(*steps)
        if path.suffix not in self._suffixes:
            return None
        try:
            # A link may point out of the folder; what it points at is not ours to show.
            inside = path.resolve().is_relative_to(self._root.resolve())
            return path if inside and path.is_file() else None
        except OSError:
            return None

    def get(self, name: str) -> Asset | None:
        """The file of that name, or None where there is none."""
        path = self.find(name)
        if path is None:
            return None
        state = path.stat()
        stamp = (state.st_mtime_ns, state.st_size)
        kept = self._kept.get(name)
        if kept is None or kept[0] != stamp:
            ready = path.with_name(path.name + _READY)
            packed = ready.read_bytes() if ready.is_file() else None
            kept = self._kept[name] = (stamp, Asset(path.read_bytes(), path.suffix, packed))
        return kept[1]
