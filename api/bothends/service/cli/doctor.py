"""bothends doctor: looks at everything that a shop depends on, and says what to do where something is wrong.

Reads only: nothing is made, renewed or mended. Each look gives one finding.
"""

import shutil
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec

import bothends
from bothends.book import copies
from bothends.book.store import BOOK

from ..lan import private
from ..lan.authority import FOLDER, Authority, BadAuthorityError, load
from ..lan.certificate import CHAIN, RENEW_DAYS, BadCertificateError, given, unfit, wanted
from ..lan.names import present
from . import reach
from .finding import Finding

__all__ = ["findings", "report"]

NETWORK_KINDS = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "fuse.sshfs", "afs")
LITTLE_BYTES, NONE_BYTES = 2_000_000_000, 200_000_000
WARN_DAYS = 30
MADE = datetime(2026, 11, 1, tzinfo=UTC)
"""A clock that is behind the program itself is wrong."""


def findings(
    data: Path,
    port: int,
    extra: tuple[str, ...] = (),
    foreign: tuple[Path, Path] | None = None,
    copied: Path | None = None,
) -> list[Finding]:
    """Every look at a shop whose book is in ``data`` and whose app is on ``port``.

    Parameters
    ----------
    extra : names it was given
    foreign : certificate and key from elsewhere, where it is served with these
    copied : folder of the daily copies, where it was given one
    """
    out = [Finding("program", "ok", f"bothends {bothends.__version__}, Python {sys.version.split()[0]}")]
    if not data.is_dir():
        out.append(
            Finding("folder", "note", f"{data} is not there", "Start the app once; it makes the folder.")
        )
        return out
    looks: list[Callable[[], Iterator[Finding]]] = [
        lambda: _folder(data),
        lambda: _room(data),
        lambda: _book(data),
        lambda: _copies(data, copied or data / copies.FOLDER),
        lambda: _clock(data),
        (lambda: _foreign(*foreign)) if foreign else (lambda: _certificate(data, extra)),
        lambda: reach.names(data, extra),
        lambda: reach.ports(port, foreign[0] if foreign else data / FOLDER / CHAIN),
    ]
    for look in looks:
        try:
            out += look()
        except OSError as error:
            text = f"{error.filename or data}: {error.strerror or error}"
            out.append(Finding("folder", "wrong", text, "Give this user the folder and all in it."))
    return out


def _folder(data: Path) -> Iterator[Finding]:
    place = data / ".new-look"
    try:
        private.write(place, b"")
        place.unlink()
        yield Finding("folder", "ok", f"{data} can be written")
    except OSError as error:
        yield Finding("folder", "wrong", f"{data}: {error.strerror}", "Give this user the folder.")
    if private.open_to_others(data):
        yield Finding("folder", "note", "others on this machine may read it", f"Run: chmod 700 {data}")
    kind = _file_system(data)
    if kind in NETWORK_KINDS:
        yield Finding(
            "folder",
            "wrong",
            f"it lies on a network share ({kind}), where SQLite may lose data",
            "Move it to a disk of this machine, with --data.",
        )


def _file_system(path: Path) -> str:
    """The kind of file system, where the system tells; else ""."""
    table = Path("/proc/mounts")
    if not table.exists():
        return ""
    path = path.resolve()
    rows = [line.split() for line in table.read_text(encoding="utf-8", errors="replace").splitlines()]
    holding = [(len(row[1]), row[2]) for row in rows if path.is_relative_to(row[1])]
    return max(holding, default=(0, ""))[1]


def _room(data: Path) -> Iterator[Finding]:
    free = shutil.disk_usage(data).free
    text = f"{free / 1e9:.1f} GB free"
    if free < NONE_BYTES:
        yield Finding("room", "wrong", text, "Make room: until then phones keep what they cannot send.")
    else:
        yield Finding(
            "room",
            "note" if free < LITTLE_BYTES else "ok",
            text,
            "Make room soon." if free < LITTLE_BYTES else "",
        )


def _book(data: Path) -> Iterator[Finding]:
    path = data / BOOK
    if not path.exists():
        yield Finding("database", "note", "there is none yet", "Start the app once.")
        return
    try:
        with closing(sqlite3.connect(path, timeout=10)) as book:
            book.execute("PRAGMA query_only = ON")
            said = [row[0] for row in book.execute("PRAGMA quick_check(3)")]
            count = book.execute("SELECT count(*) FROM entries").fetchone()[0]
    except sqlite3.Error as error:
        said, count = [str(error)], 0
    if said == ["ok"]:
        yield Finding("database", "ok", f"{count} records, sound")
    else:
        remedy = (
            "Stop the app and put a copy back with bothends restore; phones send again what came after it."
        )
        yield Finding("database", "wrong", "; ".join(said), remedy)


