"""Fetches everything vendored here again through npm, by package name, and checks it against README.md.

The table in README.md is the only place that names packages, versions and sums. Nothing is written when a sum
differs. What is large is packed beside itself, since a server that packs it when asked takes a second.
"""

import hashlib
import re
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

import brotli

CUT = re.compile(
    r"^`(?P<file>\w+\.\w+)` is cut down to `(?P<exports>[\w, ]+)`\nby `esbuild` (?P<version>[\d.]+)"
    r" \(SHA-256 `(?P<sum>[0-9a-f]{64})`\)",
    re.M,
)
HERE = Path(__file__).parent
LARGE = 200_000
"""From so many bytes on a file is packed here."""
ROW = re.compile(
    r"^\| `(?P<file>\w+\.\w+)` \|.*\| (?P<version>[\d.]+) \| [A-Z]+ \| `(?P<package>[^`]+)` `(?P<path>[^`]+)`"
    r" \| `(?P<sum>[0-9a-f]{64})` \|$",
    re.M,
)


def fetch(package: str, paths: list[str]) -> list[bytes]:
    """Files of one version of a package."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            ["npm", "pack", "--silent", package], cwd=folder, check=True, capture_output=True, text=True
        )
        with tarfile.open(Path(folder, done.stdout.strip().splitlines()[-1])) as archive:
            members = [archive.extractfile("package/" + path) for path in paths]
            return [member.read() if member else b"" for member in members]


def cut(content: bytes, exports: str, version: str) -> bytes:
    """A module with only these exports and what they need, by esbuild of that version."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "whole.mjs").write_bytes(content)
        Path(folder, "entry.mjs").write_text(f'export {{ {exports} }} from "./whole.mjs";\n')
        command = ["npx", "--yes", f"esbuild@{version}", "entry.mjs", "--bundle", "--minify", "--format=esm"]
        return subprocess.run(command, cwd=folder, check=True, capture_output=True).stdout


def main() -> int:
    rows = [match.groupdict() for match in ROW.finditer((HERE / "README.md").read_text(encoding="utf-8"))]
    if not rows:
        print("README.md must keep its table of files")
        return 2
    packages: dict[str, list[dict[str, str]]] = {}
    for row in rows:
        packages.setdefault(f"{row['package']}@{row['version']}", []).append(row)
    fetched = {}
    for package, wanted in packages.items():
        for row, content in zip(wanted, fetch(package, [r["path"] for r in wanted]), strict=True):
            fetched[row["file"]] = content
            came = hashlib.sha256(content).hexdigest()
            if came != row["sum"]:
                print(f"{row['file']}: expected {row['sum']}, got {came}; nothing was changed")
                return 1
    for match in CUT.finditer((HERE / "README.md").read_text(encoding="utf-8")):
        name = match["file"]
        fetched[name] = cut(fetched[name], match["exports"], match["version"])
        came = hashlib.sha256(fetched[name]).hexdigest()
        if came != match["sum"]:
            print(f"{name}, cut down: expected {match['sum']}, got {came}; nothing was changed")
            return 1
    for row in rows:
        body = fetched[row["file"]]
        (HERE / row["file"]).write_bytes(body)
        if len(body) > LARGE:
            (HERE / (row["file"] + ".br")).write_bytes(brotli.compress(body, quality=11))
        print(f"{row['file']} {row['version']} ok")
    return 0


if __name__ == "__main__":
    sys.exit(main())
