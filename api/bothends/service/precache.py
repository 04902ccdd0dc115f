"""The list of files that the phone keeps: ``python -m bothends.service.precache`` writes web/assets.js.

Owns which of the served files belong to a version of the app. The service worker reads the list, installs it
whole and checks every sum, so the list must be written again after any change of a file in it; a test fails
until that is done. What is listed is read through the very code that serves it.
"""

import hashlib
import json
import sys
from pathlib import Path

from . import places
from .front import Files
from .settings import Settings

__all__ = ["LIST", "main", "text"]

LIST = "assets.js"
NOT_KEPT = ("sw.js", LIST)
"""The worker and its list: the browser looks after them itself."""
BOUNDS = "py/model/bounds.py"
LATER = ("screens/shop/", "style/shop/", "vendor/uplot.")
"""What the shop's PC needs and a phone seldom does: not part of the first load, kept from its first use on."""


def kept(name: str) -> bool:
    """Whether a served file belongs to the app: notes, licences and tools beside it do not.

    Nor do the icons of an installed app: the browser fetches them when somebody installs it, and they are a
    ninth of everything else.

    Source is kept as the one file that holds it all, and the table of bounds, which the page reads itself.

    >>> kept("parts/dial.js"), kept("py/source.json"), kept("py/model/solve.py"), kept("icons/512.png")
    (True, True, False, False)
    """
    if name.startswith("icons/") and name.endswith(".png"):
        return False
    if name.endswith(".py"):
        return name == BOUNDS
    return not name.endswith((".md", ".txt")) and name not in NOT_KEPT


def text(settings: Settings | None = None) -> str:
    """The list as it should be: path and SHA-256 of every file, and a hash of all that with the worker's own.

    ``files`` are installed at once; ``later`` are those of LATER, of the same version.
    """
    files = Files(settings or Settings())
    sums: dict[str, str] = {}
    later: dict[str, str] = {}
    for name in files.names():
        asset = files.find(name)
        if asset is not None and kept(name):
            # The page is asked for by its folder.
            path = "/" + ("" if name == "index.html" else name)
            where = later if name.startswith(LATER) else sums
            where[path] = hashlib.sha256(asset.body).hexdigest()
    worker = files.find("sw.js")
    whole = json.dumps([sums, later, hashlib.sha256(worker.body if worker else b"").hexdigest()])
    listed = {"hash": hashlib.sha256(whole.encode()).hexdigest()[:16], "files": sums, "later": later}
    return (
        "/* Written by python -m bothends.service.precache; run it after any change of a file listed here. */\n"
        f"self.ASSETS = {json.dumps(listed, indent=1)};\n"
    )


def main() -> int:
    """Write the list beside the front end's files; 0."""
    path: Path = places.web() / LIST
    path.write_text(text(), encoding="utf-8", newline="\n")
    print(f"{path.name} written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
