"""Where others reach this server, for the addresses that it hands out, and what a new device does first."""

from typing import Annotated, Any

import msgspec
from litestar import Request
from msgspec import Meta

from .. import qr

__all__ = ["Trust", "address_of", "trust_of"]


class Trust(msgspec.Struct, kw_only=True):
    """What a device does before anything else where it does not trust this server yet."""

    address: Annotated[
        str, Meta(description="A page, by plain HTTP, that says how devices come to trust this server.")
    ]
    qr: Annotated[str, Meta(description="That address as a QR code, an SVG element.")]


def address_of(request: Request[Any, Any, Any]) -> str:
    """Where others reach this server: as it was told, else as this request did; ends with a slash."""
    told: str | None = request.app.state.settings.address
    return told or str(request.base_url)


def trust_of(request: Request[Any, Any, Any]) -> Trust | None:
    """The step that comes before every code; None where devices trust the server as it is."""
    told: str | None = request.app.state.settings.help
    return Trust(address=told, qr=qr.svg(told)) if told else None
