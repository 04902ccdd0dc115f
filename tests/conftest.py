"""What all tests share: a real server in a process of its own, and no proxy in the way to it."""

import os
import re
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import hypothesis
import pytest

# A busy machine is no failure: no time limits on generated cases.
hypothesis.settings.register_profile(
    "bothends", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
)
hypothesis.settings.load_profile("bothends")

for _name in ("NO_PROXY", "no_proxy"):
    os.environ[_name] = ",".join(filter(None, (os.environ.get(_name), "127.0.0.1", "localhost")))


class Served:
    """A running ``bothends serve`` on a free port; ``address`` ends without a slash."""

    def __init__(self, *options: str, env: dict[str, str] | None = None) -> None:
        command = [
            sys.executable,
            "-m",
            "bothends.service.command",
            "serve",
            "--http",
            "--port",
            "0",
            *options,
        ]
        # The log goes to a file: a pipe that nobody empties would stop the server when it is full.
        self._log = tempfile.TemporaryFile("w+")  # noqa: SIM115 (closed in stop)
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=self._log, text=True, env={**os.environ, **(env or {})}
        )
        self.said = ""
        for line in self.process.stdout or ():
            self.said += line
            if found := re.search(r"http://\S+?(?=/ )", line):
                self.address = found[0]
                return
        self.stop()
        raise RuntimeError(f"the server did not start:\n{self.said}")

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Send a signal; the exit code. ``said`` then holds all output."""
        self.process.send_signal(number)
        rest, _ = self.process.communicate(timeout=20)
        self._log.seek(0)
        self.said += rest + self._log.read()
        self._log.close()
        return self.process.returncode


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One server with the demo jobs for the whole run; tests that change anything start their own."""
    running = Served("--demo", "--no-browser", "--data", str(tmp_path_factory.mktemp("book")))
    try:
        yield running
    finally:
        running.stop()


@pytest.fixture
def serve() -> Iterator[Callable[..., Served]]:
    """Start servers of a test's own, with the options given; they are stopped at its end."""
    started: list[Served] = []

    def start(*options: str, env: dict[str, str] | None = None) -> Served:
        started.append(Served(*options, env=env))
        return started[-1]

    yield start
    for running in started:
        if running.process.returncode is None:
            running.stop()


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top of the working copy."""
    return Path(__file__).resolve().parent.parent
