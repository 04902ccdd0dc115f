"""One solver process: questions in on standard input, answers out on standard output.

A process and not a thread, so that a solve can be stopped when its time is up and never holds up the event
loop. Frames are one byte of kind, four bytes of length (big endian), then the body. Ends when its input ends,
so it cannot outlive the server however that died.
"""

import os
import signal
import sys
import traceback
from functools import partial
from pathlib import Path
from typing import BinaryIO

import msgspec

from bothends.book import folded
from bothends.book.store import glance
from bothends.model.problem import ModelProblem

from ..wire.answer import plan
from ..wire.bench import tried

__all__ = ["ANSWER", "CHANGE", "FAILURE", "PROBLEM", "SOLVE", "WHAT_IF", "Grown", "answer", "frame", "main"]

SOLVE, WHAT_IF, CHANGE, ANSWER, PROBLEM, FAILURE = b"?", b"w", b"c", b"a", b"p", b"f"


class Grown(msgspec.Struct):
    """A job that is to be folded, and the data folder with the shop database that has it."""

    data: str
    job: str


def frame(kind: bytes, body: bytes) -> bytes:
    """A message as it goes through the pipe."""
    return kind + len(body).to_bytes(4, "big") + body


def answer(kind: bytes, body: bytes) -> tuple[bytes, bytes]:
    """Kind and body of the reply to one question.

    SOLVE and WHAT_IF come with a request that has been checked against the schema, CHANGE with a ``Grown``.
    """
    try:
        if kind == CHANGE:
            return ANSWER, msgspec.json.encode(_change(msgspec.json.decode(body, type=Grown)))
        work = tried if kind == WHAT_IF else plan
        return ANSWER, msgspec.json.encode(work(msgspec.json.decode(body)))
    except ModelProblem as problem:
        words = {"code": problem.code, "path": problem.path, "detail": problem.detail}
        return PROBLEM, msgspec.json.encode(words)
    except Exception:
        return FAILURE, traceback.format_exc().encode()


def _change(grown: Grown) -> folded.Change:
    return glance(Path(grown.data), partial(folded.change_of, job=grown.job))


def serve(questions: BinaryIO, replies: BinaryIO) -> None:
    """Answer until the questions end."""
    while len(head := questions.read(5)) == 5:
        replies.write(frame(*answer(head[:1], questions.read(int.from_bytes(head[1:], "big")))))
        replies.flush()


def main() -> None:
    """Run as a child of the server."""
    # Ctrl-C goes to the whole foreground group; the server decides when its solvers end.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    replies = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    # Nothing that prints may get between the frames.
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    serve(sys.stdin.buffer, replies)


if __name__ == "__main__":
    main()
