"""Every failure in one shape: RFC 9457 problem details with a stable code.

Owns the wire form, the list of codes and how exceptions become answers. The family tree:

    Refusal                  raised by our own code with a code of CODES
    litestar HTTPException   raised by the framework; given the code of its status
    anything else            a fault of ours: logged with its traceback, answered as internal-error

Does not own the sentences about a field of a request: those are made in ``strict_json`` or by the model.
"""

import http
import logging
from collections.abc import Mapping
from typing import Annotated, Any

import msgspec
from litestar import Request, Response
from litestar.exceptions import HTTPException, ValidationException
from litestar.openapi.datastructures import ResponseSpec
from litestar.types import Receive, Scope, Send
from msgspec import UNSET, Meta, UnsetType

__all__ = [
    "CODES",
    "FIELD",
    "HANDLERS",
    "HEADERS",
    "MEDIA_TYPE",
    "Problem",
    "Refusal",
    "allow",
    "documented",
    "refused",
    "send",
    "wrong_method",
]

MEDIA_TYPE = "application/problem+json"
LOG = logging.getLogger("bothends")

CODES: dict[str, tuple[int, str]] = {
    "bad-log": (
        400,
        "The log contradicts itself: teardown numbers, or a pose that does not fit the reading.",
    ),
    "bad-parameter": (400, "A parameter in the address is missing or not what the schema says."),
    "bad-request": (400, "The request cannot be read as HTTP should be."),
    "missing-field": (400, "A required field is not there."),
    "missing-reading": (400, "A target of heights or a level needs a reading of its mark on each side."),
    "no-equilibrium": (400, "These bars cannot carry this load."),
    "not-a-choice": (400, "A word is not one of those allowed."),
    "not-an-image": (400, "The bytes are not those of a JPEG, WebP or PNG image."),
    "not-converged": (400, "The readings contradict each other."),
    "not-json": (400, "The body is not JSON."),
    "out-of-range": (400, "A number or a length is outside its bounds."),
    "too-deep": (400, "A record is nested too deeply."),
    "too-many-readings": (400, "The log is longer than one solve may take."),
    "unfit": (400, "A record cannot be stored as it is."),
    "unknown-field": (400, "A field has a name that the schema does not know."),
    "wrong-id": (400, "The id in the address is not the record's."),
    "wrong-sum": (400, "The bytes are not those that the name says; none of them is kept."),
    "wrong-type": (400, "A field is not of the kind that the schema says."),
    "no-key": (401, "The key of a paired device is needed; the one that came is not valid."),
    "bad-code": (403, "The pairing code is not valid: mistyped, used, or older than ten minutes."),
    "not-found": (404, "Nothing is at this address."),
    "wrong-method": (405, "This address does not take that method; Allow lists those it does."),
    "too-slow": (408, "The body did not arrive in time."),
    "job-full": (409, "The job has as many records as one job may have; none that is there is lost."),
    "not-erased": (409, "It would erase the customer of a job, and nobody of this shop asked for that."),
    "other-content": (409, "The id is taken by a record with other content, which comes along as `stored`."),
    "own-key": (409, "A device cannot end its own access; use another one, or the shop's PC."),
    "photos-full": (409, "A job, or the shop database, has as many photos as it may have; records go on."),
    "gone": (410, "The link has ended or was revoked."),
    "too-large": (413, "The body is larger than this address takes."),
    "wrong-media-type": (415, "The body is not declared as application/json."),
    "wrong-host": (421, "The request was meant for another host name than this server's."),
    "too-often": (429, "Too many tries; Retry-After says when the next may come."),
    "internal-error": (500, "A fault of the server; its log has the details."),
    "book-moved": (
        503,
        "The shop database's file was deleted or replaced; nothing of the request was kept; ask again.",
    ),
    "busy": (503, "Too many solves are waiting; Retry-After says when to come back."),
    "no-book": (503, "This server has no shop database."),
    "too-many-streams": (
        503,
        "As many devices as may are waiting for news; Retry-After says when to come back.",
    ),
    "took-too-long": (504, "The solve was stopped because it took too long."),
    "no-room": (507, "The shop's disk is full; nothing of the request was kept."),
}
"""Stable words for programs: the status each comes with and what it means."""
HEADERS: dict[str, tuple[str, str]] = {
    "book-moved": ("Retry-After", "When to try again, [s]."),
    "busy": ("Retry-After", "When to try again, [s]."),
    "no-key": ("WWW-Authenticate", "Which key is asked for."),
    "too-many-streams": ("Retry-After", "When to try again, [s]."),
    "too-often": ("Retry-After", "When to try again, [s]."),
    "wrong-media-type": ("Accept", "The media type that this address takes."),
}
"""What an answer of a code carries besides its problem: name and words."""
FIELD = ("missing-field", "not-a-choice", "not-json", "out-of-range", "wrong-type")
"""Codes for a field of a body that may hold fields unknown here."""

_BY_STATUS = {404: "not-found", 413: "too-large", 415: "wrong-media-type"}
_DETAIL = {
    404: "nothing is at this address; the schema at /api/openapi.json lists what is",
    413: "the body is larger than this address takes; send less at once",
}


