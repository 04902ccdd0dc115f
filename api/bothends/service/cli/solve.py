"""bothends solve: a plan from a file, as text or as JSON."""

import argparse
import codecs
import sys
from pathlib import Path

import msgspec

from bothends.model.problem import ModelProblem

from ..http.problems import Refusal
from ..http.strict_json import decode
from ..plan_text.plan import brief, full
from ..wire.answer import plan
from ..wire.request import SolveRequest
from .outcome import BAD_INPUT

__all__ = ["solve"]


def _bad(file: str, detail: str, path: object, remedy: object = None) -> int:
    place = f", at {path}" if isinstance(path, str) else ""
    advice = f". {remedy}" if isinstance(remedy, str) else ""
    print(f"bothends: {file}: {detail}{place}{advice}", file=sys.stderr)
    return BAD_INPUT


def solve(options: argparse.Namespace) -> int:
    """Plan from the file named; the exit code."""
    try:
        body = sys.stdin.buffer.read() if options.file == "-" else Path(options.file).read_bytes()
        # Some editors begin a file with a byte order mark.
        body = body.removeprefix(codecs.BOM_UTF8)
    except OSError as error:
        return _bad(options.file, str(error.strerror), None)
    try:
        decode(body, SolveRequest)
        request = msgspec.json.decode(body)
        if options.units == "inch":
            # The sentences are the model's; it writes the figures in them.
            request["units"] = options.units
        answer = plan(request)
    except Refusal as refusal:
        problem = refusal.problem
        return _bad(options.file, problem.detail, problem.path, problem.remedy)
    except ModelProblem as problem:
        return _bad(options.file, problem.detail, problem.path)
    if options.json:
        print(msgspec.json.format(msgspec.json.encode(answer), indent=2).decode())
    elif options.brief:
        print(brief(answer, request), end="")
    else:
        print(full(answer, request, inches=options.units == "inch"), end="")
    return 0
