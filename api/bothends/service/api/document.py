"""The OpenAPI 3.1 document, made from the handlers and their types.

Written here and not by the framework because the framework's leaves out what the structs say: that unknown
fields are refused, the media type of problems, the words of nested fields. A test holds the committed
openapi/bothends.json to it byte by byte.
"""

import http
import inspect
import json
from collections.abc import Iterator
from typing import Annotated, Any

import msgspec
from litestar import Litestar, Response
from litestar.handlers import HTTPRouteHandler
from litestar.params import ParameterKwarg
from litestar.routes import HTTPRoute
from litestar.typing import FieldDefinition

import bothends

from ..http.problems import HEADERS
from ..wire import entry, request, rows, sheet, table
from . import access

__all__ = ["render"]

TAGS = {
    "solving": ("Plans", "From readings to a plan, and a change tried on a car; nothing is stored."),
    "entries": (
        "Records",
        "What was read, turned and decided, each once; nothing is changed but where a customer is erased.",
    ),
    "news": ("News", "A stream that says when there are records to fetch."),
    "photos": ("Photos", "The bytes of photos that records name, in parts and whole."),
    "jobs": ("Jobs", "Lists of jobs, what the records of one come to, and its history."),
    "cars": ("Cars", "The cars that have been here, each over all its visits."),
    "history": ("History", "Teardowns of all jobs, and how reliable the predictions are."),
    "export": ("Export", "Tables of the shop database, and all of it as one file."),
    "erasures": ("Erasures", "A customer erased on request: what goes, what was done."),
    "backup": ("Backup", "Copies of the shop database by the day."),
    "devices": ("Devices", "Pairing a device, and ending its access."),
    "links": ("Links", "One job to read for whoever has the link, and where links lead."),
    "letterhead": ("Letterhead", "The shop as its papers name it."),
    "info": ("Server", "Whether it is well, this document, demo jobs."),
}
"""Tags by the module that has the endpoints: name and words, in the document's order."""
LICENSE = "MIT"
_GIVEN = {"request", "data", "body", "headers", "cookies", "query", "state", "scope", "socket"}
_REF = "#/components/schemas/{name}"
_DESCRIPTION = """\
From first reading to hand-over: rear ride height of torsion-bar cars, teeth and chance.

Units are in the names of the fields. Angles are positive with the wheel end below the bar; teeth are \
positive arm down, which raises the car. Every failure is a problem (RFC 9457) with a stable `code`, and \
for bad input the `path` of the field. More fields may be added to answers; those here keep their names and \
meaning.\
"""


class _Place(int):
    """The number of a type: where its schema is to stand once all are rendered."""


class _Types:
    """All types of the document, asked for first and rendered in one go, so that names cannot clash."""

    def __init__(self) -> None:
        self._kinds: list[Any] = []
        self._schemas: tuple[dict[str, Any], ...] = ()
        self.components: dict[str, Any] = {}

    def add(self, kind: Any) -> _Place:
        self._kinds.append(kind)
        return _Place(len(self._kinds) - 1)

    def render(self) -> None:
        self._schemas, found = msgspec.json.schema_components(self._kinds, ref_template=_REF)
        self.components = {name: _tidy(found[name]) for name in sorted(found)}

    def __getitem__(self, number: int) -> Any:
        return _tidy(self._schemas[number])


