"""Fetches the vendored interpreter again through npm, by package name, and checks it against README.md.

The table in README.md is the only place that names version and sums. Nothing is written when a sum differs.
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
    r"^\| `(?P<file>micropython\.\w+)` \|.*\| (?P<version>[\d.]+) \|.*\| `(?P<sum>[0-9a-f]{64})` \|$", re.M
)


def main() -> int:
    text = (HERE / "README.md").read_text(encoding="utf-8")
    rows = [match.groupdict() for match in ROW.finditer(text)]
    package = re.search(r"npm package `([^`]+)`", text)
    if not rows or package is None:
        print("README.md must keep its table of files and the package's name")
        return 2
    fetched = {}
    with tempfile.TemporaryDirectory() as folder:
        wanted = f"{package[1]}@{rows[0]['version']}"
        done = subprocess.run(
            ["npm", "pack", "--silent", wanted], cwd=folder, check=True, capture_output=True, text=True
        )
        with tarfile.open(Path(folder, done.stdout.strip().splitlines()[-1])) as archive:
            for row in rows:
                member = archive.extractfile("package/" + row["file"])
                fetched[row["file"]] = member.read() if member else b""
    for row in rows:
        came = hashlib.sha256(fetched[row["file"]]).hexdigest()
        if came != row["sum"]:
            print(f"{row['file']}: expected {row['sum']}, got {came}; nothing was changed")
            return 1
    for row in rows:
        (HERE / row["file"]).write_bytes(fetched[row["file"]])
        print(f"{row['file']} {row['version']} ok")
    return 0


if __name__ == "__main__":
    sys.exit(main())
