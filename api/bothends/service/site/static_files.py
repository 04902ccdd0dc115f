"""Files served as they are: reading, type, ETag and compression, with a cache that follows changes on disk.

Owns which path names which file. Knows nothing of HTTP routes.
"""

import gzip
import hashlib
from functools import partial
from pathlib import Path

import brotli

__all__ = ["Asset", "StaticFiles"]

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
"""Content codings (RFC 7932, RFC 1952), the smaller first."""
_READY = ".br"
"""A large file may have its packed form beside it: packing the interpreter takes a second."""


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
        self._packed = {} if ready is None else {"br": ready}

    def coded(self, accepted: str) -> tuple[str, bytes]:
        """The bytes in the smallest form that an Accept-Encoding header allows, and its name, "" for as it is."""
        coding = next((name for name in _PACKERS if name in accepted), "") if self._worth else ""
        if not coding:
            return "", self.body
        if coding not in self._packed:
            self._packed[coding] = _PACKERS[coding](self.body)
        return coding, self._packed[coding]


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
