"""What a program did to a folder, by strace, and the disk as a power cut may have left it at any moment.

A file's content is what it was at its last fsync, and any part of what was written since, the last of it perhaps
torn at a sector. Names are what they were at the folder's last fsync, and any first part of what was renamed, made
or removed since, in that order, as a file system's journal keeps it. What SQLite maps into memory (the index of its
log) is never on the disk.
"""

import random
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

__all__ = ["Disk", "answered", "command", "steps", "usable"]

SECTOR = 512
CALLS = (
    "pwrite64,write,sendto,ftruncate,truncate,fallocate,fsync,fdatasync,openat,"
    "rename,renameat,renameat2,link,linkat,unlink,unlinkat"
)
FASTER: list[str] = []
"""Options that this machine allows."""
KEPT = 200_000
"""Bytes of one write that strace writes down: more than a page, less than any answer here."""

LINE = re.compile(r"^(\d+)\s+(.*)$")
CALL = re.compile(r"^(\w+)\((.*)\)\s+= (-?\d+|\?)")
TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?')
PLACE = re.compile(r"<((?:\\x[0-9a-f]{2}|[^<>])*)>")
SAID = re.compile(rb'"status":"(?:stored|known)"')
ID = re.compile(rb"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}")


def command(trace: Path, *words: str) -> list[str]:
    """A command, watched."""
    watch = ["strace", "-f", *FASTER, "-qq", "-yy", "-xx", "-s", str(KEPT), "-e", f"trace={CALLS}"]
    return [*watch, "-o", str(trace), *words]


def usable(trace: Path) -> bool:
    """Whether strace may watch programs here; containers may forbid it, or only what makes it faster."""
    for faster in (["--seccomp-bpf"], []):
        FASTER[:] = faster
        if (
            subprocess.run(command(trace, "true"), capture_output=True).returncode == 0
            and trace.stat().st_size
        ):
            return True
    return False


def _bytes(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))


def _path(text: str) -> str:
    """The path beside a file's number, as strace writes it; "" for what is no file."""
    return _bytes(text).decode() if text.startswith("\\x2f") else ""


def _whole(trace: Path) -> Iterator[str]:
    """Calls in the order in which they ended: one that another thread's came into stands in two lines."""
    begun: dict[str, str] = {}
    with trace.open(encoding="ascii", errors="replace") as lines:
        for line in lines:
            found = LINE.match(line.rstrip("\n"))
            if not found:
                continue
            thread, said = found.groups()
            if said.endswith("<unfinished ...>"):
                begun[thread] = said.removesuffix("<unfinished ...>").rstrip()
            elif said.startswith("<... "):
                rest = said.split(" resumed>", 1)[1]
                yield begun.pop(thread, "") + rest
            else:
                yield said


def steps(trace: Path) -> Iterator[tuple]:
    """What was done, in order.

    ("write", path, offset or None for the end, bytes), ("size", path, n), ("sync", path), ("made", path),
    ("moved", path, path), ("linked", path, path), ("gone", path), and ("said", bytes) to whoever asked.
    """
    for line in _whole(trace):
        found = CALL.match(line)
        if not found or found[3].startswith("-") or found[3] == "?":
            continue
        name, given = found[1], found[2]
        texts = [_bytes(one[0]) for one in TEXT.findall(given)]
        place = PLACE.search(given)
        path = _path(place[1]) if place else ""
        if name == "sendto" or (name == "write" and not path):
            yield "said", texts[0] if texts else b""
        elif name in ("write", "pwrite64") and path:
            at = int(given.rsplit(",", 1)[1]) if name == "pwrite64" else None
            data = texts[0][: int(found[3])]
            assert len(data) == int(found[3]), f"strace kept {len(data)} bytes of {found[3]}"
            yield "write", path, at, data
        elif name == "ftruncate":
            yield "size", path, int(given.rsplit(",", 1)[1])
        elif name in ("fsync", "fdatasync"):
            yield "sync", path
        elif name == "openat":
            made = texts[0].decode()
            if "O_CREAT" in given or "O_TRUNC" in given:
                yield "made", made, "O_TRUNC" in given
        elif name.startswith("rename"):
            yield "moved", texts[0].decode(), texts[1].decode()
        elif name.startswith("link"):
            yield "linked", texts[0].decode(), texts[1].decode()
        elif name.startswith("unlink"):
            yield "gone", texts[0].decode()


