"""The lists of files that the phone keeps, and needs first: ``python -m bothends.service.precache`` writes both,
and what the page has of the tables (`site.codes`, `site.erased`, `site.facts`, `site.fold_mark`, `site.safety`,
`site.teardown`), which are some of these files.

Which of the served files belong to a version of the app is the business of `site.listing`. The service worker
reads the list, installs it whole and checks every sum, so the list must be written again after any change of a
file in it; a test fails until that is done.

The page names the modules of its first screen, so that a browser asks for all of them at once and does not find
them one behind the other; that list stands in web/index.html, and so does that of its cards, which only those need
who may have a job (web/visit.js). So do the words of the first screen that somebody new
sees, before any script: they are those of WORDS.
"""

import re
import sys
from collections.abc import Sequence
from pathlib import Path

from .settings import Settings
from .site import codes, erased, facts, fold_mark, places, safety, teardown
from .site.front import Files
from .site.listing import CARDS, FIRST, LIST, PAGE, listing, modules

__all__ = ["main", "page", "text", "words"]

WORDS = "work/first-words.js"
WORD = re.compile(r'^  (\w+): "([^"\\<&]+)",$', re.MULTILINE)
PLACE = re.compile(r'(<(\w+)[^<>]* data-word="(\w+)"[^<>]*>)[^<]*(</\2>)')
MODULES = re.compile(r"(<!-- modules of the[^>]*-->\n)(?:<link [^>]*>\n)*(<!-- /modules -->)")
OF_CARDS = re.compile(r"(<!-- modules of its[^>]*-->\n)(?:<link [^>]*>\n)*(<!-- /modules -->)")


def text(settings: Settings | None = None) -> str:
    """The list as it should be."""
    return listing(Files(settings or Settings()))


def words(files: Files) -> dict[str, str]:
    """The words of the first screen by their names, as the page's own module of them has them."""
    asset = files.find(WORDS)
    return dict(WORD.findall(asset.body.decode())) if asset is not None else {}


def page(settings: Settings | None = None) -> str:
    """The page as it should be: with the modules and the words of its first screen."""
    files = Files(settings or Settings())
    asset = files.find(PAGE)
    first = modules(files)
    links = "".join(f'<link rel="modules" href="/{name}">\n' for name in first if name != FIRST)
    cards = "".join(
        f'<link rel="cards" href="/{name}">\n' for name in modules(files, CARDS) if name not in first
    )
    text = MODULES.sub(lambda found: found[1] + links + found[2], asset.body.decode() if asset else "")
    text = OF_CARDS.sub(lambda found: found[1] + cards + found[2], text)
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
    tables = [(of.PATH, of.text) for of in (codes, erased, facts, safety, teardown, fold_mark)]
    tables.append((safety.STEPS_PATH, safety.steps))
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
