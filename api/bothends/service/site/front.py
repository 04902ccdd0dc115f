"""The front end's files at /, and below /py/ the source that the phone's own interpreter runs: model and sheet.

The source is there file by file, to read, and once more in packs, which is what the phone fetches: packed together
files are a quarter smaller than one by one, and there they are bare of comments and docstrings, which is a third of
the rest; lines keep their numbers. /py/source.json has all that folds and plans an axle; what only a car of two
such axles needs is in /py/both.json, what only the bench of other bars does in /py/bench.json, which a phone that
never opens it never fetches. Our own scripts and style sheets, too, travel bare of comments, line for line.

Files come last: an address that no route knows may be one of them. So an unknown address below /api stays
unknown for every method, which a catch-all route would hide. Read only. Everything may be kept by a browser
but must be asked for again (no-cache with an ETag), so that an update arrives at the next load.
"""

import json
from functools import partial
from typing import Any

from litestar import Request, Response
from litestar.exceptions import NotFoundException

from ..http.guard import LOOKS_ELSEWHERE
from ..http.problems import Refusal, refused, wrong_method
from ..settings import Settings
from . import places
from .bare import bare, bare_page
from .static_files import Asset, StaticFiles, beside

__all__ = ["Files", "send"]

_SOURCES = {"py/model/": places.MODEL, "py/book/sheet/": places.SHEET}
_SOURCE = "py/source.json"
_PACKS = {
    "py/bench.json": ("model/column.py", "model/refit.py", "model/what_if.py"),
    "py/both.json": ("model/beside.py", "model/both_axles.py", "model/opposite.py", "model/pairs.py"),
    _SOURCE: (),
}
"""Packs by path, with the files that are in none but this one; all others are in the first load's."""
_APART = {place: pack for pack, places_in in _PACKS.items() for place in places_in}
_BARE = (".js", ".css")
_LOOKS_ELSEWHERE = "shop/pc/copy-check.js"


class Files:
    """Exception handler that answers with a file where there is one, else with the problem not-found."""

    def __init__(self, settings: Settings) -> None:
        self._web = StaticFiles(settings.web or places.web())
        self._sources = {
            prefix: StaticFiles(root, suffixes=(".py",), deep=False) for prefix, root in _SOURCES.items()
        }
        self._packs: dict[str, tuple[list[str], Asset]] = {}
        self._pages: dict[str, tuple[str, Asset]] = {}
        self._lean: dict[str, str] = {}
        """Source files without comments, by their entity tags."""
        self._ahead = False

    def __call__(self, request: Request[Any, Any, Any], error: NotFoundException) -> Response[Any]:
        """Answer for an address without a route."""
        path = request.scope["path"].removeprefix("/")
        asset = self.find(path)
        if asset is None:
            detail = f"nothing is at /{path[:60]}; the schema at /api/openapi.json lists what is"
            return refused(request, Refusal("not-found", detail))
        if request.method == "OPTIONS":
            return Response(None, status_code=204, headers={"Allow": "GET, HEAD, OPTIONS"})
        if request.method != "GET":
            return refused(request, wrong_method(request.method, "GET"))
        if not path and not self._ahead:
            # Whoever opens the page wants the model's source next, which is two seconds of work.
            self._ahead = True
            beside(partial(self._pack, _SOURCE))
        reply = send(asset, request)
        if path == _LOOKS_ELSEWHERE:
            reply.headers["Content-Security-Policy"] = LOOKS_ELSEWHERE
        return reply

    def find(self, path: str) -> Asset | None:
        """The file at an address, without its first slash."""
        if path in _PACKS:
            return self._pack(path)
        for prefix, folder in self._sources.items():
            if path.startswith(prefix):
                return folder.get(path.removeprefix(prefix))
        asset = self._web.get(path or "index.html")
        return self._bare(path, asset) if asset and path.endswith(_BARE) and "vendor/" not in path else asset

    def _bare(self, path: str, asset: Asset) -> Asset:
        """A script or style sheet of our own without its comments, made again when it has changed."""
        if path not in self._pages or self._pages[path][0] != asset.etag:
            text = bare_page(asset.body.decode())
            self._pages[path] = (asset.etag, Asset(text.encode(), path[path.rindex(".") :]))
        return self._pages[path][1]

    def names(self) -> list[str]:
        """Every path with a file, sorted, without its first slash."""
        found = [*_PACKS, *self._web.all_names()]
        for prefix, folder in self._sources.items():
            found += [prefix + name for name in folder.names()]
        return sorted(found)

    def _leaned(self, asset: Asset) -> str:
        if asset.etag not in self._lean:
            self._lean[asset.etag] = bare(asset.body.decode())
        return self._lean[asset.etag]

    def _pack(self, path: str) -> Asset:
        """The source files of a pack by their paths below /py/, made again when one has changed."""
        files: dict[str, Asset] = {}
        for prefix, folder in self._sources.items():
            for name in folder.names():
                place = prefix.removeprefix("py/") + name
                asset = folder.get(name) if _APART.get(place, _SOURCE) == path else None
                if asset is not None:
                    files[place] = asset
        state = [asset.etag for asset in files.values()]
        if path not in self._packs or self._packs[path][0] != state:
            texts = {name: self._leaned(asset) for name, asset in sorted(files.items())}
            self._packs[path] = (state, Asset(json.dumps(texts, ensure_ascii=False).encode(), ".json"))
        return self._packs[path][1]


def send(asset: Asset, request: Request[Any, Any, Any]) -> Response[Any]:
    """The answer with a file, packed as the request allows; 304 where it has that already."""
    form = asset.coded(request.headers.get("accept-encoding", "").lower())
    headers = {"Cache-Control": "no-cache", "ETag": form.etag, "Vary": "Accept-Encoding"}
    known = {tag.strip().removeprefix("W/") for tag in request.headers.get("if-none-match", "").split(",")}
    if asset.is_among(known, form):
        return Response(b"", status_code=304, headers=headers, media_type=asset.media_type)
    if form.coding:
        headers["Content-Encoding"] = form.coding
    return Response(form.body, headers=headers, media_type=asset.media_type)
