"""Which of the served files belong to a version of the app, and when a browser fetches them.

Owns the list that the service worker installs by (web/assets.js here; a public copy has one of its own): path and
sum of every file. Whatever has ``names()`` and ``find(name)`` can be listed, so that what is listed is read
through the very code that serves or writes it.
"""

import hashlib
import json
import posixpath
import re
from typing import Protocol

from .static_files import Asset

__all__ = [
    "CARDS",
    "FIRST",
    "LATER",
    "LIST",
    "NOT_KEPT",
    "PAGE",
    "Listed",
    "hash_of",
    "kept",
    "listing",
    "modules",
    "soon",
    "sum_of",
    "way",
]

LIST = "assets.js"
PAGE = "index.html"
FIRST = "app.js"
CARDS = "screens/jobs-cards.js"
"""What the list of jobs fetches by itself where there is a job."""
VISIT = "visit.js"
WORKER = "model/worker.js"
WAY = re.compile(r"^const (?:WAY|PARTS) = \[\n(.*?)^\];", re.MULTILINE | re.DOTALL)
LAZY = re.compile(r'\bimport\("\./([^"]+)"\)')
IMPORT = re.compile(r'^(?:import|export) (?:[^"]*? from )?"(\.[^"]+)";', re.MULTILINE)
HASH = re.compile(r'"hash": "([0-9a-f]+)"')
NOT_KEPT = ("sw.js", LIST)
"""The worker and its list: the browser looks after them itself."""
BOTH = "py/both.json"
"""What of the model only a car of two such axles needs."""
LATER = (
    "parts/shop/",
    "py/bench.json",
    "screens/shop/",
    "style/shop/",
    "vendor/uplot.",
)
"""What the shop's PC needs and a phone seldom does: not part of the first load, kept from its first use on."""


class Listed(Protocol):
    """What can be listed."""

    def names(self) -> list[str]:
        """Every path with a file, without its first slash."""

    def find(self, path: str) -> Asset | None:
        """The file at a path."""


def kept(name: str) -> bool:
    """Whether a served file belongs to the app: notes, licences and tools beside it do not.

    Nor do the icons of an installed app: the browser fetches them when somebody installs it, and they are a
    ninth of everything else.

    Source is kept as the packs that hold it all.

    >>> kept("parts/dial.js"), kept("py/source.json"), kept("py/model/solve.py"), kept("icons/512.png")
    (True, True, False, False)
    """
    if name.startswith("icons/") and name.endswith(".png"):
        return False
    return not name.endswith((".md", ".py", ".txt")) and name not in NOT_KEPT


def sum_of(body: bytes) -> str:
    """The first half of a file's SHA-256: enough to tell any two files apart, and the list is half as long."""
    return hashlib.sha256(body).hexdigest()[:32]


def listing(files: Listed) -> str:
    """The list of these files: path and sum of every file, and a hash of all that with the worker's own.

    ``files`` are installed at once; ``soon`` (`soon`) and ``later`` (LATER) are of the same version.
    """
    sums: dict[str, str] = {}
    later: dict[str, str] = {}
    after: dict[str, str] = {}
    follows = set(soon(files))
    for name in files.names():
        asset = files.find(name)
        if asset is not None and kept(name):
            # The page is asked for by its folder.
            path = "/" + ("" if name == PAGE else name)
            where = later if name.startswith(LATER) else after if name in follows else sums
            where[path] = sum_of(asset.body)
    worker = files.find("sw.js")
    whole = json.dumps([sums, after, later, hashlib.sha256(worker.body if worker else b"").hexdigest()])
    listed = {
        "hash": hashlib.sha256(whole.encode()).hexdigest()[:16],
        "files": sums,
        "soon": after,
        "later": later,
    }
    return (
        "/* Written by python -m bothends.service.precache; run it after any change of a file listed here. */\n"
        f"self.ASSETS = {json.dumps(listed, indent=1)};\n"
    )


def hash_of(listed: str) -> str:
    """The hash of a version, as its list has it.

    >>> hash_of('self.ASSETS = {"hash": "4bf498926d4fd0d0"};')
    '4bf498926d4fd0d0'
    """
    return str(HASH.findall(listed)[0])


def modules(files: Listed, name: str = FIRST) -> list[str]:
    """A module and everything that it imports from the start, sorted."""
    found: set[str] = set()
    left = [name]
    while left:
        at = left.pop()
        asset = files.find(at)
        if at not in found and asset is not None:
            found.add(at)
            folder = posixpath.dirname(at)
            left += [
                posixpath.normpath(posixpath.join(folder, p)) for p in IMPORT.findall(asset.body.decode())
            ]
    return sorted(found)


def way(files: Listed) -> list[str]:
    """Every module that the way to the first plan needs, the model's worker among them, sorted.

    The page fetches them while it stands; app.js names them in its tables WAY (screens) and PARTS (what these and
    the first screen fetch by themselves).
    """
    asset = files.find(FIRST)
    tables = "".join(WAY.findall(asset.body.decode())) if asset is not None else ""
    found = {VISIT, WORKER, *modules(files)}
    for name in LAZY.findall(tables):
        found.update(modules(files, name))
    return sorted(found)


def soon(files: Listed) -> list[str]:
    """What no first plan needs: kept by every browser, but after the first load, while nobody waits; sorted."""
    first = way(files)
    asset = files.find(PAGE)
    page = asset.body.decode() if asset is not None else ""
    return [
        name
        for name in files.names()
        if kept(name)
        and (name.endswith((".js", ".mjs")) or name == BOTH or (name.endswith(".css") and name not in page))
        and name not in first
        and not name.startswith((*LATER, "vendor/micropython"))
    ]
