"""For the tests of the book: an open one, and Hypothesis without time limits, which fail by the machine alone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from bothends.book.store import Store

settings.register_profile(
    "book",
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("book")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty book, closed at the end."""
    with Store(tmp_path) as opened:
        yield opened
