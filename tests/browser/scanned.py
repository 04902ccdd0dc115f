"""What a scanner reads in a picture: an independent decoder, not the library that draws the codes."""

import io

import zxingcpp
from PIL import Image

__all__ = ["codes"]


def codes(picture: bytes) -> list[str]:
    """Texts of all QR codes in a PNG."""
    with Image.open(io.BytesIO(picture)) as image:
        found = zxingcpp.read_barcodes(image.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
    return [code.text for code in found]
