"""The page that takes this PC's own browser to the app with its pairing code.

A browser is opened with an address among its arguments, and every user of the machine can list the arguments of
every program. So the code stands in a file that only its owner can read, and the browser is opened at that; it
is gone once the code was used. Owns where the file is and what is in it.
"""

import contextlib
import html
import json
import secrets
from pathlib import Path

from . import private

__all__ = ["WayIn"]

NAME = "bothends-open-"
PAGE = """\
<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="referrer" content="no-referrer">
<title>Bothends</title>
<script>location.replace({script});</script>
<p><a href="{link}">Open Bothends</a></p>
</html>
"""


def _folder(data: Path) -> Path:
    """Where the file stands: browsers that are shut into a sandbox read no folder whose name begins with a dot.

    >>> _folder(Path("/srv/shop")) == Path("/srv/shop")
    True
    >>> _folder(Path.home() / ".local" / "share" / "bothends") == Path.home()
    True
    """
    hidden = any(part.startswith(".") for part in data.absolute().parts)
    return Path.home() if hidden else data


class WayIn:
    """One such file, made when the browser is to be opened.

    Parameters
    ----------
    data : the data folder
    address : where the app is for this PC, with the code in its fragment

    Raises
    ------
    OSError
        Where the file cannot be written.
    """

    def __init__(self, data: Path, address: str) -> None:
        folder = _folder(data)
        # What an end without warning has left; its codes are no longer good.
        for old in folder.glob(f"{NAME}*.html"):
            with contextlib.suppress(OSError):
                old.unlink()
        self.path = folder / f"{NAME}{secrets.token_hex(8)}.html"
        page = PAGE.format(script=json.dumps(address), link=html.escape(address))
        private.write(self.path, page.encode())

    @property
    def address(self) -> str:
        """What the browser is opened at; it says nothing."""
        return self.path.absolute().as_uri()

    def close(self) -> None:
        """Take the file away; it may be gone."""
        with contextlib.suppress(OSError):
            self.path.unlink()
