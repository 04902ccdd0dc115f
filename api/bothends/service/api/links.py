"""/api/links: one job to read for whoever has the token, until it ends or is revoked; /api/public-copy: where links
lead that carry the job themselves.

The token is shown once and goes into the address's fragment, which browsers send to no server and keep in no
log. Answers are never kept by a cache, so that a revoked link is gone at once.
"""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, delete, get, post, put
from litestar.params import JSONBody, PathParameter, QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import links, log, public_copy

from .. import qr
from ..http.problems import FIELD, Refusal, documented
from ..wire.entry import AnyEntry
from . import access
from .address import Trust, address_of, trust_of
from .headers import LINK, LOCATION, next_page
from .open_book import book_of, no_job
from .parameters import Id, Limit, Seq

__all__ = ["copy", "links_page", "make", "opened", "revoke"]

Token = Annotated[
    str,
    PathParameter(
        pattern=r"^[0-9a-f]{12}\.[A-Za-z0-9_-]{32}$", max_length=45, description="The link's token."
    ),
]
TokenOrId = Annotated[
    str,
    PathParameter(
        pattern=r"^[0-9a-f]{12}(\.[A-Za-z0-9_-]{32})?$",
        max_length=45,
        description="The link's token, or its id.",
    ),
]


class LinkWish(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """A link to make."""

    job: Id
    days: Annotated[float, Meta(ge=0.01, le=links.MOST_DAYS, description="How long it is valid, [days].")] = (
        float(links.USUAL_DAYS)
    )


class Link(msgspec.Struct, kw_only=True):
    """A link to a job; its token is kept nowhere."""

    id: str
    job: str
    device: Annotated[str, Meta(description="Id of the device that made it.")]
    made: str
    expires: str
    revoked: str | None


class NewLink(Link, kw_only=True):
    """A link just made, with its token."""

    token: Annotated[str, Meta(description="Shown this once, never again.")]
    address: Annotated[str, Meta(description="Opens the job in the app.")]
    qr: Annotated[str, Meta(description="The address as a QR code, an SVG element.")]
    trust: Annotated[
        Trust | None,
        Meta(description="What a new device does first; null where devices trust this server as it is."),
    ]


class LinkPage(msgspec.Struct, kw_only=True):
    """Links in order of their ids."""

    links: list[Link]
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


class Bundle(msgspec.Struct, kw_only=True):
    """A job's entries, to read."""

    job: str
    expires: Annotated[str, Meta(description="When the link ends.")]
    entries: list[AnyEntry]
    next: Annotated[int | None, Meta(description="To be given as after; null on the last page.")]


class PublicCopy(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """Where the shop's public copy of the app is."""

    address: Annotated[
        Annotated[str, Meta(pattern=public_copy.PATTERN, max_length=public_copy.MOST)] | None,
        Meta(
            description="A folder's HTTPS address, ending in a slash, such as https://host.example/anything/;"
            " null for none."
        ),
    ]


@put(
    "/api/public-copy",
    operation_id="publicCopy",
    summary="Say where the shop's public copy of the app is",
    description="Links to jobs then lead there and open anywhere. GET /api/health tells it.",
    response_description="As it is kept.",
    responses=documented(
        *access.ENDS, *FIELD, "unknown-field", "too-large", "too-slow", "wrong-media-type", "no-room"
    ),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "examples": {
            "folder": ("A folder of a static host", {"address": "https://host.example/anything/"}),
            "none": ("No public copy", {"address": None}),
        }
    },
)
async def copy(data: JSONBody[PublicCopy], request: Request[Any, Any, Any]) -> PublicCopy:
    """Keep the address in place of the one before."""
    # A pattern's end lets a line break pass.
    kept = data.address and data.address.strip()
    await book_of(request).write(lambda db: public_copy.enter(db, kept))
    return PublicCopy(address=kept)


@post(
    "/api/links",
    operation_id="makeLink",
    summary="Make a link to a job",
    response_description="The link with its token.",
    response_headers=[LOCATION],
    responses=documented(
        *access.ENDS,
        *FIELD,
        "unknown-field",
        "not-found",
        "too-large",
        "too-slow",
        "wrong-media-type",
        "no-room",
    ),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "examples": {
            "month": ("For thirty days", {"job": "01a0c450-6bff-7001-8000-000000000001", "days": 30})
        },
        "links": {
            "open": {"operationId": "link", "parameters": {"token": "$response.body#/token"}},
            "revoke": {"operationId": "revokeLink", "parameters": {"token": "$response.body#/token"}},
        },
    },
)
async def make(data: JSONBody[LinkWish], request: Request[Any, Any, Any]) -> Response[NewLink]:
    """Make the link, where the job has entries."""
    device = access.device_of(request)["id"]

    def work(db: Database) -> tuple[dict[str, Any], str] | None:
        if not log.of(db, data.job, 0, 1):
            return None
        return links.make(db, job=data.job, device=device, days=data.days)

    made = await book_of(request).write(work)
    if made is None:
        raise no_job(data.job)
    link, token = made
    address = f"{address_of(request)}#link={token}"
    new = NewLink(token=token, address=address, qr=qr.svg(address), trust=trust_of(request), **link)
    return Response(new, headers={"Location": f"/api/links/{token}"})