def _tidy(schema: Any) -> Any:
    """Say "integer" for a float that is whole (both accept the same JSON); take indents out of docstrings."""
    if isinstance(schema, list):
        return [_tidy(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    out = {key: _tidy(value) for key, value in schema.items()}
    if out.get("type") == "number" and out.get("multipleOf") == 1:
        del out["multipleOf"]
        out["type"] = "integer"
    if "$ref" in out and out.get("type") == "object":
        # Its component says so.
        del out["type"]
    if isinstance(out.get("description"), str):
        out["description"] = inspect.cleandoc(out["description"])
    return out


def _handlers(app: Litestar) -> Iterator[tuple[HTTPRoute, str, HTTPRouteHandler]]:
    for route in sorted((r for r in app.routes if isinstance(r, HTTPRoute)), key=lambda r: r.path_format):
        for handler in route.route_handlers:
            if handler.resolve_include_in_schema():
                for method in sorted(handler.http_methods):
                    yield route, method.lower(), handler


def _bounded(field: FieldDefinition) -> Any:
    """A parameter's type with the bounds that its declaration carries beside it."""
    kwarg = field.kwarg_definition
    if not isinstance(kwarg, ParameterKwarg):
        return field.raw
    names = ("ge", "gt", "le", "lt", "min_length", "max_length", "pattern", "description")
    more = {n: getattr(kwarg, n) for n in names if getattr(kwarg, n) is not None}
    return Annotated[field.annotation, msgspec.Meta(**more)] if more else field.annotation


def _parameters(route: HTTPRoute, handler: HTTPRouteHandler, types: _Types) -> list[dict[str, Any]]:
    out = []
    for name, field in handler.parsed_fn_signature.parameters.items():
        if name in _GIVEN or field.is_di_field:
            continue
        kwarg = field.kwarg_definition if isinstance(field.kwarg_definition, ParameterKwarg) else None
        known = kwarg.name if kwarg is not None and kwarg.name else name
        in_path = known in route.path_parameters
        where = "path" if in_path else str(kwarg.param_type.value) if kwarg is not None else "query"
        parameter = {"name": known, "in": where, "required": in_path or field.is_required}
        if kwarg is not None and kwarg.description:
            parameter["description"] = kwarg.description
        out.append({**parameter, "schema": types.add(_bounded(field))})
    return out


def _answer_type(handler: HTTPRouteHandler) -> Any:
    kind = handler.parsed_return_field
    return kind.inner_types[0].raw if kind.is_subclass_of(Response) else kind.raw


def _operation(route: HTTPRoute, handler: HTTPRouteHandler, types: _Types) -> dict[str, Any]:
    operation: dict[str, Any] = {
        "operationId": handler.operation_id,
        "summary": handler.summary,
        "tags": [TAGS[handler.fn.__module__.rpartition(".")[2]][0]],
    }
    if handler.description:
        operation["description"] = handler.description
    if parameters := _parameters(route, handler, types):
        operation["parameters"] = parameters
    if handler.parsed_data_field is not None:
        sent = handler.opt.get("body", handler.parsed_data_field.annotation)
        content: dict[str, Any] = {"schema": types.add(sent)}
        if examples := handler.opt.get("examples"):
            content["examples"] = {
                name: {"summary": summary, "value": value} for name, (summary, value) in examples.items()
            }
        operation["requestBody"] = {"required": True, "content": {"application/json": content}}
    if most := handler.opt.get("octets"):
        octets = {"schema": {"type": "string", "format": "binary", "maxLength": most}}
        operation["requestBody"] = {"required": True, "content": {"application/octet-stream": octets}}
    # Said of every operation: an empty list is open to all.
    operation["security"] = list(handler.security or ())
    success = handler.status_code
    words = handler.response_description or http.HTTPStatus(success).phrase
    done: dict[str, Any] = {"description": words}
    kind = _answer_type(handler)
    if images := handler.opt.get("binary"):
        done["content"] = {image: {"schema": {"type": "string", "format": "binary"}} for image in images}
    elif kind is not None and kind is not type(None):
        media = str(getattr(handler.media_type, "value", handler.media_type) or "application/json")
        done["content"] = {media: {"schema": types.add(kind)}}
        if events := handler.opt.get("events"):
            said = {"description": "Events; the data of each is this, as JSON.", "contentMediaType": media}
            done["content"][media]["schema"] = {"type": "string", **said, "contentSchema": types.add(events)}
        if also := handler.opt.get("also"):
            done["content"][also] = {"schema": types.add(str)}
    if links := handler.opt.get("links"):
        done["links"] = links
    headers = {name: _refer(name) for name in sorted(h.name for h in handler.resolve_response_headers())}
    if headers:
        done["headers"] = headers
    responses = {success: done}
    for status, spec in (handler.responses or {}).items():
        responses[status] = {"description": spec.description}
        named = [name for code, (name, _) in HEADERS.items() if f"`{code}`:" in (spec.description or "")]
        if named:
            responses[status]["headers"] = {name: _refer(name) for name in named}
        elif status == 304:
            responses[status]["headers"] = headers
        if spec.data_container is not None:
            responses[status]["content"] = {str(spec.media_type): {"schema": types.add(spec.data_container)}}
    operation["responses"] = {str(status): responses[status] for status in sorted(responses)}
    return operation


def _refer(header: str) -> dict[str, str]:
    return {"$ref": f"#/components/headers/{header}"}


def _headers(app: Litestar) -> dict[str, Any]:
    """Every header that some answer names; one that comes with every such answer is required."""
    found: dict[str, Any] = {}
    for _, _, handler in _handlers(app):
        for header in handler.resolve_response_headers():
            found[header.name] = {
                "description": header.description,
                "required": header.required,
                "schema": {"type": "string"},
            }
    for name, words in HEADERS.values():
        found.setdefault(name, {"description": words, "schema": {"type": "string"}})
    return dict(sorted(found.items()))


def _filled(part: Any, types: _Types) -> Any:
    """Put the rendered schemas where their numbers are."""
    if isinstance(part, list):
        return [_filled(item, types) for item in part]
    if not isinstance(part, dict):
        return part
    return {
        key: types[value] if isinstance(value, _Place) else _filled(value, types)
        for key, value in part.items()
    }


def render(app: Litestar) -> bytes:
    """The document of an application as the bytes that are committed and served."""
    types = _Types()
    paths: dict[str, Any] = {}
    for route, method, handler in _handlers(app):
        paths.setdefault(route.path_format, {})[method] = _operation(route, handler, types)
    choices = [
        (name, said, [types.add(kind) for kind in kinds])
        # An entry of a newer kind may fit more than one; a target or a reading is of one form.
        for said, found in (("anyOf", entry.ALTERNATIVES), ("oneOf", request.ALTERNATIVES))
        for name, kinds in found.items()
    ]
    named = {
        name: types.add(kind)
        for found in (rows.NAMED, sheet.NAMED, table.NAMED)
        for name, kind in found.items()
    }
    types.render()
    types.components.update({name: types[number] for name, number in named.items()})
    for name, said, numbers in choices:
        types.components[name] = {said: [types[number] for number in numbers]}
    document = {
        "openapi": "3.1.0",
        "info": {
            "title": "Bothends",
            "version": bothends.__version__,
            "description": _DESCRIPTION,
            "license": {"name": LICENSE, "identifier": LICENSE},
        },
        "servers": [{"url": "/"}],
        "tags": [{"name": name, "description": words} for name, words in TAGS.values()],
        "paths": _filled(paths, types),
        "components": {
            "headers": _headers(app),
            "schemas": dict(sorted(types.components.items())),
            "securitySchemes": access.SCHEMES,
        },
    }
    return json.dumps(document, indent=1, ensure_ascii=False).encode() + b"\n"
