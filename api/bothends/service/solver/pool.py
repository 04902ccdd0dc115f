"""The solver processes: how many at once, how many waiting, how long each.

Knows no HTTP beyond its refusals.
"""

import asyncio
import contextlib
import sys
from asyncio.subprocess import PIPE, Process
from pathlib import Path

import msgspec

from bothends.book import folded

from ..http.problems import Refusal
from . import worker

__all__ = ["Pool"]


class _Solver:
    """One child process, asked one question at a time."""

    def __init__(self, process: Process) -> None:
        self._process = process

    @classmethod
    async def start(cls) -> "_Solver":
        # -P: the folder the server was started in is no place to import from.
        command = (sys.executable, "-P", "-m", worker.__name__)
        return cls(await asyncio.create_subprocess_exec(*command, stdin=PIPE, stdout=PIPE, stderr=None))

    async def ask(self, kind: bytes, body: bytes) -> tuple[bytes, bytes]:
        ours, theirs = self._process.stdin, self._process.stdout
        assert ours is not None
        assert theirs is not None
        ours.write(worker.frame(kind, body))
        await ours.drain()
        head = await theirs.readexactly(5)
        return head[:1], await theirs.readexactly(int.from_bytes(head[1:], "big"))

    async def stop(self) -> None:
        with contextlib.suppress(ProcessLookupError):
            self._process.kill()
        # Reads the pipes to their end as well, so that their transports close with the process.
        await self._process.communicate()


class Pool:
    """At most ``size`` solvers, started when first needed.

    Parameters
    ----------
    size : solves at once
    waiting : solves waiting for their turn; one more is refused as busy
    seconds : time to wait for a turn, and time for the solve itself, [s]
    """

    def __init__(self, *, size: int, waiting: int, seconds: float) -> None:
        self._turn = asyncio.Semaphore(size)
        self._room = size + waiting
        self._seconds = seconds
        self._inside = 0
        self._idle: list[_Solver] = []

    async def solve(self, body: bytes) -> bytes:
        """The answer's JSON for a solve request's JSON, which has been checked against the schema.

        Raises
        ------
        Refusal
            The model's problem, or busy, or took-too-long.
        RuntimeError
            When a solver failed or died: a fault of ours.
        """
        return await self._answered(worker.SOLVE, body)

    async def what_if(self, body: bytes) -> bytes:
        """The same for a request to try something on a car."""
        return await self._answered(worker.WHAT_IF, body)

    async def change(self, data: Path, job: str) -> folded.Change:
        """What has changed of a job that has grown, folded there from the shop database in a data folder."""
        question = msgspec.json.encode(worker.Grown(data=str(data), job=job))
        return msgspec.json.decode(await self._answered(worker.CHANGE, question), type=folded.Change)

    async def _answered(self, kind: bytes, body: bytes) -> bytes:
        if self._inside >= self._room:
            raise self._busy()
        self._inside += 1
        try:
            try:
                async with asyncio.timeout(self._seconds):
                    await self._turn.acquire()
            except TimeoutError:
                raise self._busy() from None
            try:
                return self._read(*await self._ask(kind, body))
            finally:
                self._turn.release()
        finally:
            self._inside -= 1

    async def _ask(self, kind: bytes, body: bytes) -> tuple[bytes, bytes]:
        solver = self._idle.pop() if self._idle else await _Solver.start()
        try:
            async with asyncio.timeout(self._seconds):
                reply = await solver.ask(kind, body)
        except BaseException as error:
            # Whatever cut the exchange short, what is left in the pipe belongs to no one: start afresh.
            await solver.stop()
            if isinstance(error, TimeoutError):
                raise Refusal(
                    "took-too-long",
                    f"the solve was stopped after {self._seconds:g} s",
                    remedy="Send fewer readings, or remove what no longer matters.",
                ) from None
            if isinstance(error, (asyncio.IncompleteReadError, ConnectionError)):
                raise RuntimeError("a solver process ended in the middle of a solve") from error
            raise
        self._idle.append(solver)
        return reply

    @staticmethod
    def _read(kind: bytes, body: bytes) -> bytes:
        if kind == worker.ANSWER:
            return body
        if kind == worker.PROBLEM:
            words = msgspec.json.decode(body)
            raise Refusal(words["code"], words["detail"], path=words["path"])
        raise RuntimeError(f"the model failed:\n{body.decode()}")

    def _busy(self) -> Refusal:
        return Refusal(
            "busy",
            "too many solves are waiting for their turn",
            remedy="Send it again in a second.",
            headers={"Retry-After": "1"},
        )

    async def close(self) -> None:
        """Stop every solver."""
        while self._idle:
            await self._idle.pop().stop()
