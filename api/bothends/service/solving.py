"""POST /api/solve: from readings to a plan. Open and stateless: nothing is stored."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from litestar import Litestar, Request, Response, post
from litestar.params import JSONBody

from .answer import SolveAnswer
from .crew import Crew
from .problems import documented
from .request import SolveRequest
from .settings import Settings

__all__ = ["BODY_BYTES", "ENDS", "crew", "solve"]

BODY_BYTES = 256 * 1024
"""Largest body of a solve, and of anything that says nothing else, [bytes]: room for a thousand readings."""

ENDS = (
    *("bad-log", "bad-request", "missing-field", "missing-reading", "no-equilibrium", "not-a-choice"),
    *("not-converged", "not-json", "out-of-range", "too-many-readings", "unknown-field", "wrong-type"),
    *("too-large", "too-slow", "wrong-media-type", "internal-error", "busy", "took-too-long"),
)
"""Codes a solve may end in."""


@asynccontextmanager
async def crew(app: Litestar) -> AsyncIterator[None]:
    """Solvers of the application while it runs."""
    settings: Settings = app.state.settings
    app.state.crew = Crew(size=settings.solvers, waiting=settings.waiting, seconds=settings.solve_seconds)
    try:
        yield
    finally:
        await app.state.crew.close()


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
        "links": {
            "nextVisit": {
                "operationId": "solve",
                "description": "What was learned of this car is given back as car.known at its next visit.",
                "requestBody": {"car": {"known": "$response.body#/posterior"}},
            }
        }
    },
)
async def solve(data: JSONBody[SolveRequest], request: Request[Any, Any, Any]) -> Response[SolveAnswer]:
    """Answer with the plan; ``data`` has been checked, the solver gets the body as it was sent."""
    answer: Any = await request.app.state.crew.solve(await request.body())
    return Response(answer, media_type="application/json")
