"""An address as a QR code, as SVG, to be drawn on a page or printed."""

import io

import segno

__all__ = ["svg", "terminal"]


def svg(address: str) -> str:
    """The code as an SVG element of its own, black on white, with the quiet zone scanners need.

    It names its namespace, so that it stands as a picture file too.

    >>> svg("https://shop.test/")[:4]
    '<svg'
    """
    code = segno.make(address, error="m", micro=False)
    drawn = io.BytesIO()
    code.save(
        drawn, kind="svg", scale=4, border=4, light="#fff", omitsize=True, svgns=True, xmldecl=False, nl=False
    )
    return drawn.getvalue().decode("utf-8")


def terminal(address: str) -> str:
    """The code for a text console, in half blocks."""
    text = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(text, compact=True, border=2)
    return text.getvalue()
