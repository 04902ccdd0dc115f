"""Where others reach this server, for the addresses that it hands out."""

from typing import Any

from litestar import Request

__all__ = ["address_of"]


def address_of(request: Request[Any, Any, Any]) -> str:
    """Where others reach this server: as it was told, else as this request did; ends with a slash."""
    told: str | None = request.app.state.settings.address
    return told or str(request.base_url)
