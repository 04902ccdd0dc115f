"""Slipway Garage's jobs: a harbour workshop and three kit-built cars, all invented."""

import json
from typing import Any

from . import places

__all__ = ["TITLES", "jobs"]

TITLES = {
    "gannet": "Maren's Gannet roadster: low on the left, to be lifted and levelled",
    "plover": "Tove's Plover utility: sunken under its tools, loads guessed",
    "knot": "Jonas's Knot camper: scales and two board tests, to be levelled closely",
}
"""Name of the file and what the job is about, in the order they are shown."""


def jobs() -> list[dict[str, Any]]:
    """Every job: name, title and the solve request as it is on disk."""
    return [
        {"name": name, "title": title, "request": json.loads((places.DEMO / f"{name}.json").read_bytes())}
        for name, title in TITLES.items()
    ]
