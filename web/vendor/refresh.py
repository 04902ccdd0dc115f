"""Fetches everything vendored here again through npm, by package name, and checks it against README.md.

The table in README.md is the only place that names packages, versions and sums. Nothing is written when a sum
differs.
"""

import hashlib
import re
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
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
    for row in rows:
        (HERE / row["file"]).write_bytes(fetched[row["file"]])
        print(f"{row['file']} {row['version']} ok")
    return 0


if __name__ == "__main__":
    sys.exit(main())