def answered(said: bytes) -> list[str]:
    """Ids of the records that an answer says are stored."""
    rows = [row for row in re.split(rb"(?<=\})", said) if SAID.search(row)]
    return [one.decode() for row in rows for one in ID.findall(row)[:1]]


class _File:
    """What is surely there, and what was done since."""

    def __init__(self, content: bytes = b"") -> None:
        self.sure = bytearray(content)
        self.since: list[tuple[int, bytes] | int] = []
        self.size = len(content)
        self.end = 0

    def write(self, at: int | None, data: bytes) -> None:
        at = self.end if at is None else at
        self.end = at + len(data)
        self.size = max(self.size, self.end)
        self.since.append((at, data))

    def cut(self, size: int) -> None:
        self.size = self.end = size
        self.since.append(size)

    def sync(self) -> None:
        for one in self.since:
            _do(self.sure, one)
        self.since.clear()

    def after(self, chance: random.Random, share: float) -> bytes:
        """The content after a cut, with so large a share of what was not yet sure."""
        content = bytearray(self.sure)
        last = len(self.since) - 1
        for number, one in enumerate(self.since):
            if chance.random() >= share:
                continue
            if number == last and isinstance(one, tuple) and chance.random() < 0.5:
                whole = len(one[1]) // SECTOR
                one = one[0], one[1][: SECTOR * chance.randint(0, whole)]
            _do(content, one)
        return bytes(content)


def _do(content: bytearray, what: tuple[int, bytes] | int) -> None:
    if isinstance(what, int):
        content.extend(bytes(max(0, what - len(content))))
        del content[what:]
        return
    at, data = what
    content.extend(bytes(max(0, at - len(content))))
    content[at : at + len(data)] = data


def _set(names: dict[str, _File], path: str, file: _File | None) -> None:
    if file is None:
        names.pop(path, None)
    else:
        names[path] = file


class Disk:
    """Files below one folder, from what was surely there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._names = {
            str(path): _File(path.read_bytes())
            for path in folder.rglob("*")
            if path.is_file() and not path.name.endswith("-shm")
        }
        self._gone: dict[str, _File] = {}
        self._sure = dict(self._names)
        self._since: list[tuple[str, _File | None]] = []

    def _ours(self, path: str) -> bool:
        return path.startswith(f"{self.folder}/") and not path.endswith("-shm")

    def do(self, step: tuple) -> bool:
        """Take in one step; whether it can have changed what a cut leaves."""
        kind, path = step[0], step[1]
        if kind == "said":
            return False
        if kind == "sync" and Path(path).is_dir():
            self._sync(path)
            return True
        if not self._ours(path):
            return False
        file = self._names.get(path) or self._gone.get(path.removesuffix(" (deleted)"))
        if kind == "made":
            self._make(path, cut=step[2])
        elif kind == "moved":
            if file is None:
                return False
            self._name(path, None)
            self._name(step[2], file)
        elif kind == "linked":
            self._name(step[2], file)
        elif kind == "gone":
            if file is not None:
                self._gone[path] = file
            self._name(path, None)
        elif file is not None:
            {"write": file.write, "size": file.cut, "sync": file.sync}[kind](*step[2:])
        return True

    def _sync(self, folder: str) -> None:
        """The names in one folder are sure."""
        rest = []
        for one in self._since:
            if str(Path(one[0]).parent) == folder:
                _set(self._sure, *one)
            else:
                rest.append(one)
        self._since = rest

    def _make(self, path: str, *, cut: bool) -> None:
        file = self._names.get(path)
        if file is None:
            self._name(path, _File())
        elif cut:
            file.cut(0)
        else:
            file.end = 0

    def _name(self, path: str, file: _File | None) -> None:
        _set(self._names, path, file)
        self._since.append((path, file))

    def cut(self, target: Path, chance: random.Random) -> None:
        """Write the disk as a power cut at this moment may leave it, to another folder."""
        names = dict(self._sure)
        some = chance.choice((0, len(self._since), chance.randint(0, len(self._since))))
        for path, file in self._since[:some]:
            _set(names, path, file)
        share = chance.choice((0.0, 0.5, 0.9, 1.0))
        for path, file in names.items():
            place = target / Path(path).relative_to(self.folder)
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(file.after(chance, share))
