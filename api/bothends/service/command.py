"""The command line: what there is besides ``bothends serve``, and which module does it.

A command imports what it needs when it is given: the web framework alone takes longer to load than most commands
take to run.
"""

import argparse
import sys
from collections.abc import Sequence

from .cli.home import data_home, demo_home
from .cli.options import parser
from .cli.outcome import BAD_INPUT, CUT_OFF, INTERRUPTED, failed
from .cli.service_unit import unit
from .cli.start import start
from .cli.stream import close_quietly, progress, readable
from .lan import private

__all__ = ["main", "parser"]

OWN = ("backup", "demo", "erase", "import", "pair", "restore")
"""Commands whose files hold the shop's data and are its owner's alone; serve sees to that itself."""


def _doctor(options: argparse.Namespace) -> int:
    from .cli.doctor import findings, report

    if bool(options.cert) != bool(options.key):
        return failed("--cert and --key go together; give both or neither", BAD_INPUT)
    found = findings(
        options.data or data_home(),
        options.port,
        (options.name,) if options.name else (),
        (options.cert, options.key) if options.cert else None,
        options.copies,
    )
    print(report(found, as_json=options.json))
    return int(any(one.state == "wrong" for one in found))


def _unit(options: argparse.Namespace) -> int:
    # What it would be told is looked at by the very parser that will read it.
    parser().parse_args(["serve", *options.options])
    print(unit(options.system, options.options), end="")
    return 0


def _pair(options: argparse.Namespace) -> int:
    from .cli.pair import pair

    return pair(options)


def _backup(options: argparse.Namespace) -> int:
    from bothends.book.backup import BadCopyError, backup

    try:
        with progress("copying the shop database"):
            count = backup(options.data or data_home(), options.file)
    except (BadCopyError, OSError) as error:
        return failed(error)
    print(f"{options.file}: {count} records, checked")
    return 0


def _restore(options: argparse.Namespace) -> int:
    from bothends.book.backup import BadCopyError, restore
    from bothends.book.schema import UnfitBookError
    from bothends.book.store import BookInUseError

    try:
        with progress("restoring the shop database"):
            count = restore(options.data or data_home(), options.file)
    except (BadCopyError, BookInUseError, UnfitBookError, OSError) as error:
        return failed(error)
    print(
        f"{count} records restored; phones will send what came after."
        " The database that was there is kept beside it."
    )
    return 0


def _export(options: argparse.Namespace) -> int:
    from .cli.filing import FORMATS, take_out

    return take_out(
        options.data or data_home(),
        options.target,
        tables=options.table,
        formats=options.format or list(FORMATS),
        since=options.since or "",
        until=options.until or "",
    )


def _erase(options: argparse.Namespace) -> int:
    from .cli.erase import erase

    return erase(options)


def _import(options: argparse.Namespace) -> int:
    from .cli.filing import bring_in

    return bring_in(options.data or data_home(), options.file, erase=options.erase)


def _demo(options: argparse.Namespace) -> int:
    from .cli.filing import fill_demo

    options.data = options.data or demo_home(data_home())
    if options.data.resolve() == data_home().resolve():
        return failed("--data: this is your own shop database; name another folder", BAD_INPUT)
    return fill_demo(options.data) or start(options)


def _site(options: argparse.Namespace) -> int:
    from .cli.site import site

    return site(options.folder)


def _solve(options: argparse.Namespace) -> int:
    from .cli.solve import solve

    return solve(options)


def _schema(_: argparse.Namespace) -> int:
    from .api.document import render
    from .app import create_app

    sys.stdout.buffer.write(render(create_app()))
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; the exit code, one of ``cli.outcome.EXITS``."""
    readable()
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
        "erase": _erase,
        "import": _import,
        "demo": _demo,
        "site": _site,
    }
    if options.command in OWN:
        private.from_now_on()
    try:
        code = work[options.command](options)
        # What cannot be written out is known here and not when Python ends.
        sys.stdout.flush()
    except BrokenPipeError:
        close_quietly()
        return CUT_OFF
    except KeyboardInterrupt:
        return INTERRUPTED
    return code


if __name__ == "__main__":
    sys.exit(main())
