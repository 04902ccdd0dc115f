"""Versions of the app as a gate serves them: the real files, the bench's page, and changes to either."""

import functools
import hashlib
import json
import re
from collections.abc import Collection
from pathlib import Path

from browser.offline.conftest import bench_files
from browser.offline.gate import Gate

from bothends.service import precache
from bothends.service.settings import Settings
from bothends.service.site import listing
from bothends.service.site.front import Files

__all__ = ["READY", "real", "serve"]

# Ask a page what its worker says once it no longer starts: "ready" when every screen is kept.
READY = """async () => {
    const { watchApp } = await import("/book/update.js");
    return new Promise((done) => watchApp(({ worker }) => worker === "starting" || done(worker)));
}"""


@functools.cache
def real(web: Path) -> str:
    """The list of the real files, which nobody changes below the copy that these tests serve."""
    return precache.text(Settings(web=web))


@functools.cache
def needed(web: Path) -> frozenset[str]:
    """Paths of the modules that the bench's page imports, and what these do."""
    files = Files(Settings(web=web))
    page = (bench_files()["/bench.js"] or b"").decode()
    named = re.findall(r'from "/([^"]+)"', page)
    return frozenset(f"/{name}" for first in named for name in listing.modules(files, first))


def serve(
    gate: Gate,
    changes: dict[str, bytes] | None = None,
    *,
    whole: bool = True,
    soon: dict[str, bytes] | None = None,
    later: dict[str, bytes] | None = None,
    lies: Collection[str] = (),
) -> str:
    """Let a gate serve the app with these changes and a list that fits it; the version's hash.

    The list is made here and not read, so that a stale one fails its own test and not these. One that is not
    ``whole`` has nothing but the bench's page and what that imports: the worker does the same with thirty files as
    with all of them, which take it a second of work. ``soon`` are files that are kept once the page stands,
    ``later`` such that are kept from their first use on; ``lies`` are files whose sums in the list are wrong.
    """
    soon, later = soon or {}, later or {}
    files = {path: content for path, content in bench_files().items() if content is not None}
    files.update(changes or {})
    written = real(gate.web)
    listed = json.loads(written[written.index("{") : written.rindex(";")])
    if not whole:
        few = needed(gate.web)
        for part in ("files", "soon", "later"):
            listed[part] = {path: found for path, found in listed[part].items() if path in few}
    sums = {**listed["files"], **{path: listing.sum_of(body) for path, body in files.items()}}
    after = {**listed["soon"], **{path: listing.sum_of(body) for path, body in soon.items()}}
    rest = {**listed["later"], **{path: listing.sum_of(body) for path, body in later.items()}}
    for where in (sums, after, rest):
        where.update(dict.fromkeys(where.keys() & set(lies), "0" * 32))
    version = hashlib.sha256(json.dumps([listed["hash"], sums, after, rest]).encode()).hexdigest()[:16]
    gate.files.clear()
    gate.files.update({**files, **soon, **later})
    written = json.dumps({"hash": version, "files": sums, "soon": after, "later": rest})
    gate.files["/assets.js"] = f"self.ASSETS = {written};".encode()
    return version
