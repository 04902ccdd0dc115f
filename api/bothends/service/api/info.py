"""Small things a client asks of a server: is it well, what is its schema, are there demo jobs."""

import asyncio
from typing import Annotated, Any, Literal

import msgspec
from litestar import Litestar, Request, Response, get
from litestar.openapi.datastructures import ResponseSpec
from sqlite_utils import Database

import bothends
from bothends.book import public_copy, simulated

from ..http.problems import documented
from ..site import demo
from ..site.front import send
from ..site.static_files import Asset
from ..wire.job import Unread
from ..wire.request import SolveRequest
from . import document
from .headers import TAGGED
from .open_book import OpenBook

__all__ = ["demo_jobs", "health", "openapi"]


class Health(msgspec.Struct, kw_only=True):
    """The server answers, and which one it is."""

    status: Literal["ok"]
    version: Annotated[str, msgspec.Meta(description="Version of the program.")]
    address: Annotated[
        str | None,
        msgspec.Meta(
            description="Where devices best reach it, ending in a slash; null where it is not known."
        ),
    ]
    local: Annotated[
        str | None,
        msgspec.Meta(
            description="Where the browser of the machine itself opens it, ending in a slash: there alone is its"
            " log; null where it is not known."
        ),
    ]
    help: Annotated[
        str | None,
        msgspec.Meta(
            description="Where a page says how devices come to trust it, by plain HTTP; null where there is none."
        ),
    ]
    public_copy: Annotated[
        str | None,
        msgspec.Meta(
            description="Where the shop's public copy of the app is, ending in a slash; null where there is none."
        ),
    ]
    unread: Unread
    simulated: Annotated[
        bool,
        msgspec.Meta(description="Whether its data are a demonstration: cars and readings are invented."),
    ]


class DemoJob(msgspec.Struct, kw_only=True):
    """One of Slipway Garage's jobs, ready to be solved."""

    name: str
    title: str
    request: SolveRequest


@get(
    "/api/health",
    operation_id="health",
    summary="Is the server well",
    responses=documented("book-moved", "internal-error"),
)
async def health(request: Request[Any, Any, Any]) -> Health:
    """The server's state."""
    kept: OpenBook | None = request.app.state.get("book")
    copy, invented, unread = None, False, 0
    if kept:

        def look(db: Database) -> tuple[str | None, bool, int]:
            return public_copy.address(db), simulated.marked(db), kept.waiting(db)

        copy, invented, unread = await kept.read(look)
    told = request.app.state.settings
    return Health(
        status="ok",
        version=bothends.__version__,
        address=told.address,
        local=told.local,
        help=told.help,
        public_copy=copy,
        unread=unread,
        simulated=invented,
    )


@get(
    "/api/demo",
    operation_id="demo",
    summary="Slipway Garage's jobs",
    description="Demonstration jobs; an empty list unless the server was started with --demo.",
    responses=documented("internal-error"),
    opt={
        "links": {
            "plan": {
                "operationId": "solve",
                "description": "A demo job's request can be solved as it is.",
                "requestBody": "$response.body#/0/request",
            }
        }
    },
    sync_to_thread=False,
)
def demo_jobs(request: Request[Any, Any, Any]) -> Response[list[DemoJob]]:
    """The demo jobs as they are on disk."""
    jobs: Any = demo.jobs() if request.app.state.settings.demo else []
    return Response(jobs, media_type="application/json")


@get(
    "/api/openapi.json",
    operation_id="schema",
    summary="This schema",
    description="Packed as Accept-Encoding allows. With If-None-Match it is sent only where it has changed.",
    responses={
        304: ResponseSpec(None, description="It is as If-None-Match says.", generate_examples=False),
        **documented("internal-error"),
    },
    response_headers=TAGGED,
)
async def openapi(request: Request[Any, Any, Any]) -> Response[dict[str, Any]]:
    """The OpenAPI document, made when it is first asked for."""
    state = request.app.state
    if "document" not in state:
        state.document = await asyncio.to_thread(_document, request.app)
    return send(state.document, request)


def _document(app: Litestar) -> Asset:
    """The document, packed in every way that a client may ask for: that takes a second, once."""
    made = Asset(document.render(app), ".json")
    for coding in ("br", "gzip"):
        made.packed(coding)
    return made