def _copies(data: Path, folder: Path) -> Iterator[Finding]:
    if not (data / BOOK).exists():
        return
    newest = copies.last(folder)
    if newest is None:
        remedy = "One is made a day while the app runs; bothends backup FILE makes one now."
        yield Finding("copies", "note", f"there is none in {folder}", remedy)
        return
    text = f"the last good one is of {newest.at:%Y-%m-%d %H:%M} UTC"
    if datetime.now(UTC) - newest.at > timedelta(days=copies.OLD_DAYS):
        yield Finding("copies", "note", text, "Leave the app running for some minutes; it makes one.")
    else:
        yield Finding("copies", "ok", text)


def _clock(data: Path) -> Iterator[Finding]:
    now = datetime.now(UTC)
    newest = MADE
    if (data / BOOK).exists():
        try:
            with closing(sqlite3.connect(data / BOOK, timeout=10)) as book:
                last = book.execute("SELECT max(received) FROM entries").fetchone()[0]
            newest = max(newest, datetime.fromisoformat(last).astimezone(UTC)) if last else newest
        except (sqlite3.Error, ValueError):
            pass
    if now < newest - timedelta(minutes=5):
        text = f"it says {now:%Y-%m-%d %H:%M} UTC, and something was written at {newest:%Y-%m-%d %H:%M}"
        yield Finding("clock", "wrong", text, "Set it; certificates depend on it. No data is lost.")
    else:
        yield Finding("clock", "ok", f"{now:%Y-%m-%d %H:%M} UTC")


def _signer(data: Path) -> Authority | None:
    folder = data / FOLDER
    pem, key = folder / "authority.pem", folder / "authority.key"
    return load(pem, key) if pem.exists() or key.exists() else None


def _certificate(data: Path, extra: tuple[str, ...]) -> Iterator[Finding]:
    try:
        signer = _signer(data)
    except BadAuthorityError as error:
        yield Finding("authority", "wrong", str(error))
        return
    if signer is None:
        yield Finding("authority", "note", "there is none yet", "Start the app once, without --http.")
        return
    now = datetime.now(UTC)
    ends = signer.certificate.not_valid_after_utc
    text = f"fingerprint (SHA-256) {signer.fingerprint}, until {ends:%Y-%m-%d}"
    if ends - now < timedelta(days=365):
        remedy = f"Remove {data / FOLDER} when it suits: a new one is made, and every device trusts it anew."
        yield Finding("authority", "wrong" if ends < now else "note", text, remedy)
    else:
        yield Finding("authority", "ok", text)
    for name in ("authority.key", "server.key"):
        key = data / FOLDER / name
        if key.exists() and private.open_to_others(key):
            yield Finding("authority", "wrong", f"others may read {name}", f"Run: chmod 600 {key}")
    names = present(data, extra)
    good = [name for name in wanted(names) if signer.may_certify(name)]
    folder = data / FOLDER
    why, last = unfit(folder / CHAIN, folder / "server.key", signer, good, now)
    if why:
        remedy = "Start the app again; it makes a new one. A running app does so within five minutes."
        yield Finding("certificate", "note", why, remedy)
    else:
        text = f"valid until {last:%Y-%m-%d}, renewed {RENEW_DAYS} days before, for {', '.join(good)}"
        yield Finding("certificate", "ok", text)


def _foreign(chain: Path, key: Path) -> Iterator[Finding]:
    try:
        shown = given(chain, key)
    except BadCertificateError as error:
        yield Finding("certificate", "wrong", str(error), "Serve with a pair that fits, or without --cert.")
        return
    left = (shown.ends - datetime.now(UTC)).days
    text = f"valid until {shown.ends:%Y-%m-%d}, for {', '.join(shown.names) or 'names with an asterisk'}"
    remedy = f"Renew it; a running app takes what is put in the place of {chain}."
    yield (
        Finding("certificate", "note", text, remedy)
        if left < WARN_DAYS
        else Finding("certificate", "ok", text)
    )
    if private.open_to_others(key):
        yield Finding("certificate", "wrong", f"others may read {key}", f"Run: chmod 600 {key}")


def report(found: list[Finding], *, as_json: bool) -> str:
    """The findings for the console."""
    if as_json:
        return msgspec.json.format(msgspec.json.encode(found), indent=2).decode()
    lines = []
    for one in found:
        lines.append(f"{one.state:<5} {one.about}: {one.text}")
        if one.remedy:
            lines.append(f"      {one.remedy}")
    return "\n".join(lines)
