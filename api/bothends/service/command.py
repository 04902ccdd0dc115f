"""The command line: what there is besides ``bothends serve``, and which module does it.

Owns options, exit codes and what goes to which stream. A command imports what it needs when it is given: the web
framework alone takes longer to load than most commands take to run.
"""

import argparse
import sqlite3
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import msgspec

import bothends
from bothends.model.problem import ModelProblem

from .start import BAD_INPUT, PORT, code_words, port_number, serve_options, start, unreadable
from .unit import SYSTEMS, unit

__all__ = ["main", "parser"]

DEMO_PORT = 8632
"""Another one: to a browser the port belongs to the name, and what it keeps for the one stays apart."""


def _day(text: str) -> str:
    return datetime.strptime(text, "%Y-%m-%d").date().isoformat()


def parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    top = argparse.ArgumentParser(
        prog="bothends",
        description="Rear ride height of torsion-bar cars: readings in, teeth and chance out.",
    )
    top.add_argument("--version", action="version", version=f"bothends {bothends.__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    serve = commands.add_parser("serve", help="run the app (what bothends does without a command)")
    serve_options(serve)

    demo = commands.add_parser(
        "demo", help="serve a simulated season of Slipway Garage, from a database of its own"
    )
    serve_options(demo)
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
    look.add_argument("--port", type=port_number, default=PORT, help="port of the app (default %(default)s)")
    look.add_argument("--name", help="the name that serve is given, if any")
    look.add_argument("--cert", type=Path, metavar="FILE", help="the certificate that serve is given, if any")
    look.add_argument("--key", type=Path, metavar="FILE", help="the key of --cert")
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
        help="a folder for all, or a file: .csv .json .jsonl .jsonl.gz",
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
        help="an exported database or a phone's export; may be packed by gzip",
    )
    for command in (pair, backup, restore, export, bring):
        command.add_argument("--data", type=Path, metavar="DIR", help="folder of the shop database")

    commands.add_parser("schema", help="print the OpenAPI document")
    return top


def _doctor(options: argparse.Namespace) -> int:
    from .doctor import findings, report
    from .serving import data_home

    if bool(options.cert) != bool(options.key):
        print("bothends: --cert and --key go together; give both or neither", file=sys.stderr)
        return BAD_INPUT
    found = findings(
        options.data or data_home(),
        options.port,
        (options.name,) if options.name else (),
        (options.cert, options.key) if options.cert else None,
    )
    print(report(found, as_json=options.json))
    return int(any(one.state == "wrong" for one in found))


def _unit(options: argparse.Namespace) -> int:
    # What it would be told is looked at by the very parser that will read it.
    parser().parse_args(["serve", *options.options])
    print(unit(options.system, options.options), end="")
    return 0


def _pair(options: argparse.Namespace) -> int:
    from bothends.book import devices
    from bothends.book.store import BOOK, BookInUseError, visit

    from .serving import data_home

    data = options.data or data_home()
    if not (data / BOOK).exists():
        print(f"bothends: there is no shop database in {data} yet; start the app once", file=sys.stderr)
        return BAD_INPUT
    try:
        print(code_words(*visit(data, devices.new_code)), flush=True)
    except BookInUseError as error:
        print(f"bothends: {error}", file=sys.stderr)
        return 1
    except sqlite3.DatabaseError as error:
        unreadable(data, error)
        return 1
    return 0


def _backup(options: argparse.Namespace) -> int:
    from bothends.book.backup import BadCopyError, backup

    from .serving import data_home

    try:
        count = backup(options.data or data_home(), options.file)
    except (BadCopyError, OSError) as error:
        print(f"bothends: {error}", file=sys.stderr)
        return 1
    print(f"{options.file}: {count} records, checked")
    return 0


def _restore(options: argparse.Namespace) -> int:
    from bothends.book.backup import BadCopyError, restore
    from bothends.book.schema import NewerBookError
    from bothends.book.store import BookInUseError

    from .serving import data_home

    try:
        count = restore(options.data or data_home(), options.file)
    except (BadCopyError, BookInUseError, NewerBookError, OSError) as error:
        print(f"bothends: {error}", file=sys.stderr)
        return 1
    print(
        f"{count} records restored; phones will send what came after."
        " The database that was there is kept beside it."
    )
    return 0


def _export(options: argparse.Namespace) -> int:
    from .filing import FORMATS, take_out
    from .serving import data_home

    return take_out(
        options.data or data_home(),
        options.target,
        tables=options.table,
        formats=options.format or list(FORMATS),
        since=options.since or "",
        until=options.until or "",
    )


def _import(options: argparse.Namespace) -> int:
    from .filing import bring_in
    from .serving import data_home

    return bring_in(options.data or data_home(), options.file)


def _demo(options: argparse.Namespace) -> int:
    from .filing import demo_home, fill_demo
    from .serving import data_home

    options.data = options.data or demo_home(data_home())
    if options.data.resolve() == data_home().resolve():
        print("bothends: --data: this is your own shop database; name another folder", file=sys.stderr)
        return BAD_INPUT
    return fill_demo(options.data) or start(options)


def _bad(file: str, detail: str, path: object, remedy: object = None) -> int:
    place = f", at {path}" if isinstance(path, str) else ""
    advice = f". {remedy}" if isinstance(remedy, str) else ""
    print(f"bothends: {file}: {detail}{place}{advice}", file=sys.stderr)
    return BAD_INPUT


def _solve(options: argparse.Namespace) -> int:
    from .answer import plan
    from .bodies import decode
    from .problems import Refusal
    from .request import SolveRequest
    from .sheet import brief, sheet

    try:
        body = sys.stdin.buffer.read() if options.file == "-" else Path(options.file).read_bytes()
    except OSError as error:
        return _bad(options.file, str(error.strerror), None)
    try:
        decode(body, SolveRequest)
        request = msgspec.json.decode(body)
        if options.units == "inch":
            # The sentences are the model's; it writes the figures in them.
            request["units"] = options.units
        answer = plan(request)
    except Refusal as refusal:
        problem = refusal.problem
        return _bad(options.file, problem.detail, problem.path, problem.remedy)
    except ModelProblem as problem:
        return _bad(options.file, problem.detail, problem.path)
    if options.json:
        print(msgspec.json.format(msgspec.json.encode(answer), indent=2).decode())
    elif options.brief:
        print(brief(answer), end="")
    else:
        print(sheet(answer, request, inches=options.units == "inch"), end="")
    return 0


def _schema(_: argparse.Namespace) -> int:
    from .app import create_app
    from .document import render

    sys.stdout.buffer.write(render(create_app()))
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; the exit code: 0 done, 1 failed, 2 the input or the options were wrong."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if not given or (given[0].startswith("-") and given[0] not in ("-h", "--help", "--version")):
        given.insert(0, "serve")
    options = parser().parse_args(given)
    work = {
        "serve": start,
        "solve": _solve,
        "doctor": _doctor,
        "service-unit": _unit,
        "pair": _pair,
        "backup": _backup,
        "restore": _restore,
        "schema": _schema,
        "export": _export,
        "import": _import,
        "demo": _demo,
    }
    return work[options.command](options)


if __name__ == "__main__":
    sys.exit(main())