class Problem(msgspec.Struct, kw_only=True):
    """Problem details (RFC 9457) of a request that was not answered as asked."""

    type: Annotated[str, Meta(description="Always about:blank: the code says more than an address would.")]
    title: Annotated[str, Meta(description="The status in words.")]
    status: Annotated[int, Meta(ge=400, le=599)]
    detail: Annotated[str, Meta(description="What was expected and what came, in a sentence.")]
    code: Annotated[str, Meta(description="A stable word for programs.")]
    path: Annotated[str, Meta(description="The field it is about, e.g. $.car.arm_mm.")] | UnsetType = UNSET
    remedy: Annotated[str, Meta(description="What to do about it.")] | UnsetType = UNSET
    stored: (
        Annotated[dict[str, Any], Meta(description="other-content: the record that has the id.")] | UnsetType
    ) = UNSET


class Refusal(Exception):  # noqa: N818 (it is an answer, not a fault)
    """A request that is answered with a problem.

    Parameters
    ----------
    code : one of CODES, which gives the status
    detail : a sentence: what was expected, what came
    path : the field, e.g. "$.car.arm_mm"
    remedy : what to do about it
    stored : the entry that is there already
    headers : added to the answer
    """

    def __init__(
        self,
        code: str,
        detail: str,
        *,
        path: str | None = None,
        remedy: str | None = None,
        stored: dict[str, Any] | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.headers = dict(headers or {})
        status = CODES[code][0]
        self.problem = Problem(
            type="about:blank",
            title=http.HTTPStatus(status).phrase,
            status=status,
            detail=detail,
            code=code,
            path=path or UNSET,
            remedy=remedy or UNSET,
            stored=stored or UNSET,
        )


def documented(*codes: str) -> dict[int, ResponseSpec]:
    """The ``responses`` of a handler that may end in these codes; every handler may end in wrong-host."""
    by_status: dict[int, list[str]] = {}
    for code in sorted({*codes, "wrong-host"}, key=lambda c: (CODES[c][0], c)):
        by_status.setdefault(CODES[code][0], []).append(f"`{code}`: {CODES[code][1]}")
    return {
        status: ResponseSpec(
            Problem, description=" ".join(words), media_type=MEDIA_TYPE, generate_examples=False
        )
        for status, words in by_status.items()
    }


def _response(refusal: Refusal) -> Response[bytes]:
    return Response(
        msgspec.json.encode(refusal.problem),
        status_code=refusal.problem.status,
        media_type=MEDIA_TYPE,
        headers=refusal.headers,
    )


def refused(_: Request[Any, Any, Any], refusal: Refusal) -> Response[Any]:
    """The answer to a request that our own code refused."""
    return _response(refusal)


def allow(header: str) -> str:
    """Methods for Allow, with those the guard answers for every address."""
    methods = {m.strip() for m in header.split(",")} | {"OPTIONS"}
    if "GET" in methods:
        methods.add("HEAD")
    return ", ".join(sorted(methods))


def wrong_method(method: str, taken: str) -> Refusal:
    """The refusal of a method where only those of ``taken`` have a handler."""
    methods = allow(taken)
    return Refusal(
        "wrong-method", f"{method[:20]} is not taken here, only {methods}", headers={"Allow": methods}
    )


def _http(request: Request[Any, Any, Any], error: HTTPException) -> Response[bytes]:
    if isinstance(error, ValidationException):
        return _response(_parameter(request, error))
    if error.status_code >= 500:
        return _unexpected(request, error)
    if error.status_code == 405:
        return _response(wrong_method(request.method, (error.headers or {}).get("allow", "")))
    code = _BY_STATUS.get(error.status_code, "bad-request")
    return _response(Refusal(code, _DETAIL.get(error.status_code, error.detail)))


def _parameter(request: Request[Any, Any, Any], error: ValidationException) -> Refusal:
    """A path or query parameter that did not fit; bodies never come this way."""
    first = error.extra[0] if isinstance(error.extra, list) and error.extra else {}
    name = first.get("key")
    field = request.route_handler.parsed_fn_signature.parameters.get(name) if name else None
    # Some names are the framework's own, so that the handler calls the parameter something else.
    name = getattr(field and field.kwarg_definition, "name", None) or name
    detail = f"{name}: {first.get('message', error.detail)}" if name else error.detail
    return Refusal(
        "bad-parameter", detail, path=name, remedy="The schema at /api/openapi.json says what fits."
    )


def _unexpected(request: Request[Any, Any, Any], error: Exception) -> Response[bytes]:
    # The route and not the address: a link's token stands in its address.
    where = request.scope.get("path_template") or "an unknown address"
    LOG.error("%s %s failed", request.method, where, exc_info=error)
    return _response(
        Refusal(
            "internal-error",
            "the server failed on this request; nothing was stored by it",
            remedy="Try again; if it stays, look at the server's log.",
        )
    )


HANDLERS: dict[Any, Any] = {Refusal: refused, HTTPException: _http, Exception: _unexpected}
"""Exception handlers of the application."""


async def send(refusal: Refusal, scope: Scope, receive: Receive, send: Send) -> None:
    """Answer with a problem before any route is known."""
    body = msgspec.json.encode(refusal.problem)
    headers = {"content-type": MEDIA_TYPE, "content-length": str(len(body))}
    headers.update(refusal.headers)
    raw = [(k.lower().encode("latin-1"), v.encode("latin-1")) for k, v in headers.items()]
    await send({"type": "http.response.start", "status": refusal.problem.status, "headers": raw})
    await send({"type": "http.response.body", "body": body, "more_body": False})
