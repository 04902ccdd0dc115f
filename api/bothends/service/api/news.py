"""/api/news: a stream that says how far the book has come, so that a page in use is in step within a second or two.

It tells that there is something, never what: whoever listens asks ``entries`` for it, where the order, the place to
go on from and every refusal are as they always are. Events of text/event-stream (HTML Standard, 9.2), since proxies
know that they must not hold those up.
"""

from collections.abc import AsyncIterator
from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get
from litestar.response import Stream
from litestar.types import ASGIApp, Receive, Scope, Send
from msgspec import Meta

from ..http.head_timeout import connection_of
from ..http.problems import documented
from . import access
from .listening import Listener, Listening
from .open_book import book_of

__all__ = ["BEAT_S", "News", "news"]

BEAT_S = 15.0
"""The same is said again after so long, [s], so that who listens knows that the line stands, and what stands on it
that the line is in use; proxies usually let go after a minute."""
MEDIA_TYPE = "text/event-stream"


class News(msgspec.Struct, kw_only=True):
    """How far the shop database has come."""

    epoch: Annotated[str, Meta(description="Changes when the database was restored from a copy.")]
    last: Annotated[int, Meta(description="The highest number given to a record.")]


class _Held(Stream):
    """A stream that gives its place back however it ends, begun or not."""

    def __init__(self, listening: Listening, listener: Listener, lines: AsyncIterator[bytes]) -> None:
        super().__init__(
            lines,
            media_type=MEDIA_TYPE,
            # A connection that was a stream is no use for further questions: the door has let go of it.
            headers={"Cache-Control": "no-store", "Connection": "close", "X-Accel-Buffering": "no"},
        )
        self._listening = listening
        self._listener = listener

    def to_asgi_response(self, *args: Any, **options: Any) -> Any:
        inner: ASGIApp = super().to_asgi_response(*args, **options)

        async def held(scope: Scope, receive: Receive, send: Send) -> None:
            try:
                await inner(scope, receive, send)
            finally:
                self._listening.leave(self._listener)

        return held


async def _lines(listening: Listening, listener: Listener) -> AsyncIterator[bytes]:
    async for state in listening.states(listener, BEAT_S):
        yield b"data: " + msgspec.json.encode(News(epoch=state.epoch, last=state.last)) + b"\n\n"


@get(
    "/api/news",
    operation_id="news",
    summary="When there are records to fetch",
    description=(
        "A stream of events that goes on until one side ends it. The data of each is a News, as JSON: at once, as"
        f" soon as another record is stored, and every {BEAT_S:g} s the same again. Where last is beyond the next"
        " of your last page, or the epoch is another one, ask GET /api/entries. A device has one stream: a second"
        " one ends the first. It ends with the device's access and when the server stops. Where too many listen it"
        " is refused; ask GET /api/entries now and then instead."
    ),
    response_description="Events, as long as the stream stands.",
    media_type=MEDIA_TYPE,
    responses=documented(*access.ENDS, "too-many-streams"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={"events": News},
)
async def news(request: Request[Any, Any, Any]) -> Response[str]:
    """Take a place and tell."""
    book_of(request)
    listening: Listening = request.app.state.listening
    host = request.client.host if request.client else "?"
    listener = await listening.join(access.device_of(request)["id"], host)
    if connection := connection_of(request.scope):
        connection.streams(listener.end)
    held: Response[Any] = _Held(listening, listener, _lines(listening, listener))
    return held
