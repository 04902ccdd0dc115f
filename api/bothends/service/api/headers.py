"""Headers of good answers: where a new thing is, where the next page is; and their words in the document."""

from typing import Any
from urllib.parse import quote, urlencode

from litestar import Request
from litestar.datastructures import ResponseHeader

__all__ = ["LINK", "LOCATION", "TAGGED", "VARIES", "next_page"]


def _told(name: str, words: str, *, always: bool = False) -> ResponseHeader:
    return ResponseHeader(name=name, description=words, documentation_only=True, required=always)


LINK = _told("Link", 'The next page, rel="next" (RFC 8288), all else as asked for; none on the last one.')
LOCATION = _told("Location", "Where the new thing is.", always=True)
VARIES = _told("Vary", "What of the request the answer's form depends on.", always=True)
TAGGED = (
    _told(
        "ETag",
        "The same for the same content; with If-None-Match such content is not sent again.",
        always=True,
    ),
    VARIES,
)


def next_page(request: Request[Any, Any, Any], **change: object) -> dict[str, str]:
    """The header Link to the next page: this address, all that was asked for, and what changes."""
    asked = [(name, value) for name, value in request.query_params.multi_items() if name not in change]
    query = urlencode([*asked, *change.items()])
    return {"Link": f'<{quote(request.scope["path"])}?{query}>; rel="next"'}
