"""The lists of files that the phone keeps, and needs first: ``python -m bothends.service.precache`` writes both,
and what the page has of the tables (`site.codes`, `site.facts`, `site.safety`, `site.teardown`), which are some of
these files.

Owns which of the served files belong to a version of the app. The service worker reads the list, installs it
whole and checks every sum, so the list must be written again after any change of a file in it; a test fails
until that is done. What is listed is read through the very code that serves it.

The page names the modules of its first screen, so that a browser asks for all of them at once and does not find
them one behind the other; that list stands in web/index.html. So do the words of the first screen that somebody new
sees, before any script: they are those of WORDS.
"""

import hashlib
import json
import posixpath
import re
import sys
from collections.abc import Sequence
from pathlib import Path

from .settings import Settings
from .site import codes, facts, places, safety, teardown
from .site.front import Files

__all__ = [
    "LATER",
    "LIST",
    "PAGE",
    "kept",
    "main",
    "modules",
    "page",
    "soon",
    "sum_of",
    "text",
    "way",
    "words",
]

LIST = "assets.js"
PAGE = "index.html"
FIRST = "app.js"
VISIT = "visit.js"
WORDS = "work/first-words.js"
WORKER = "model/worker.js"
WAY = re.compile(r"^const (?:WAY|PARTS) = \[\n(.*?)^\];", re.MULTILINE | re.DOTALL)
LAZY = re.compile(r'\bimport\("\./([^"]+)"\)')
IMPORT = re.compile(r'^(?:import|export) (?:[^"]*? from )?"(\.[^"]+)";', re.MULTILINE)
WORD = re.compile(r'^  (\w+): "([^"\\<&]+)",$', re.MULTILINE)
PLACE = re.compile(r'(<(\w+)[^<>]* data-word="(\w+)"[^<>]*>)[^<]*(</\2>)')
MODULES = re.compile(r"(<!-- modules of[^>]*-->\n)(?:<link [^>]*>\n)*(<!-- /modules -->)")
NOT_KEPT = ("sw.js", LIST)
"""The worker and its list: the browser looks after them itself."""
LATER = (
    "context/pc.js",
    "parts/shop/",
    "py/bench.json",
    "screens/shop/",
    "shop/pc/",
    "style/shop/",
    "vendor/uplot.",
    "work/pc/",
)
"""What the shop's PC needs and a phone seldom does: not part of the first load, kept from its first use on."""


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


def text(settings: Settings | None = None) -> str:
    """The list as it should be: path and sum of every file, and a hash of all that with the worker's own.

    ``files`` are installed at once; ``soon`` (`soon`) and ``later`` (LATER) are of the same version.
    """
    files = Files(settings or Settings())
    sums: dict[str, str] = {}
    later: dict[str, str] = {}
    after: dict[str, str] = {}
    follows = set(soon(files))
    for name in files.names():
        asset = files.find(name)
        if asset is not None and kept(name):
            # The page is asked for by its folder.
            path = "/" + ("" if name == "index.html" else name)
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


def modules(files: Files, name: str = FIRST) -> list[str]:
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


def way(files: Files) -> list[str]:
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


def soon(files: Files) -> list[str]:
    """What no first plan needs: kept by every browser, but after the first load, while nobody waits; sorted."""
    first = way(files)
    return [
        name
        for name in files.names()
        if kept(name)
        and name.endswith((".js", ".mjs"))
        and name not in first
        and not name.startswith((*LATER, "vendor/micropython"))
    ]


def words(files: Files) -> dict[str, str]:
    """The words of the first screen by their names, as the page's own module of them has them."""
    asset = files.find(WORDS)
    return dict(WORD.findall(asset.body.decode())) if asset is not None else {}


def page(settings: Settings | None = None) -> str:
    """The page as it should be: with the modules and the words of its first screen."""
    files = Files(settings or Settings())
    asset = files.find(PAGE)
    links = "".join(
        f'<link rel="modulepreload" href="/{name}">\n' for name in modules(files) if name != FIRST
    )
    text = MODULES.sub(lambda found: found[1] + links + found[2], asset.body.decode() if asset else "")
    said = words(files)
    return PLACE.sub(lambda found: found[1] + said[found[3]] + found[4], text)


def main(arguments: Sequence[str] | None = None) -> int:
    """Write the page's facts and cautions, its modules and words, and the list of everything beside it; 0.

    With ``--check`` nothing is written: 1 where one of them is not what would be, which is named.
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given not in ([], ["--check"]):
        print("usage: python -m bothends.service.precache [--check]", file=sys.stderr)
        return 2
    folder: Path = places.web()
    stale = 0
    tables = [(of.PATH, of.text) for of in (codes, facts, safety, teardown)]
    for name, written in (*tables, (PAGE, page), (LIST, text)):
        path = folder / name
        if given:
            if path.read_text(encoding="utf-8") != written():
                print(f"{name} is out of date; run: python -m bothends.service.precache", file=sys.stderr)
                stale = 1
            continue
        path.parent.mkdir(exist_ok=True)
        path.write_text(written(), encoding="utf-8", newline="\n")
        print(f"{name} written")
    return stale


if __name__ == "__main__":
    sys.exit(main())
