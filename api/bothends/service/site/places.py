"""Where the files that ship with the package are: beside the code, or at the top level of a checkout."""

from pathlib import Path

__all__ = ["DEMO", "MODEL", "SHEET", "package_or_checkout", "web"]

_PACKAGE = Path(__file__).resolve().parents[2]
_CHECKOUT = _PACKAGE.parent.parent

MODEL = _PACKAGE / "model"
"""The model's source, read by the phone's interpreter as it is."""
SHEET = _PACKAGE / "book" / "sheet"
"""What entries come to: its source, read by the phone's interpreter as well."""
DEMO = _PACKAGE / "demo"
"""Slipway Garage's jobs as solve requests."""


def package_or_checkout(name: str, checkout: str) -> Path:
    """The file or folder ``name`` of an installed package, or ``checkout`` in a working copy."""
    packed = _PACKAGE / name
    return packed if packed.exists() else _CHECKOUT / checkout


def web() -> Path:
    """The front end's folder."""
    return package_or_checkout("web", "web")
