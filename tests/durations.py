"""What each file of tests takes: a table beside this, kept up by ``uv run poe durations``, for the order of a run.

Only the order hangs on it, so it may be old, and files may be missing in it.
"""

import functools
import json
from collections import Counter
from pathlib import Path

import pytest

__all__ = ["TABLE", "Clock", "known"]

HERE = Path(__file__).resolve().parent
TABLE = HERE / "durations.json"
"""Seconds of each file that takes a second or more, by its path from the top of the working copy."""
SHORTEST = 1.0
"""Seconds below which a file is not worth a line."""


@functools.cache
def known() -> dict[Path, float]:
    """Seconds of the files in the table."""
    told: dict[str, float] = json.loads(TABLE.read_text(encoding="utf-8")) if TABLE.exists() else {}
    return {HERE.parent / name: seconds for name, seconds in told.items()}


class Clock:
    """Adds up what the tests of each file take, and writes it into the table when a run has ended well.

    Files that the run left out stay as they are in it; those that are gone go.
    """

    def __init__(self, table: Path = TABLE, top: Path = HERE.parent) -> None:
        self.took: Counter[str] = Counter()
        self._table, self._top = table, top

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count one phase of a test."""
        self.took[report.nodeid.split("::")[0]] += report.duration  # type: ignore[assignment]

    def pytest_sessionfinish(self, exitstatus: int) -> None:
        """Write the table."""
        if exitstatus:
            return
        told = json.loads(self._table.read_text(encoding="utf-8")) if self._table.exists() else {}
        told.update({name: round(seconds, 1) for name, seconds in self.took.items()})
        kept = {
            name: seconds
            for name, seconds in sorted(told.items(), key=lambda one: (-one[1], one[0]))
            if seconds >= SHORTEST and (self._top / name).exists()
        }
        self._table.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")
