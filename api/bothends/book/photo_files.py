"""Photos as files beside an exported book, for people and for the way back: DAY TITLE, SHOWS SIDE, SUM.jpg.

What a file is called is for people; which photo it is its content says. Functions of an open database, run by
``store``; the folder is the caller's.
"""

import base64
import binascii
import hashlib
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import msgspec
from sqlite_utils import Database

from . import photos

__all__ = ["FOLDER", "bring_in", "in_object", "read", "write"]

FOLDER = "photos"
"""Name of the folder beside an exported book."""
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}
UNFIT = re.compile(r"[^\w .,()-]+")
SHORT = 60


def write(db: Database, folder: Path, *, jobs: list[str] | None = None) -> int:
    """Write photos that are here and count to a folder, which is made where there are any; how many."""
    count = 0
    for name, kind, said in photos.names(db, jobs):
        row = db.execute("SELECT title FROM job_sheets WHERE job = ?", [said["job"]]).fetchone()
        found = photos.found(db, name)
        if found is None:
            continue
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / f"{_words(said, row[0] if row else '')}, {name[:12]}.{ENDINGS[kind]}"
        part = target.with_name(target.name + ".part")
        part.write_bytes(found[1])
        part.replace(target)
        count += 1
    return count


def read(folder: Path) -> Iterable[bytes]:
    """Images of a folder; what is larger than a photo may be is left out."""
    if folder.is_dir():
        for path in sorted(folder.iterdir()):
            ours = path.suffix[1:].lower() in (*ENDINGS.values(), "jpeg")
            if ours and path.is_file() and 0 < path.stat().st_size <= photos.BYTES:
                yield path.read_bytes()


def in_object(whole: bytes) -> Iterable[bytes]:
    """Photos inside a phone's exported file, the layout of one object; none where it is another or has none."""
    try:
        log = msgspec.json.decode(whole)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return
    given = log.get("photos") if isinstance(log, dict) else None
    for one in given if isinstance(given, list) else []:
        data = one.get("data") if isinstance(one, dict) else None
        try:
            yield base64.b64decode(data, validate=True) if isinstance(data, str) else b""
        except (binascii.Error, ValueError):
            continue


def bring_in(
    write: Callable[[Callable[[Database], Any]], Any], images: Iterable[bytes]
) -> tuple[int, int, str]:
    """Take images that records of the book name; how many are new, how many were not taken, and why the last one.

    Images that no record names are passed by.
    """
    new = refused = 0
    why = ""
    for data in images:
        name = hashlib.sha256(data).hexdigest()

        def take(db: Database, name: str = name, data: bytes = data) -> bool:
            return bool(photos.entries_of(db, name)) and photos.whole(db, data)

        try:
            new += write(take)
        except photos.PhotoError as error:
            refused, why = refused + 1, error.detail
    return new, refused, why


def _words(said: dict[str, Any], title: str) -> str:
    what = " ".join(str(said[part]) for part in ("shows", "side") if said.get(part))
    return (
        f"{said['at'][:10]} {UNFIT.sub('_', title)[:SHORT].strip() or 'job'}, {UNFIT.sub('_', what)[:SHORT]}"
    )
