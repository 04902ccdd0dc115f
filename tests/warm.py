"""Processes of ``bothends`` that start at once: forked from one that has read in all of the code and done nothing.

A start takes a processor second, nine tenths of it to read in the web framework, and the suite starts more than a
hundred. Each of these is a process of its own all the same, with its own files, folder, environment, signals and
end. What is about starting itself (the list of processes, the file mask, limits, an installed copy, broken pipes)
starts Python by ``subprocess``, and so does one test of each command.
"""

import atexit
import functools
import gc
import importlib
import json
import os
import select
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO, Any

__all__ = ["COMMAND", "Process", "fresh", "run"]

COMMAND = "bothends.service.command"
"""The module that a start of ``bothends`` runs."""
READ_IN = (
    COMMAND,
    *(f"bothends.service.{name}" for name in ("serving", "cli.filing", "cli.solve")),
    "packed",
)
MOST = 1 << 18
"""Bytes of a request: words, folder and environment."""


class _Forker:
    """The process that others are forked from; it ends with this one."""

    def __init__(self) -> None:
        self._asks, other = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self._one = threading.Lock()
        tests = str(Path(__file__).resolve().parent)
        env = {**os.environ, "PYTHONPATH": tests}
        with other:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "warm", str(other.fileno())],
                stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, pass_fds=[other.fileno()], env=env,
            )  # fmt: skip

        atexit.register(self._stop)

    def _stop(self) -> None:
        self._asks.close()
        self._process.wait()

    def fork(self, asked: dict[str, Any], files: Sequence[int]) -> int:
        """Have a process forked with these as input, output, errors and where its exit is told; its number."""
        with self._one:
            socket.send_fds(self._asks, [json.dumps(asked).encode()], files)
            return int(self._asks.recv(32))


_forker = functools.cache(_Forker)


class Process:
    """``bothends`` with some words, started: as much of ``subprocess.Popen`` as tests of servers use.

    What it says comes as text through a pipe and its errors with ``communicate``, unless files are given for them;
    ``module`` is what is run, by its ``main``.
    """

    def __init__(
        self,
        words: Sequence[str],
        *,
        stderr: IO[Any] | None = None,
        stdin: IO[Any] | None = None,
        stdout: IO[Any] | None = None,
        env: dict[str, str] | None = None,
        module: str = COMMAND,
    ) -> None:
        self.args = ["bothends", *words]
        self.returncode: int | None = None
        self._errors = None if stderr else tempfile.TemporaryFile()  # noqa: SIM115 (closed when it has been read)
        mask = os.umask(0)
        os.umask(mask)
        asked = {"module": module, "words": list(words), "env": env or dict(os.environ), "mask": mask}
        reads, writes = os.pipe() if stdout is None else (-1, stdout.fileno())
        self._end, tells = os.pipe()
        with open(os.devnull) as nothing:
            files = ((stdin or nothing).fileno(), writes, (stderr or self._errors).fileno(), tells)
            self.pid = _forker().fork({**asked, "folder": os.getcwd()}, files)
        os.close(tells)
        self.stdout = None
        if stdout is None:
            os.close(writes)
            self.stdout = os.fdopen(reads, encoding="utf-8")

    def poll(self) -> int | None:
        """The exit code, below zero for a signal; None while it runs."""
        if self.returncode is None and select.select([self._end], [], [], 0)[0]:
            self.returncode = int(os.read(self._end, 32))
            os.close(self._end)
        return self.returncode

    def wait(self, timeout: float | None = None) -> int:
        """The exit code, when there is one; raises ``subprocess.TimeoutExpired`` after so many seconds."""
        if self.poll() is None and not select.select([self._end], [], [], timeout)[0]:
            raise subprocess.TimeoutExpired(self.args, timeout or 0.0)
        code = self.poll()
        assert code is not None
        return code

    def communicate(self, timeout: float | None = None) -> tuple[str, str]:
        """All that it says further, and its errors, when it has ended."""
        self.wait(timeout)
        said = self.stdout.read() if self.stdout else ""
        wrong = ""
        if self._errors:
            self._errors.seek(0)
            wrong = self._errors.read().decode()
        self._close()
        return said, wrong

    def _close(self) -> None:
        for file in (self.stdout, self._errors):
            if file:
                file.close()

    def __enter__(self) -> "Process":
        return self

    def __exit__(self, *_: object) -> None:
        self.wait()
        self._close()

    def send_signal(self, number: int) -> None:
        """Send a signal, if it still runs."""
        if self.poll() is None:
            os.kill(self.pid, number)

    def terminate(self) -> None:
        """Ask it to end."""
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        """End it, whatever it does."""
        self.send_signal(signal.SIGKILL)


