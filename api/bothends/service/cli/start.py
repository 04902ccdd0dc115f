"""bothends serve: what is made ready before anybody is served, and what stands in the way.

Owns its words; ``serving`` does the serving.
"""

import argparse
import sqlite3
import sys
from pathlib import Path
from urllib.parse import urlsplit

import msgspec

from .home import data_home
from .outcome import BAD_INPUT, unreadable

__all__ = ["start"]


def _clash(options: argparse.Namespace) -> str:
    """Options that do not go together, or ""."""
    plain = options.http or options.behind_proxy
    if bool(options.cert) != bool(options.key):
        return "--cert and --key go together; give both or neither"
    if plain and options.cert:
        return "--cert is for HTTPS; leave out --http and --behind-proxy"
    if options.behind_proxy and not options.address:
        return "--behind-proxy needs --address, the address that the proxy has for devices"
    return ""


def start(options: argparse.Namespace) -> int:
    """Serve as told; the exit code."""
    from bothends.book.store import BOOK

    from ..console import has_screen
    from ..lan import private
    from ..lan.authority import BadAuthorityError
    from ..lan.certificate import BadCertificateError
    from ..lan.garage import Garage, Options
    from ..serving import Ways, serve
    from ..settings import Settings

    clash = _clash(options)
    if clash:
        print(f"bothends: {clash}", file=sys.stderr)
        return BAD_INPUT
    data = options.data or data_home()
    private.from_now_on()
    try:
        private.folder(data)
        # A folder that was there, perhaps open to others, stays as its owner made it; the book does not.
        for file in data.glob(f"{BOOK}*"):
            private.close(file)
    except OSError as error:
        print(f"bothends: --data {data}: {error.strerror}", file=sys.stderr)
        return BAD_INPUT
    plain = options.http or options.behind_proxy
    if options.http:
        print("Plain HTTP, for this machine only; phones in the shop cannot reach it.", flush=True)
    browser = not options.no_browser
    codes = _prepared(
        data, demo=options.demo, pc=browser and has_screen(), phone=not plain and sys.stdout.isatty()
    )
    if codes is None:
        return 1
    pc, phone = codes
    allowed = {name.lower() for name in options.allow_host}
    if options.address:
        allowed.add(urlsplit(options.address).hostname or "")
    settings = Settings(
        data=data,
        copies=options.copies,
        demo=options.demo,
        hosts=frozenset(allowed),
        address=options.address or None,
    )

    def garage(port: int, helper_port: int | None) -> Garage:
        options_of_it = Options(
            port=port,
            helper_port=helper_port,
            cert=options.cert,
            key=options.key,
            name=options.name or "",
            address=options.address or "",
            mdns=not options.no_mdns,
        )
        return Garage(data, options_of_it)

    ways = Ways(port=options.port, browser=browser, code=pc, invitation=phone, proxy=options.behind_proxy)
    if not plain:
        helper = None if options.no_helper or options.cert else _after(options, options.helper_port, 1)
        local = _after(options, options.local_port, 2)
        ways = msgspec.structs.replace(ways, helper_port=helper, local_port=local, garage=garage)
    try:
        return serve(settings, ways)
    except (BadAuthorityError, BadCertificateError) as error:
        print(f"bothends: {error}", file=sys.stderr)
    except OSError as error:
        remedy = "give this user the folder and room in it, or another with --data"
        print(f"bothends: {error.filename or data}: {error.strerror or error}; {remedy}", file=sys.stderr)
    return 1


def _after(options: argparse.Namespace, told: int | None, how: int) -> int:
    """A port that was told, or one so many after the app's."""
    if told is not None or not options.port:
        return told or 0
    return int(options.port) + how if options.port + how < 65536 else 0


def _prepared(data: Path, *, demo: bool, pc: bool, phone: bool) -> tuple[str, str] | None:
    """Open the book once before anybody waits for it; None, and words, where it does not open.

    Brings an older one up to date, writes the demo jobs into an empty one, and makes the pairing codes that are
    wanted: for this PC's browser, and for a phone where somebody looks at the console. Where no device has access
    yet the phone's is made all the same; a shop with devices that is started by the system makes none, since
    nobody would see it but the system's log. The phone's is printed too.
    """
    from bothends.book import devices, log
    from bothends.book.demo import entries
    from bothends.book.schema import UnfitBookError
    from bothends.book.store import BookFullError, BookInUseError, Store

    from .pair import code_words

    codes = ["", ""]
    try:
        with Store(data) as store:
            if demo and not store.read(log.last):
                store.write(lambda db: log.append(db, entries()))
            if pc:
                codes[0], _ = store.write(devices.new_code)
            if phone or not store.read(devices.anybody):
                code, expires = store.write(devices.new_code)
                print(code_words(code, expires), flush=True)
                codes[1] = code
    except (BookFullError, BookInUseError, UnfitBookError) as error:
        print(f"bothends: {error}", file=sys.stderr)
        return None
    except sqlite3.DatabaseError as error:
        unreadable(data, error)
        return None
    return codes[0], codes[1]
