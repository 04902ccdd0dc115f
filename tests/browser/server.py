"""The real server as a process on a free port, for browser tests and pictures."""

import os
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import packed
import warm

__all__ = ["program", "running", "start"]

TESTS = str(Path(__file__).resolve().parents[1])
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")


def program() -> tuple[list[str], dict[str, str]]:
    """How ``bothends`` is started, and its environment.

    In a run of the tests it is the same command that does not pack again what another server has packed.
    """
    return [sys.executable, "-u", "-m", _module()], {**os.environ, "PYTHONPATH": TESTS}


def _module() -> str:
    return "packed" if packed.FOLDER in os.environ else warm.COMMAND


def start(
    words: Sequence[str], errors: IO[str] | None = None, env: dict[str, str] | None = None
) -> warm.Process:
    """Start it at once with these words, its errors into a file if one is given, in this environment too."""
    return warm.Process(words, stderr=errors, module=_module(), env={**os.environ, **(env or {})})


@contextmanager
def running(folder: Path, *, demo: bool = True) -> Iterator[str]:
    """Start ``bothends serve`` on a free port and yield its address; stop it afterwards.

    Raises
    ------
    RuntimeError
        When the server ends, or says no address, with what it wrote.
    """
    log = folder / "server.log"
    words = ["serve", "--http", "--port", "0", "--no-browser", "--data", str(folder / "data")]
    if demo:
        words.append("--demo")
    with log.open("w") as out:
        process = start(words, out, {packed.LASTING: "yes"})
        try:
            assert process.stdout is not None
            # It may say more before its address, such as a pairing code; when it ends, so do its lines.
            found = next((hit for line in process.stdout if (hit := ADDRESS.search(line))), None)
            if found is None:
                raise RuntimeError(f"the server gave no address: {log.read_text()}")
            yield found[0]
        finally:
            process.terminate()
            process.wait(timeout=20)
            if process.stdout is not None:
                process.stdout.close()
