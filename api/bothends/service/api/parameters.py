"""Parameters that more than one family of endpoints takes."""

from typing import Annotated

from litestar.params import PathParameter, QueryParameter

from bothends.book import ids

__all__ = ["CSV", "Day", "JobId", "Limit", "Seq", "Words"]

CSV = "text/csv"
"""What Accept names where a table is wanted as a file."""
Day = Annotated[
    str,
    QueryParameter(
        pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$|^$", max_length=10, description="YYYY-MM-DD, UTC, included."
    ),
]
JobId = Annotated[str, PathParameter(pattern=ids.PATTERN, max_length=36, description="The job's id.")]
Limit = Annotated[int, QueryParameter(ge=1, le=500, description="Most rows of one page.")]
Seq = Annotated[
    int,
    QueryParameter(ge=0, le=2**53 - 1, description="Number of the last record that is known; 0 for none."),
]
Words = Annotated[
    str, QueryParameter(name="query", max_length=200, description="Words that must all appear; any case.")
]
