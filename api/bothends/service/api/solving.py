"""/api/solve and /api/what-if: from readings to a plan, and a change tried on a car.

Both are open and stateless: nothing is stored.
"""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from litestar import Litestar, Request, Response, post
from litestar.params import JSONBody

from ..http.problems import documented
from ..settings import Settings
from ..site import demo
from ..solver.pool import Pool
from ..wire.answer import SolveAnswer
from ..wire.bench import WhatIfAnswer, WhatIfRequest
from ..wire.request import SolveRequest

__all__ = ["BODY_BYTES", "ENDS", "solve", "solvers", "what_if"]

BODY_BYTES = 256 * 1024
"""Largest body of a solve, and of anything that says nothing else, [bytes]: room for a thousand readings."""

ENDS = (
    *("bad-log", "bad-request", "missing-field", "missing-reading", "no-equilibrium", "not-a-choice"),
    *("not-converged", "not-json", "out-of-range", "too-many-readings", "unknown-field", "wrong-type"),
    *("too-large", "too-slow", "wrong-media-type", "internal-error", "busy", "took-too-long"),
)
"""Codes a solve may end in."""


_THICKER = {"bar": {"diameter_mm": 24.0}}


@asynccontextmanager
async def solvers(app: Litestar) -> AsyncIterator[None]:
    """Solvers of the application while it runs."""
    settings: Settings = app.state.settings
    app.state.pool = Pool(size=settings.solvers, waiting=settings.waiting, seconds=settings.solve_seconds)
    try:
        yield
    finally:
        await app.state.pool.close()


@post(
    "/api/solve",
    status_code=200,
    operation_id="solve",
    summary="Plan the teeth",
    description=(
        "From everything measured and turned so far to a plan: which end, how many teeth, which way, the"
        " height that gives and the chance. Open, stateless: nothing is stored."
    ),
    response_description="The plan. Where a target cannot be reached, its options say what stops it.",
    responses=documented(*ENDS),
    opt={
        "examples": {job["name"]: (job["title"], job["request"]) for job in demo.jobs()},
        "links": {
            "nextVisit": {
                "operationId": "solve",
                "description": "What was learned of this car is given back as car.known at its next visit.",
                "requestBody": {"car": {"known": "$response.body#/posterior"}},
            }
        },
    },
)
async def solve(data: JSONBody[SolveRequest], request: Request[Any, Any, Any]) -> Response[SolveAnswer]:
    """Answer with the plan; ``data`` has been checked, the solver gets the body as it was sent."""
    answer: Any = await request.app.state.pool.solve(await request.body())
    return Response(answer, media_type="application/json")


@post(
    "/api/what-if",
    status_code=200,
    operation_id="whatIf",
    summary="Try other bars, another load or another target",
    description=(
        "The car of a solve request as it is, beside what it would be with a change. With the bars that are in, the"
        " trial is the first option of the plan. With other bars it says which hanging angle to set each arm to,"
        " and the chance over every phase of their steps. Open, stateless: nothing is stored."
    ),
    response_description="Two columns of the same rows. A column that is not possible says what stops it.",
    responses=documented(*ENDS),
    opt={
        "examples": {
            "bars": (
                "Maren's Gannet roadster on thicker bars",
                {**demo.jobs()[0]["request"], "change": _THICKER},
            ),
        }
    },
)
async def what_if(data: JSONBody[WhatIfRequest], request: Request[Any, Any, Any]) -> Response[WhatIfAnswer]:
    """Answer with the trial; ``data`` has been checked, the solver gets the body as it was sent."""
    answer: Any = await request.app.state.pool.what_if(await request.body())
    return Response(answer, media_type="application/json")
