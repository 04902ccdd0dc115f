"""What the console says once the app answers, and the browser that is opened for whoever sits there.

Owns the words, the picture for a phone and whether there is a screen; what is true is told by ``garage``.
"""

import contextlib
import os
import sys
import threading
import webbrowser

from .lan.garage import Garage
from .qr import terminal

__all__ = ["at", "has_screen", "open_browser", "say"]


def has_screen() -> bool:
    """Whether a browser window could appear; without one, opening a browser may take over the terminal."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def open_browser(address: str) -> None:
    """Open the browser at an address, where there is a screen."""
    if has_screen():
        # Some openers wait for their browser to end.
        threading.Thread(target=_open, args=(address,), daemon=True).start()


def _open(address: str) -> None:
    with contextlib.suppress(webbrowser.Error, OSError):
        webbrowser.open(address)


def at(address: str, what: str, code: str) -> str:
    """An address that lets in by a code, which no browser sends to a server.

    >>> at("https://shop.lan/", "pair", "ABCDEFGH"), at("https://shop.lan/", "pair", "")
    ('https://shop.lan/#pair=ABCDEFGH', 'https://shop.lan/')
    """
    return f"{address}#{what}={code}" if code else address


def say(garage: Garage | None, address: str | None, local: str, *, invitation: str) -> None:
    """Print where the app is, how a device comes to trust it, and a phone's way in.

    Parameters
    ----------
    garage : how it is served over HTTPS; None where it is not
    address : the best one for devices; None where only this PC reaches it
    local : the plain door of this PC
    invitation : a pairing code for a phone, or ""
    """
    for line in _words(garage, address, local, invitation):
        # A picture of blocks is more than some consoles can show; the code stands above in letters.
        with contextlib.suppress(UnicodeEncodeError):
            print(line, flush=True)


def _words(garage: Garage | None, address: str | None, local: str, invitation: str) -> list[str]:
    lines = [f"Bothends is running at {address or local}. Press Ctrl-C to stop."]
    if address:
        lines.append(f"  on this PC at {local}")
    if garage is None:
        return lines
    lines += [f"  or at {other}, while this machine has that number" for other in garage.others]
    if garage.fleeting:
        lines.append(
            "  That number may change; a browser would then start without its data. Give this machine a name, with"
            " --name, or a fixed number in the router"
        )
    lines += [f"  Note: {note}" for note in garage.notes]
    helped = bool(garage.signer and garage.helped)
    if garage.signer and helped:
        lines.append(f"New device? First let it trust this shop: {garage.help_address}")
        lines.append(f"  fingerprint (SHA-256) {garage.signer.fingerprint}")
    if invitation:
        if helped:
            lines.append("Scan this for that, once for each device, and follow the steps:")
            lines.append(terminal(garage.help_address))
        lines.append(
            f"{'Then scan' if helped else 'Scan'} this code to pair it. Use once, within ten minutes."
        )
        lines.append(terminal(at(garage.address, "pair", invitation)))
    return lines
