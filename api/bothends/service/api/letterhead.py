"""/api/letterhead: the shop's name, address and phone, as they stand on the hand-over sheet."""

from typing import Annotated, Any

import msgspec
from litestar import Request, get, put
from litestar.params import JSONBody
from msgspec import Meta

from bothends.book import letterhead

from ..http.problems import FIELD, documented
from . import access
from .open_book import book_of

__all__ = ["enter", "kept"]


class Letterhead(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """The shop as its papers name it; "" for what is left out there."""

    name: Annotated[str, Meta(max_length=letterhead.NAME)]
    address: Annotated[str, Meta(max_length=letterhead.ADDRESS, description="In one line.")]
    phone: Annotated[str, Meta(max_length=letterhead.PHONE)]


def _sent(found: letterhead.Letterhead) -> Letterhead:
    return Letterhead(name=found.name, address=found.address, phone=found.phone)


@get(
    "/api/letterhead",
    operation_id="letterhead",
    summary="The shop as its papers name it",
    responses=documented(*access.ENDS),
    guards=[access.needs_key],
    security=access.KEY,
)
async def kept(request: Request[Any, Any, Any]) -> Letterhead:
    """What was entered last."""
    return _sent(await book_of(request).read(letterhead.kept))


@put(
    "/api/letterhead",
    operation_id="enterLetterhead",
    summary="Say what the shop's papers name it",
    response_description="As it is kept.",
    responses=documented(
        *access.ENDS, *FIELD, "unknown-field", "too-large", "too-slow", "wrong-media-type", "no-room"
    ),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "examples": {
            "shop": (
                "A workshop by the harbour",
                {"name": "Slipway Garage", "address": "Slipway 4, Harbour", "phone": "042 4711"},
            )
        }
    },
)
async def enter(data: JSONBody[Letterhead], request: Request[Any, Any, Any]) -> Letterhead:
    """Keep it in place of the one before, without blanks at the ends."""
    new = letterhead.Letterhead(
        name=data.name.strip(), address=data.address.strip(), phone=data.phone.strip()
    )
    await book_of(request).write(lambda db: letterhead.enter(db, new))
    return _sent(new)
