"""A public copy of the front end: files that any static host serves, in any folder, with no server of ours.

A job travels to it in the fragment of an address, which no host sees. Owns what the copy has otherwise than a
shop's own page (relative addresses, the mark that there is no shop behind it, its content policy, its manifest and
its own list for the service worker), and writing it into a folder. Nothing of a shop is in it: no name, no key, no
address, no demonstration data; the same version writes the same bytes everywhere.
"""

import json
import os
import re
from pathlib import Path

import bothends

from ..http.guard import POLICY
from ..settings import Settings
from .front import Files
from .listing import LIST, PAGE, hash_of, kept, listing
from .static_files import Asset

__all__ = ["MARK", "ForeignFolderError", "Public", "write"]

MARK = "bothends-copy.json"
"""What tells a folder written here, and says which version it is; `web/shop/pc/copy-check.js` reads it."""
MANIFEST = "manifest.webmanifest"
WORKER = "sw.js"
FORMAT = "bothends-copy"
ROOTED = re.compile(r'((?:href|src)=")/')
HEAD = '<html lang="en"'
CHARSET = '<meta charset="utf-8">\n'
NOT_IN_PAGES = "frame-ancestors"
"""The part of the policy that counts in a header only; a static host sends none of ours."""


class ForeignFolderError(Exception):
    """The folder has files in it and was not written here; nothing was changed."""


class Public:
    """The files of a public copy, found as `Files` finds those of a shop."""

    def __init__(self, settings: Settings | None = None) -> None:
        self._files = Files(settings or Settings())
        self._own = {PAGE: self._page(), MANIFEST: self._manifest()}
        self._own[LIST] = Asset(listing(self).encode(), ".js")

    def names(self) -> list[str]:
        """Every path with a file, sorted, without its first slash."""
        return sorted(name for name in self._files.names() if self._public(name))

    def find(self, path: str) -> Asset | None:
        """The file at a path."""
        return self._own.get(path) or (self._files.find(path) if self._public(path) else None)

    def mark(self) -> dict[str, object]:
        """Which version this is: the program's, and the hash of the files that it was made of."""
        return {
            "format": FORMAT,
            "version": bothends.__version__,
            "of": hash_of(listing(self._files)),
            "files": self.names(),
        }

    def _public(self, name: str) -> bool:
        """Whether a served file goes along: all of the app, its worker and list, icons, and licences."""
        return kept(name) or name in (WORKER, LIST) or name.endswith((".png", ".txt"))

    def _text(self, name: str) -> str:
        found = self._files.find(name)
        return found.body.decode() if found is not None else ""

    def _page(self) -> Asset:
        """The page, its addresses relative, and what a host that sends no headers of ours cannot say."""
        policy = "; ".join(part for part in POLICY.split("; ") if not part.startswith(NOT_IN_PAGES))
        metas = (
            f'{CHARSET}<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
            '<meta name="referrer" content="no-referrer">\n<meta name="robots" content="noindex">\n'
        )
        text = ROOTED.sub(r"\1./", self._text(PAGE)).replace(CHARSET, metas, 1)
        return Asset(text.replace(HEAD, f'{HEAD} data-copy="{bothends.__version__}"', 1).encode(), ".html")

    def _manifest(self) -> Asset:
        """The manifest for whatever folder it stands in: addresses in it are relative to its own."""
        told = json.loads(self._text(MANIFEST) or "{}")
        told.pop("id", None)
        told |= {"start_url": "./", "scope": "./"}
        for icon in told.get("icons", []):
            icon["src"] = icon["src"].removeprefix("/")
        return Asset((json.dumps(told, indent=2) + "\n").encode(), ".webmanifest")


def write(folder: Path, copy: Public | None = None) -> int:
    """Write a public copy into a folder; how many files.

    The folder is made where it is not there. Written again it is renewed: what this version does not have is taken
    away, anything that others put there stays.

    Parameters
    ----------
    folder : the folder that a host serves
    copy : the files; this version's own where left out

    Raises
    ------
    ForeignFolderError
        If it has files in it and no mark of ours.
    OSError
        If it cannot be written.
    """
    before = _written(folder)
    copy = copy or Public()
    folder.mkdir(parents=True, exist_ok=True)
    told = copy.mark()
    names = copy.names()
    # The mark stands from the first file on, so that what was broken off can be written again.
    _put(folder / MARK, {**told, "files": sorted({*names, *before})})
    # The worker's list comes after what it lists, the worker last: a visitor has the one version or the next.
    for name in sorted(names, key=lambda one: (one == WORKER, one == LIST, one)):
        asset = copy.find(name)
        if asset is not None:
            _put(folder / name, asset.body)
    for name in set(before) - set(names):
        if (folder / name).is_file():
            (folder / name).unlink()
    _put(folder / MARK, told)
    return len(names)


def _written(folder: Path) -> list[str]:
    """What was written into a folder before, as its mark says; nothing where it is empty or not there."""
    if not folder.exists() or (folder.is_dir() and not any(folder.iterdir())):
        return []
    try:
        told = json.loads((folder / MARK).read_bytes())
        if told["format"] != FORMAT:
            raise ValueError(told["format"])
        inside = folder.resolve()
        names = [str(name) for name in told["files"]]
        # Whoever changed the mark does not have anything outside of the folder taken away.
        return [name for name in names if inside in (folder / name).resolve().parents]
    except (OSError, ValueError, KeyError, TypeError):
        raise ForeignFolderError(
            f"{folder} is not empty, and bothends site did not write what is in it;"
            " name a new folder, or empty this one yourself"
        ) from None


def _put(path: Path, what: bytes | dict[str, object]) -> None:
    """Write a file whole or not at all."""
    body = what if isinstance(what, bytes) else (json.dumps(what, indent=1) + "\n").encode()
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(path.name + ".part")
    part.write_bytes(body)
    os.replace(part, path)