@get(
    "/api/links",
    operation_id="links",
    summary="Links",
    responses=documented(*access.ENDS, "bad-parameter"),
    response_headers=[LINK],
    guards=[access.needs_key],
    security=access.KEY,
)
async def links_page(
    request: Request[Any, Any, Any],
    job: Annotated[str, QueryParameter(max_length=36, description="Links of this job only.")] = "",
    after: Annotated[str, QueryParameter(pattern="^[0-9a-f]{0,12}$", max_length=12)] = "",
    limit: Limit = 50,
) -> Response[LinkPage]:
    """One page of links, without their tokens."""
    found = await book_of(request).read(lambda db: links.of(db, job, after, limit + 1))
    lines = [Link(**row) for row in found[:limit]]
    page = LinkPage(links=lines, next=lines[-1].id if len(found) > limit else None)
    return Response(page, headers=next_page(request, after=page.next) if page.next else {})


@get(
    "/api/links/{token:str}",
    operation_id="link",
    summary="Read the job behind a link",
    description="Open to whoever has the token; read only.",
    responses=documented(
        "bad-parameter",
        "bad-request",
        "not-found",
        "gone",
        "too-often",
        "no-book",
        "book-moved",
        "internal-error",
    ),
    response_headers=[LINK],
    opt={"links": {"more": {"operationId": "link", "parameters": {"token": "$request.path.token"}}}},
)
async def opened(
    token: Token,
    request: Request[Any, Any, Any],
    after: Seq = 0,
    limit: Annotated[int, QueryParameter(ge=1, le=500, description="Most records of one page.")] = 500,
) -> Response[Bundle]:
    """One page of the job's entries."""
    request.app.state.openings.check(request)

    def look(db: Database) -> Any:
        link = links.find(db, token)
        return (link, log.of(db, link["job"], after, limit + 1)) if isinstance(link, dict) else link

    found = await book_of(request).read(look)
    if found is None:
        raise Refusal("not-found", "link not found")
    if found == links.GONE:
        raise Refusal(
            "gone",
            "this link has ended or was revoked",
            remedy="Ask the shop for a new one; what you have stays.",
        )
    link, entries = found
    page = entries[:limit]
    bundle = Bundle(
        job=link["job"],
        expires=link["expires"],
        entries=[entry for _, entry in page],
        next=page[-1][0] if len(entries) > limit else None,
    )
    return Response(bundle, headers=next_page(request, after=bundle.next) if bundle.next else {})


@delete(
    "/api/links/{token:str}",
    operation_id="revokeLink",
    summary="Revoke a link",
    description="By its token, or its id as listed. Nothing is deleted; whoever opens it sees that it has ended.",
    response_description="It opens nothing any more.",
    responses=documented(*access.ENDS, "bad-parameter", "not-found", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def revoke(token: TokenOrId, request: Request[Any, Any, Any]) -> None:
    """End the link."""
    if not await book_of(request).write(lambda db: links.revoke(db, token)):
        raise Refusal("not-found", "link not found")
