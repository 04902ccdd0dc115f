"""Bytes of the first load by part, and its budgets: what `bench_phone` prints and a test holds.

The page is what the browser itself fetches until a job's card stands, or the first screen of somebody who has none;
the rest of the app follows while nobody waits, first the way to the first plan; what comes after that
(`listing.soon`) is not part of a first load.
"""

import re

from bothends.service.settings import Settings
from bothends.service.site import listing
from bothends.service.site.front import Files

__all__ = ["ALL_KB", "MODULES", "PAGE_KB", "modules", "sizes"]

PAGE_KB, ALL_KB = 60, 484
"""Budgets of the first load, compressed: the page without the model, and everything."""
MODULES = 40
"""Most modules of the page. Each is a request, and over HTTP/1.1 a browser has six under way at a time: 40 of
them are seven round trips of a slow network, one after the other, before the app answers."""
MODEL = ("py/", "vendor/micropython", "model/worker.js")


def packed_kb(files: Files, name: str) -> float:
    """Size of a served file as it travels to a browser of today, [kB]."""
    asset = files.find(name)
    assert asset is not None, name
    return len(asset.packed("br")) / 1000


def modules(files: Files | None = None) -> list[str]:
    """Every module that must be there before a job's card stands, sorted."""
    files = files or Files(Settings())
    return sorted({*listing.modules(files), *listing.modules(files, listing.CARDS)})


def sizes() -> dict[str, float]:
    """Compressed size of a first load by part, [kB]."""
    files = Files(Settings())
    after = {*listing.soon(files)}
    kept = [
        n for n in files.names() if listing.kept(n) and not n.startswith(listing.LATER) and n not in after
    ]
    asset = files.find("index.html")
    assert asset is not None
    page = {*modules(files), "index.html", "manifest.webmanifest"}
    page |= set(
        re.findall(r'(?:rel="(?:stylesheet|later|icon)" href|<script src)="/([^"]+)"', asset.body.decode())
    )
    model = {name for name in kept if name.startswith(MODEL)}
    return {
        "page": sum(packed_kb(files, name) for name in page - model),
        "model": sum(packed_kb(files, name) for name in model),
        "way to the first plan": sum(packed_kb(files, name) for name in set(kept) - page - model),
        "worker and its list": sum(packed_kb(files, name) for name in listing.NOT_KEPT),
    }
