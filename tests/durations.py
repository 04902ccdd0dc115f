"""What files and tests take: a table beside this, kept up by ``uv run poe durations``.

The order of a run hangs on its files, and the fast lane leaves out its tests. It may be old, and lack what is new.
"""

import functools
import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

__all__ = ["LONGEST_QUICK", "TABLE", "Clock", "known", "not_quick"]

HERE = Path(__file__).resolve().parent
TABLE = HERE / "durations.json"
"""Seconds of each file that takes a second or more, by its path from the top of the working copy, and of each test
that the fast lane leaves out, by its name there."""
SHORTEST = 1.0
"""Seconds below which a file is not worth a line."""
LONGEST_QUICK = 0.1
"""Seconds from which a test is not in the fast lane, what it shares with others not counted."""


@functools.cache
def _told() -> dict[str, float]:
    return json.loads(TABLE.read_text(encoding="utf-8")) if TABLE.exists() else {}


@functools.cache
def known() -> dict[Path, float]:
    """Seconds of the files in the table."""
    return {HERE.parent / name: seconds for name, seconds in _told().items() if "::" not in name}


def not_quick(nodeid: str) -> bool:
    """Whether a test is known to take too long for the fast lane."""
    return _told().get(nodeid, 0.0) >= LONGEST_QUICK


class Clock:
    """Adds up what the tests of each file take, and writes it into the table when a run has ended well.

    What the run left out stays as it is in it; what is of files that are gone goes. ``alone`` says whether a
    test has a line of its own where it takes long.
    """

    def __init__(
        self, table: Path = TABLE, top: Path = HERE.parent, *, alone: Callable[[str], bool] = lambda _: True
    ) -> None:
        self.took: Counter[str] = Counter()
        self._table, self._top, self._alone = table, top, alone

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count one phase of a test."""
        self.took[report.nodeid.split("::")[0]] += report.duration  # type: ignore[assignment]
        if report.when == "call" and self._alone(report.nodeid):
            self.took[report.nodeid] = report.duration  # type: ignore[assignment]

    def pytest_sessionfinish(self, exitstatus: int) -> None:
        """Write the table."""
        if exitstatus:
            return
        told = json.loads(self._table.read_text(encoding="utf-8")) if self._table.exists() else {}
        told.update(self.took)
        # Rounded only once they are judged: what takes half a limit is not at it.
        kept = {
            name: round(seconds, 1)
            for name, seconds in sorted(told.items(), key=lambda one: (-one[1], one[0]))
            if seconds >= (LONGEST_QUICK if "::" in name else SHORTEST)
            and (self._top / name.split("::")[0]).exists()
        }
        self._table.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")
