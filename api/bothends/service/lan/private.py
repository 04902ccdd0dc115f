"""Files and folders that only their owner may read: keys, and the logbook itself.

On Windows, where these bits mean little, the user's own profile folder keeps others out; no more is done there.
"""

import contextlib
import os
import stat
import tempfile
from pathlib import Path

__all__ = ["close", "folder", "from_now_on", "open_to_others", "write"]

OWNER_ONLY = 0o077
"""The bits that nobody else may have."""


def folder(path: Path) -> bool:
    """Make a folder for its owner alone, with those above it; whether it was made now.

    Raises
    ------
    OSError
        When it cannot be made.
    """
    made = not path.exists()
    path.mkdir(parents=True, exist_ok=True, mode=0o700)
    return made


def write(path: Path, content: bytes) -> None:
    """Put a file in place whole, or not at all, readable by its owner alone.

    Raises
    ------
    OSError
        When it cannot be written; what was there stays.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".new-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def from_now_on() -> None:
    """Whatever this process makes is its owner's alone, also what libraries make, such as the book's files."""
    if os.name == "posix":
        os.umask(OWNER_ONLY)


def close(path: Path) -> None:
    """Take a file that is there from everybody but its owner; one that is somebody else's stays as it is."""
    if open_to_others(path):
        with contextlib.suppress(PermissionError):
            path.chmod(stat.S_IMODE(path.stat().st_mode) & ~OWNER_ONLY)


def open_to_others(path: Path) -> bool:
    """Whether others than the owner may read, change or list it; False on systems without such bits."""
    return os.name == "posix" and bool(stat.S_IMODE(path.stat().st_mode) & OWNER_ONLY)
