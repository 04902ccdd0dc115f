"""What every command may be told, and how it is read off the command line.

Owns options, their defaults and their help; a word that is no port, name, address or day is refused here.
"""

import argparse
from datetime import datetime
from pathlib import Path
from urllib.parse import urlsplit

import bothends

from .outcome import EXITS
from .service_unit import SYSTEMS

__all__ = ["PORT", "parser"]

PORT = 8622
DEMO_PORT = 8632
"""Another one: to a browser the port belongs to the name, and what it keeps for the one stays apart."""


def _day(text: str) -> str:
    """A day as an option has it."""
    try:
        return datetime.strptime(text, "%Y-%m-%d").date().isoformat()
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"a day is written year-month-day, such as 2026-03-12, and must be in the calendar; got {text}"
        ) from None


def parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    top = argparse.ArgumentParser(
        prog="bothends",
        description="Rear ride height of torsion-bar cars: readings in, teeth and chance out.",
        epilog="exit codes: " + "; ".join(f"{code} {words}" for code, words in EXITS.items()),
    )
    top.add_argument("--version", action="version", version=f"bothends {bothends.__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    serve = commands.add_parser("serve", help="run the app (what bothends does without a command)")
    _serve(serve)

    demo = commands.add_parser(
        "demo", help="serve a simulated season of Slipway Garage, from a database of its own"
    )
    _serve(demo)
    demo.set_defaults(port=DEMO_PORT)

    solve = commands.add_parser("solve", help="plan from a file")
    solve.add_argument("file", metavar="FILE", help="a solve request as JSON; - reads standard input")
    solve.add_argument("--json", action="store_true", help="print the answer as JSON")
    solve.add_argument("--brief", action="store_true", help="print what to turn and the chance alone")
    solve.add_argument(
        "--units", choices=("metric", "inch"), default="metric", help="inch adds inches and pounds"
    )

    look = commands.add_parser(
        "doctor", help="check certificate, names, ports, folder, clock, room, shop database"
    )
    look.add_argument("--port", type=_port, default=PORT, help="port of the app (default %(default)s)")
    look.add_argument("--name", help="the name that serve is given, if any")
    look.add_argument("--cert", type=Path, metavar="FILE", help="the certificate that serve is given, if any")
    look.add_argument("--key", type=Path, metavar="FILE", help="the key of --cert")
    look.add_argument("--copies", type=Path, metavar="DIR", help="the folder that serve is given, if any")
    look.add_argument("--json", action="store_true", help="print the findings as JSON")
    look.add_argument("--data", type=Path, metavar="DIR", help="folder of the shop database")
    start_up = commands.add_parser("service-unit", help="print a start-up service file")
    start_up.add_argument("system", choices=SYSTEMS)
    start_up.add_argument("options", nargs=argparse.REMAINDER, help="options of serve")

    pair = commands.add_parser("pair", help="print a code that pairs one more device")
    backup = commands.add_parser(
        "backup", help="copy the shop database to a new file, also while the app runs"
    )
    backup.add_argument("file", type=Path, metavar="FILE", help="the copy; must not be there yet")
    restore = commands.add_parser("restore", help="restore the shop database from a copy; stop the app first")
    restore.add_argument("file", type=Path, metavar="FILE", help="a copy made by backup")
    export = commands.add_parser(
        "export", help="write tables or the whole shop database to files, also while the app runs"
    )
    export.add_argument(
        "target",
        type=Path,
        metavar="DIR|FILE",
        help="a folder for all, or a file: .csv .json .jsonl .jsonl.gz; - writes one table or the whole to"
        " standard output",
    )
    export.add_argument(
        "--table",
        action="append",
        choices=("jobs", "readings", "moves", "teardowns", "book"),
        help="only this",
    )
    export.add_argument("--format", action="append", choices=("csv", "json"), help="only this (default both)")
    for option, words in (("--since", "first day"), ("--until", "last day")):
        export.add_argument(option, type=_day, metavar="DAY", help=f"{words}, YYYY-MM-DD, UTC")
    bring = commands.add_parser("import", help="import the records of an exported file")
    bring.add_argument(
        "file",
        type=Path,
        metavar="FILE",
        help="an exported database or a phone's export; may be packed by gzip; - reads standard input",
    )
    bring.add_argument(
        "--erase",
        action="store_true",
        help="let customers erased in the file be erased in jobs that are here",
    )
    erase = commands.add_parser("erase", help="erase a customer from jobs: words go, figures stay")
    erase.add_argument("jobs", metavar="JOB", nargs="+", help="id of a job, as exported tables have it")
    erase.add_argument("--visits", action="store_true", help="the other jobs of the same cars too")
    erase.add_argument("--car", default="", metavar="NAME", help="what the car is called from then on")
    erase.add_argument("--yes", action="store_true", help="do it; without this it only shows what would go")
    for command in (pair, backup, restore, export, bring, erase):
        command.add_argument("--data", type=Path, metavar="DIR", help="folder of the shop database")

    public = commands.add_parser("site", help="write a public copy of the app for a static web host")
    public.add_argument(
        "folder", type=Path, metavar="DIR", help="a new or empty folder, or one that this command has written"
    )
    commands.add_parser("schema", help="print the OpenAPI document")
    return top


def _port(text: str) -> int:
    """A port as an option has it."""
    number = int(text) if text.isascii() and text.isdigit() else -1
    if not 0 <= number <= 65535:
        raise argparse.ArgumentTypeError(f"a port is from 0 to 65535, got {text}")
    return number


def _name(text: str) -> str:
    from ..lan.names import is_name

    if not is_name(text.lower()):
        raise argparse.ArgumentTypeError(f"expected a host name such as shop.lan, got {text}")
    return text.lower()


def _address(text: str) -> str:
    parts = urlsplit(text)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path not in ("", "/"):
        raise argparse.ArgumentTypeError(f"expected an address such as https://shop.example/, got {text}")
    return text.rstrip("/") + "/"


def _serve(parser: argparse.ArgumentParser) -> None:
    """Add what ``serve`` may be told."""
    add = parser.add_argument
    add("--port", type=_port, default=PORT, help="port, 0 takes a free one (default %(default)s)")
    add(
        "--data",
        type=Path,
        metavar="DIR",
        help="folder of the shop database (default: one of the user's own)",
    )
    add(
        "--copies",
        type=Path,
        metavar="DIR",
        help="folder of the daily copies, best on another disk (default: in the folder of the shop database)",
    )
    add("--demo", action="store_true", help="offer the demo jobs of Slipway Garage")
    add("--no-browser", action="store_true", help="do not open a browser")
    add("--name", type=_name, help="a host name that the network knows this machine by")
    add("--no-mdns", action="store_true", help="do not announce a name on the network")
    add("--helper-port", type=_port, help="port of the help page (default: the one after --port)")
    add("--local-port", type=_port, help="port for this PC's own browser (default: two after --port)")
    add("--no-helper", action="store_true", help="no help page")
    add("--cert", type=Path, metavar="FILE", help="a certificate from elsewhere, in PEM form; needs --key")
    add("--key", type=Path, metavar="FILE", help="the key of --cert")
    add("--allow-host", action="append", default=[], metavar="NAME", help="answer to this host name too")
    add("--address", type=_address, metavar="URL", help="where devices reach this server")
    add("--http", action="store_true", help="plain HTTP on this machine's loopback address")
    add("--behind-proxy", action="store_true", help="the same, for a proxy that does HTTPS; needs --address")
