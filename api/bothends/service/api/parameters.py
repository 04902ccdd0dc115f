"""Parameters that more than one family of endpoints takes."""

from typing import Annotated, Any

from litestar.params import PathParameter, QueryParameter
from msgspec import Meta

from bothends.book import ids

__all__ = ["CSV", "Day", "Id", "JobId", "Limit", "Seq", "Words", "in_path"]

CSV = "text/csv"
"""What Accept names where a table is wanted as a file."""
Day = Annotated[
    str,
    QueryParameter(
        pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$|^$", max_length=10, description="YYYY-MM-DD, UTC, included."
    ),
]
LENGTH = len(ids.made(0, 0))


def in_path(words: str) -> Any:
    """An id as a part of an address."""
    return PathParameter(pattern=ids.PATTERN, max_length=LENGTH, description=words)


Id = Annotated[str, Meta(pattern=ids.PATTERN, max_length=LENGTH)]
"""An id in a body, or in a list of them."""
JobId = Annotated[str, in_path("The job's id.")]
Limit = Annotated[int, QueryParameter(ge=1, le=500, description="Most rows of one page.")]
Seq = Annotated[
    int,
    QueryParameter(ge=0, le=2**53 - 1, description="Number of the last record that is known; 0 for none."),
]
Words = Annotated[
    str, QueryParameter(name="query", max_length=200, description="Words that must all appear; any case.")
]
