"""What all tests share: a real server in a process of its own, and no proxy in the way to it.

And what the whole run shares: which tests are quick, in which order files are run, what this machine lacks.
"""

import os
import re
import signal
import sys
import tempfile
from collections.abc import Callable, Generator, Iterator
from pathlib import Path

import durations
import httpx
import hypothesis
import pytest
import tools
import warm
from tries import SHARES

# A busy machine is no failure: no time limits on generated cases.
hypothesis.settings.register_profile(
    "bothends", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
)
for _run, _count in SHARES.items():
    hypothesis.settings.register_profile(
        _run, hypothesis.settings.get_profile("bothends"), max_examples=_count
    )
hypothesis.settings.load_profile("whole")

for _name in ("NO_PROXY", "no_proxy"):
    os.environ[_name] = ",".join(filter(None, (os.environ.get(_name), "127.0.0.1", "localhost")))

# Nor any of five seconds on an answer, which is little for a plan while three processes test: httpx has all of its
# default from this object.
for _part in ("connect", "read", "write", "pool"):
    setattr(httpx._config.DEFAULT_TIMEOUT_CONFIG, _part, 60.0)

# Bytecode is kept, whatever the environment says: else every process that collects the tests, and every server and
# command that one starts, would compile all that it imports, which is most of what it does.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

HERE = Path(__file__).resolve().parent


def pytest_addoption(parser: pytest.Parser) -> None:
    """How long tests go on that could go on for ever."""
    parser.addoption(
        "--long",
        action="store_true",
        help="all of the kills, attacks, sizes, cars and cases that a run has else a share of",
    )
    parser.addoption(
        "--durations-kept", action="store_true", help="write what files take into tests/durations.json"
    )
    parser.addoption(
        "--power-cuts", type=int, help="power cuts of each kind (tests/service/test_power_cut.py)"
    )


NEVER_QUICK = ("browser", "shop")
SECONDS = {"browser": 2.0, "shop": 0.7, "service": 0.3}
"""Roughly what a test in each of these folders takes; of all others next to nothing. Only the order hangs on it, of
files that ``durations`` does not know."""
SLOW_SECONDS = 1.0
"""What a test marked slow takes, if the mark does not say it: ``slow(seconds=40)``."""


@pytest.fixture(scope="session")
def long(pytestconfig: pytest.Config) -> bool:
    """Whether what goes on for rounds is to go on for long; its short form is part of every run."""
    return bool(pytestconfig.getoption("--long"))


def folder(path: Path) -> str:
    """The folder that a test stands in: model, book, browser ...; api for examples in the code."""
    parts = path.relative_to(HERE.parent).parts
    return parts[1] if parts[0] == "tests" else parts[0]


def quick_only(config: pytest.Config) -> bool:
    """Whether this run is the fast lane."""
    return bool(config.option.markexpr == "quick")


def pytest_configure(config: pytest.Config) -> None:
    """Properties are tried on all their cases in a long run, on a share of them in others."""
    if config.getoption("--long"):
        hypothesis.settings.load_profile("long")
    elif quick_only(config):
        hypothesis.settings.load_profile("quick")
    if config.getoption("--durations-kept") and not hasattr(config, "workerinput"):
        slow = tuple(f"tests/{name}/" for name in NEVER_QUICK)
        config.pluginmanager.register(durations.Clock(alone=lambda test: not test.startswith(slow)))


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Do not even read in the fast lane what is not in it."""
    return True if quick_only(config) and collection_path in map(HERE.joinpath, NEVER_QUICK) else None


@pytest.hookimpl(wrapper=True)
def pytest_collect_file() -> Generator[None, list[pytest.Collector], list[pytest.Collector]]:
    """Look for examples in the code alone, which this is not asked about: there are none in tests/.

    So no process reads in benchmarks only to find nothing; ``test_suite`` reads each of them in once.
    """
    return [one for one in (yield) if type(one) is pytest.Module]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark what is quick, and run the files that take longest first: then no process works alone at the end.

    What is marked ``long`` is left to runs with that option; the mark says what every run has of it.
    """
    left = [item for item in items if item.get_closest_marker("long")]
    for item in left:
        if any(not mark.args for mark in item.iter_markers("long")):
            raise pytest.UsageError(f"{item.nodeid}: long() is to say what every run has of it, in words")
    if left and not config.getoption("--long"):
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in left]
    takes: dict[Path, float] = {}
    for item in items:
        where, slow = folder(item.path), item.get_closest_marker("slow")
        if slow is None and where not in NEVER_QUICK and not durations.not_quick(item.nodeid):
            item.add_marker(pytest.mark.quick)
        takes[item.path] = takes.get(item.path, 0.0) + (
            slow.kwargs.get("seconds", SLOW_SECONDS) if slow else SECONDS.get(where, 0.0)
        )
    takes.update({path: seconds for path, seconds in durations.known().items() if path in takes})
    items.sort(key=lambda item: -takes[item.path])


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """One process more than there are cores, for most tests wait now and then: a server ends, an arm lies still.

    What is quick waits for nothing, and a process more would only read in all tests once more.
    """
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return cores if quick_only(config) else cores + 1


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line what is missing here, where something was left out for it."""
    reasons = [str(report.longrepr) for report in terminalreporter.stats.get("skipped", [])]
    if line := tools.summary(reasons):
        terminalreporter.write_line(line, yellow=True)


class Served:
    """A running ``bothends serve`` on a free port; ``address`` ends without a slash.

    ``fresh`` has Python itself started for it (``warm`` says when that is to be seen).
    """

    def __init__(self, *options: str, env: dict[str, str] | None = None, fresh: bool = False) -> None:
        words = ["serve", "--http", "--port", "0", *options]
        # The log goes to a file: a pipe that nobody empties would stop the server when it is full.
        self._log = tempfile.TemporaryFile("w+")  # noqa: SIM115 (closed in stop)
        start = warm.fresh if fresh else warm.Process
        self.process = start(words, stderr=self._log, env={**os.environ, **(env or {})})
        self.said = ""
        for line in self.process.stdout or ():
            self.said += line
            if found := re.search(r"http://\S+?(?=/\.? )", line):
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

    def start(*options: str, env: dict[str, str] | None = None, fresh: bool = False) -> Served:
        started.append(Served(*options, env=env, fresh=fresh))
        return started[-1]

    yield start
    for running in started:
        if running.process.returncode is None:
            running.stop()


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top of the working copy."""
    return HERE.parent
