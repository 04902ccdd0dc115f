"""Small things a client asks of a server: is it well, what is its schema, are there demo jobs."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, get

import bothends

from . import demo, document
from .problems import documented
from .request import SolveRequest

__all__ = ["demo_jobs", "health", "openapi"]


class Health(msgspec.Struct, kw_only=True):
    """The server answers, and which one it is."""

    status: Literal["ok"]
    version: Annotated[str, msgspec.Meta(description="Version of the program.")]


class DemoJob(msgspec.Struct, kw_only=True):
    """One of Slipway Garage's jobs, ready to be solved."""

    name: str
    title: str
    request: SolveRequest


@get(
    "/api/health",
    operation_id="health",
    summary="Is the server well",
    responses=documented(),
    sync_to_thread=False,
)
def health() -> Health:
    """The server's state."""
    return Health(status="ok", version=bothends.__version__)


@get(
    "/api/demo",
    operation_id="demo",
    summary="Slipway Garage's jobs",
    description="Demonstration jobs; an empty list unless the server was started with --demo.",
    responses=documented("internal-error"),
    opt={
        "links": {
            "plan": {
                "operationId": "solve",
                "description": "A demo job's request can be solved as it is.",
                "requestBody": "$response.body#/0/request",
            }
        }
    },
    sync_to_thread=False,
)
def demo_jobs(request: Request[Any, Any, Any]) -> Response[list[DemoJob]]:
    """The demo jobs as they are on disk."""
    jobs: Any = demo.jobs() if request.app.state.settings.demo else []
    return Response(jobs, media_type="application/json")


@get(
    "/api/openapi.json",
    operation_id="schema",
    summary="This schema",
    responses=documented("internal-error"),
    sync_to_thread=False,
)
def openapi(request: Request[Any, Any, Any]) -> Response[dict[str, Any]]:
    """The OpenAPI document."""
    schema: Any = document.render(request.app)
    return Response(schema, media_type="application/json")
