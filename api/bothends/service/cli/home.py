"""Where the program keeps its data unless it is told otherwise."""

import os
import sys
from pathlib import Path

__all__ = ["data_home", "demo_home"]


def data_home() -> Path:
    """Where the logbook lives unless told otherwise: the user's own folder for program data."""
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    return base / "bothends"


def demo_home(home: Path) -> Path:
    """Where the demo season lives unless told otherwise: a folder of its own beside the user's book."""
    return home.with_name(home.name + "-demo")
