"""Files served as they are: reading, type, ETag and compression, with a cache that follows changes on disk.

Owns which path names which file. Knows nothing of HTTP routes.
"""

import gzip
import hashlib
from pathlib import Path

import msgspec

__all__ = ["Asset", "Shelf", "pack"]

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


class Asset(msgspec.Struct, frozen=True):
    """One file: its bytes, the same packed by gzip where that helps, its media type and ETag."""

    body: bytes
    packed: bytes | None
    media_type: str
    etag: str


class Shelf:
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
            kept = self._kept[name] = (stamp, pack(path.read_bytes(), path.suffix))
        return kept[1]


def pack(body: bytes, suffix: str) -> Asset:
    """The bytes of a file of that kind, ready to be sent."""
    packed = None
    if suffix in _TEXT and len(body) >= _WORTH_PACKING:
        packed = gzip.compress(body, 9, mtime=0)
    return Asset(body, packed, _TYPES[suffix], hashlib.sha256(body).hexdigest()[:20])
