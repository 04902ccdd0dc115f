"""POST /api/what-if: other bars, another load or target tried on a car. Open and stateless, as a solve is."""

from typing import Any

from litestar import Request, Response, post
from litestar.params import JSONBody

from .bench import WhatIfAnswer, WhatIfRequest
from .problems import documented
from .solving import ENDS

__all__ = ["try_out"]


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
)
async def try_out(data: JSONBody[WhatIfRequest], request: Request[Any, Any, Any]) -> Response[WhatIfAnswer]:
    """Answer with the trial; ``data`` has been checked, the solver gets the body as it was sent."""
    answer: Any = await request.app.state.crew.try_out(await request.body())
    return Response(answer, media_type="application/json")
