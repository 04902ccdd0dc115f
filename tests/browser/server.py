"""The real server as a process on a free port, for browser tests and pictures."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import packed

__all__ = ["program", "running"]

TESTS = str(Path(__file__).resolve().parents[1])
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")


def program() -> tuple[list[str], dict[str, str]]:
    """How ``bothends`` is started, and its environment.

    In a run of the tests it is the same command that does not pack again what another server has packed.
    """
    module = "packed" if packed.FOLDER in os.environ else "bothends.service.command"
    return [sys.executable, "-u", "-m", module], {**os.environ, "PYTHONPATH": TESTS}


@contextmanager
def running(folder: Path, *, demo: bool = True) -> Iterator[str]:
    """Start ``bothends serve`` on a free port and yield its address; stop it afterwards.

    Raises
    ------
    RuntimeError
        When the server ends, or says no address, with what it wrote.
    """
    log = folder / "server.log"
    command, env = program()
    words = ["serve", "--http", "--port", "0", "--no-browser", "--data", str(folder / "data")]
    if demo:
        words.append("--demo")
    with log.open("w") as out:
        process = subprocess.Popen(
            [*command, *words],
            env=env,
            stdout=subprocess.PIPE,
            stderr=out,
            text=True,
        )
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
