"""/api/photos: the bytes of photos, in parts and out whole, under the SHA-256 of what they are.

A part is small, so that a device goes on after a break where it stopped, and never keeps a record waiting: records
go by /api/entries, and one that names a photo comes first. What is served is an image and nothing else.
"""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get, put
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import PathParameter, QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import photos

from ..http.problems import Refusal, documented
from . import access
from .headers import LOCATION
from .open_book import book_of

__all__ = ["held", "photo", "put_part"]

OCTETS = "application/octet-stream"
Name = Annotated[
    str,
    PathParameter(
        pattern=photos.SHA256, max_length=64, description="SHA-256 of the photo's bytes, hexadecimal."
    ),
]
SERVED = {
    # What has this name never changes; only devices with a key may have it.
    "Cache-Control": "private, max-age=31536000, immutable",
    "Content-Security-Policy": "default-src 'none'; sandbox",
}


class PhotoHeld(msgspec.Struct, kw_only=True):
    """How much of a photo is here, and so where to go on."""

    sha256: str
    size: Annotated[int, Meta(description="Bytes that it has in all; 0 where nothing of it has come.")]
    have: Annotated[
        int, Meta(description="Bytes that are here, from the beginning: where the next part begins.")
    ]
    whole: Annotated[bool, Meta(description="Whether all of it is here, and is what its name says.")]


def _told(found: photos.Held) -> PhotoHeld:
    return PhotoHeld(sha256=found.sha256, size=found.size, have=found.have, whole=found.whole)


@get(
    "/api/photos/{sha256:str}",
    operation_id="photo",
    summary="A photo",
    description="The image as it was sent, JPEG, WebP or PNG. HEAD tells whether it is here.",
    response_description="The image.",
    media_type=photos.KINDS[0],
    responses=documented(*access.ENDS, "bad-parameter", "not-found"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={"binary": photos.KINDS},
)
async def photo(sha256: Name, request: Request[Any, Any, Any]) -> Response[bytes]:
    """The bytes of a photo that is here whole."""
    found = await book_of(request).read(lambda db: photos.found(db, sha256))
    if found is None:
        raise Refusal(
            "not-found",
            f"the photo {sha256} is not here yet",
            remedy="The device that took it sends it when it next has the shop's network.",
        )
    kind, data = found
    return Response(data, media_type=kind, headers=SERVED)


@get(
    "/api/photos/{sha256:str}/held",
    operation_id="photoHeld",
    summary="How much of a photo is here",
    responses=documented(*access.ENDS, "bad-parameter"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def held(sha256: Name, request: Request[Any, Any, Any]) -> PhotoHeld:
    """What a device asks before it sends, and after a break."""
    return _told(await book_of(request).read(lambda db: photos.held(db, sha256)))


@put(
    "/api/photos/{sha256:str}",
    status_code=201,
    operation_id="putPhoto",
    summary="Send one part of a photo",
    description=(
        f"At most {photos.PART} bytes, after the record that names the photo. A part that does not begin where the"
        " last one ended changes nothing; the answer says where to go on. With the last part the sum is checked."
        f" A photo may have {photos.BYTES} bytes, those of one job {photos.PER_JOB >> 20} MB, all together"
        f" {photos.IN_ALL >> 30} GB."
    ),
    response_description="The photo is here whole, and on the disk.",
    response_headers=[LOCATION],
    responses={
        200: ResponseSpec(
            PhotoHeld,
            description="It is not whole yet, or was here already.",
            media_type="application/json",
            generate_examples=False,
        ),
        **documented(
            *access.ENDS,
            *("bad-parameter", "not-an-image", "not-found", "out-of-range", "photos-full", "too-large"),
            *("too-slow", "wrong-media-type", "wrong-sum", "no-room"),
        ),
    },
    guards=[access.needs_key],
    security=access.KEY,
    request_max_body_size=photos.PART,
    opt={"octets": photos.PART},
)
async def put_part(
    sha256: Name,
    request: Request[Any, Any, Any],
    at: Annotated[int, QueryParameter(ge=0, le=photos.BYTES, description="Where the part begins, bytes.")],
    size: Annotated[
        int,
        QueryParameter(
            ge=1, le=photos.BYTES, description="Bytes of the whole photo; the same for each part."
        ),
    ],
) -> Response[PhotoHeld]:
    """Take a part."""
    kind, _ = request.content_type
    if kind != OCTETS:
        raise Refusal(
            "wrong-media-type",
            f"a part of a photo must be {OCTETS}, got {kind[:60] or 'no Content-Type'}",
            remedy=f"Set the header Content-Type: {OCTETS}.",
            headers={"Accept": OCTETS},
        )
    data = await request.body()

    def take(db: Database) -> tuple[bool, photos.Held]:
        return photos.held(db, sha256).whole, photos.part(db, sha256, data, at=at, size=size)

    book = book_of(request)
    try:
        before, now = await book.write(take)
    except photos.PhotoError as error:
        raise Refusal(error.code, error.detail, path=error.path, remedy=error.remedy) from None
    if now.wrong:
        raise Refusal(
            "wrong-sum",
            f"the {size} bytes that came are not those of {sha256}; none of them is kept",
            path="sha256",
            remedy="Send it again from the beginning.",
        )
    if now.whole and not before:
        return Response(_told(now), status_code=201, headers={"Location": f"/api/photos/{sha256}"})
    return Response(_told(now), status_code=200)
