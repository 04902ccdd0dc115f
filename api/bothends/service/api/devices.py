"""/api/devices and /api/pairing: a code made by a device that may, used once by one that may then too."""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, delete, get, post
from litestar.params import JSONBody, PathParameter, QueryParameter
from msgspec import Meta
from sqlite_utils import Database

from bothends.book import devices
from bothends.book import links as made

from .. import qr
from ..http.problems import FIELD, Refusal, documented
from . import access
from .address import Trust, address_of, trust_of
from .headers import LINK, LOCATION, next_page
from .open_book import book_of
from .parameters import Limit

__all__ = ["devices_page", "new_code", "one_device", "pair", "revoke"]

DeviceId = Annotated[
    str, PathParameter(pattern="^[0-9a-f]{12}$", max_length=12, description="The device's id.")
]


class PairingCode(msgspec.Struct, kw_only=True):
    """A code for one more device, good once."""

    code: Annotated[
        str, Meta(description="To be typed on the new device; case and dashes make no difference.")
    ]
    expires: str
    seconds: Annotated[
        int, Meta(description="How long it is valid from now, [s], for a clock that runs wrong.")
    ]
    address: Annotated[str, Meta(description="Opens the app with the code filled in.")]
    qr: Annotated[str, Meta(description="The address as a QR code, an SVG element.")]
    trust: Annotated[
        Trust | None,
        Meta(description="What a new device does first; null where devices trust this server as it is."),
    ]


class Pairing(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """A new device."""

    code: Annotated[str, Meta(min_length=1, max_length=40)]
    name: Annotated[str, Meta(min_length=1, max_length=100, description="What people call the device.")]
    writes_as: (
        Annotated[
            str,
            Meta(min_length=1, max_length=100, description="What its records have in their field device."),
        ]
        | None
    ) = None


class Device(msgspec.Struct, kw_only=True):
    """A device that may, or might once, read and write the book."""

    id: str
    name: str
    paired: str
    seen: Annotated[str | None, Meta(description="When it came by last, to the hour.")]
    revoked: Annotated[str | None, Meta(description="When its access ended.")]
    writes_as: Annotated[
        str | None, Meta(description="What its records have in their field device, if known.")
    ]


class NewDevice(Device, kw_only=True):
    """A device just paired, with its key."""

    key: Annotated[str, Meta(description="For Authorization: Bearer. Shown this once, never again.")]


class ListedDevice(Device, kw_only=True):
    """A device in a list."""

    this: Annotated[bool, Meta(description="Whether it is the one that asks.")]


class DevicePage(msgspec.Struct, kw_only=True):
    """Devices in order of their ids."""

    devices: list[ListedDevice]
    next: Annotated[str | None, Meta(description="To be given as after; null on the last page.")]


@post(
    "/api/pairing",
    operation_id="newCode",
    summary="A code to pair one more device",
    response_description="The code, good once and for ten minutes.",
    response_headers=[LOCATION],
    responses=documented(*access.ENDS, "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
    opt={
        "links": {
            "pair": {"operationId": "pair", "requestBody": {"code": "$response.body#/code", "name": "phone"}}
        }
    },
)
async def new_code(request: Request[Any, Any, Any]) -> Response[PairingCode]:
    """Make a code."""
    device = access.device_of(request)["id"]
    code, expires = await book_of(request).write(lambda db: devices.new_code(db, device=device))
    address = f"{address_of(request)}#pair={code}"
    seconds = 60 * devices.CODE_MINUTES
    made = PairingCode(
        code=code,
        expires=expires,
        seconds=seconds,
        address=address,
        qr=qr.svg(address),
        trust=trust_of(request),
    )
    return Response(made, headers={"Location": address})


@post(
    "/api/devices",
    operation_id="pair",
    summary="Pair a device",
    response_description="The device and its key.",
    response_headers=[LOCATION],
    opt={
        "examples": {"phone": ("A phone in the shop", {"code": "7KQM-T2XW", "name": "Maren's phone"})},
        "links": {
            "one": {"operationId": "device", "parameters": {"id": "$response.body#/id"}},
            "revoke": {"operationId": "revokeDevice", "parameters": {"id": "$response.body#/id"}},
        },
    },
    responses=documented(
        "bad-code", "bad-request", *FIELD, "unknown-field", "too-large", "too-slow", "wrong-media-type",
        "too-often", "no-book", "book-moved", "no-room", "internal-error",
    ),
)  # fmt: skip
async def pair(data: JSONBody[Pairing], request: Request[Any, Any, Any]) -> Response[NewDevice]:
    """Use the code up."""
    request.app.state.tries.check(request)
    made = await book_of(request).write(
        lambda db: devices.pair(db, data.code, data.name, writes_as=data.writes_as)
    )
    if made is None:
        raise Refusal(
            "bad-code",
            "this pairing code is not valid: mistyped, used already, or older than ten minutes",
            path="$.code",
            remedy="Make a new one on the shop's PC, or with: bothends pair",
        )
    device, key = made
    return Response(NewDevice(key=key, **device), headers={"Location": f"/api/devices/{device['id']}"})


@get(
    "/api/devices",
    operation_id="devices",
    summary="Devices",
    responses=documented(*access.ENDS, "bad-parameter"),
    response_headers=[LINK],
    guards=[access.needs_key],
    security=access.KEY,
)
async def devices_page(
    request: Request[Any, Any, Any],
    after: Annotated[str, QueryParameter(pattern="^[0-9a-f]{0,12}$", max_length=12)] = "",
    limit: Limit = 50,
) -> Response[DevicePage]:
    """One page of devices."""
    found = await book_of(request).read(lambda db: devices.since(db, after, limit + 1))
    this = access.device_of(request)["id"]
    lines = [ListedDevice(this=row["id"] == this, **row) for row in found[:limit]]
    page = DevicePage(devices=lines, next=lines[-1].id if len(found) > limit else None)
    return Response(page, headers=next_page(request, after=page.next) if page.next else {})


@get(
    "/api/devices/{id:str}",
    operation_id="device",
    summary="A device",
    responses=documented(*access.ENDS, "bad-parameter", "not-found"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def one_device(id: DeviceId, request: Request[Any, Any, Any]) -> ListedDevice:
    """The device, without its key."""
    found = await book_of(request).read(lambda db: devices.find(db, id))
    if found is None:
        raise Refusal("not-found", f"no device has the id {id}")
    return ListedDevice(this=id == access.device_of(request)["id"], **found)


@delete(
    "/api/devices/{id:str}",
    operation_id="revokeDevice",
    summary="End a device's access",
    description="It stays listed, and its records stay in the shop database. Pairing codes that it made end with"
    " it; short links that it made only where that is asked for.",
    response_description="Its key is no longer valid.",
    responses=documented(*access.ENDS, "bad-parameter", "not-found", "own-key", "no-room"),
    guards=[access.needs_key],
    security=access.KEY,
)
async def revoke(
    id: DeviceId,
    request: Request[Any, Any, Any],
    links: Annotated[bool, QueryParameter(description="End the short links that it made too.")] = False,
) -> None:
    """Revoke the key."""
    if id == access.device_of(request)["id"]:
        raise Refusal("own-key", "this is the device that asks; end its access from another one")

    def end(db: Database) -> bool:
        if links:
            made.revoke_of(db, id)
        return devices.revoke(db, id)

    if not await book_of(request).write(end):
        raise Refusal("not-found", f"no device has the id {id}")
