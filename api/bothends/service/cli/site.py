"""``bothends site``: a public copy of the app, written for a static host, and what to do with it."""

from pathlib import Path

from ..site.public import ForeignFolderError, write
from .outcome import BAD_INPUT, failed

__all__ = ["site"]

NEXT = """Put the folder on any static web host that serves it over HTTPS: at the root of an address of its own,
or in a folder such as https://host.example/anything/. It needs no program there.
Then enter that address in the app on the shop's PC, under Settings, Public copy. Links to jobs then open
anywhere: the job is in the link itself, and the host never sees it.
After an update of Bothends run this again and put it there again."""


def site(folder: Path) -> int:
    """Write the copy into a folder; the exit code."""
    try:
        count = write(folder)
    except ForeignFolderError as error:
        return failed(error, BAD_INPUT)
    except OSError as error:
        return failed(error)
    print(f"{folder}: {count} files. Nothing of this shop is in them.\n{NEXT}")
    return 0