def fresh(words: Sequence[str], **more: Any) -> subprocess.Popen[str]:
    """The same command by a Python of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", COMMAND, *words], **{"stdout": subprocess.PIPE, "text": True, **more}
    )


def run(
    *words: object, given: bytes = b"", env: dict[str, str] | None = None, anew: bool = False
) -> subprocess.CompletedProcess[str]:
    """Run ``bothends`` with some words and this on its standard input; its exit code, output and errors as text.

    ``anew`` has Python itself started for it.
    """
    with tempfile.TemporaryFile() as stdin, tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        stdin.write(given)
        stdin.seek(0)
        start = fresh if anew else Process
        process = start([*map(str, words)], stdin=stdin, stdout=out, stderr=err, env=env)
        try:
            code = process.wait(120)
        finally:
            process.kill()
        for one in (out, err):
            one.seek(0)
        return subprocess.CompletedProcess(process.args, code, out.read().decode(), err.read().decode())


def _become(asked: dict[str, Any], files: Sequence[int], others: Sequence[int]) -> Callable[[], int]:
    """Make of a process just forked what Python makes of one that is started; what it is to run."""
    signal.set_wakeup_fd(-1)
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for place, file in enumerate(files):
        os.dup2(file, place)
    for file in (*files, *others):
        os.close(file)
    for name, its in (("stdin", sys.stdin), ("stdout", sys.stdout), ("stderr", sys.stderr)):
        # Python asks once, at its start, what a stream can do.
        file = its.fileno()
        again = open(file, its.mode, encoding=its.encoding, errors=its.errors, closefd=False)  # noqa: SIM115
        setattr(sys, name, again)
        setattr(sys, f"__{name}__", again)
    sys.stderr.reconfigure(line_buffering=True)
    os.environ.clear()
    os.environ.update(asked["env"])
    time.tzset()
    os.umask(asked["mask"])
    os.chdir(asked["folder"])
    sys.argv[1:] = asked["words"]
    return importlib.import_module(asked["module"]).main


def _serve(asks: socket.socket) -> Callable[[], int] | None:
    """Fork as asked until nobody asks any more; in the processes forked, what they are to run."""
    woken, wakes = os.pipe2(os.O_NONBLOCK)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGCHLD, lambda *_: None)
    signal.set_wakeup_fd(wakes, warn_on_full_buffer=False)
    tells: dict[int, int] = {}
    while True:
        ready = select.select([asks, woken], [], [])[0]
        if woken in ready:
            os.read(woken, 512)
            for pid in list(tells):
                ended, status = os.waitpid(pid, os.WNOHANG)
                if ended:
                    file = tells.pop(pid)
                    os.write(file, b"%d" % os.waitstatus_to_exitcode(status))
                    os.close(file)
        if asks in ready:
            message, files, _, _ = socket.recv_fds(asks, MOST, 4)
            if not message:
                return None
            *its, end = files
            if not (pid := os.fork()):
                return _become(json.loads(message), its, (end, woken, wakes, asks.detach(), *tells.values()))
            tells[pid] = end
            for file in its:
                os.close(file)
            asks.send(b"%d" % pid)


if __name__ == "__main__":
    for _name in READ_IN:
        importlib.import_module(_name)
    gc.collect()
    gc.freeze()
    _work = _serve(socket.socket(fileno=int(sys.argv[1])))
    sys.exit(_work and _work())
