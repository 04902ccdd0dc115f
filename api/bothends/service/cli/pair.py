"""bothends pair: a code that lets one more device in, and how it is written for people."""

import argparse
import sqlite3

from bothends.book import devices
from bothends.book.schema import UnfitBookError
from bothends.book.store import BOOK, BookInUseError, visit

from ..lan.authority import signs
from .home import data_home
from .outcome import BAD_INPUT, failed, unreadable

__all__ = ["code_words", "pair"]


TRUST = (
    "On a new device first let it trust the shop: open the help page that the app names when it starts; Devices in"
    " the app on this PC shows it too. Where the app names none, as behind a proxy, there is nothing to trust first"
)
"""What comes before a code in a shop that signs its own certificates; where the page is, and whether there is one,
only the program knows that serves it."""


def pair(options: argparse.Namespace) -> int:
    """Print a new code; the exit code."""
    data = options.data or data_home()
    if not (data / BOOK).exists():
        return failed(f"there is no shop database in {data} yet; start the app once", BAD_INPUT)
    try:
        print(code_words(*visit(data, devices.new_code)), flush=True)
        if signs(data):
            print(TRUST, flush=True)
    except (BookInUseError, UnfitBookError) as error:
        return failed(error)
    except sqlite3.DatabaseError as error:
        unreadable(data, error)
        return 1
    return 0


def code_words(code: str, expires: str) -> str:
    """A pairing code for people."""
    return f"Pairing code {code[:4]}-{code[4:]}: pairs one device, once, until {expires}"
