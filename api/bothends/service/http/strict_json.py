"""Reading a JSON body strictly into the struct a handler asks for, with an error that names the field.

A handler declares ``data: SomeStruct`` and gets one, or the caller gets a problem: expected, came, where,
what to do. Nothing is coerced: "5" is not 5. The framework's own reading would coerce, so the request class
below takes its place. Knows no endpoint; what a field may be is read off the struct (``expectation``).
"""

import functools
import json
import re
from typing import Any

import msgspec
from litestar import Request

from .expectation import expected, fields_at
from .problems import Refusal

__all__ = ["StrictRequest", "check_body", "decode"]

_AT = re.compile(r"^(?P<what>.*?)(?: - at `(?P<path>\$.*)`)?$", re.DOTALL)
_NAMED = re.compile(r"^Object (?:missing required|contains unknown) field `(?P<name>.*)`$", re.DOTALL)
_STEP = re.compile(r"\.([^.\[]+)|\[(\d+)\]")
_SHOWN = 60
FEW = 12
"""Fields that an error lists; of more the schema tells."""

_REMEDY = {
    "missing-field": "Add it.",
    "unknown-field": "Take it out or mend its spelling; the schema at /api/openapi.json lists the fields.",
    "out-of-range": "Check the unit, which is in the field's name, then sign and decimal point.",
    "wrong-type": "Send it as the schema at /api/openapi.json says; numbers without quotes.",
    "not-a-choice": "Use one of the words named.",
    "not-json": "Send one JSON object, UTF-8, as the schema at /api/openapi.json says.",
}


@functools.lru_cache
def _decoder(kind: Any) -> msgspec.json.Decoder[Any]:
    return msgspec.json.Decoder(kind)


def decode(body: bytes, kind: Any) -> Any:
    """The body as ``kind``.

    Raises
    ------
    Refusal
        With the code, the field's path and what was expected there.
    """
    try:
        # A struct may come in several shapes that only its own body tells apart.
        shape = kind.shape_of(body) if hasattr(kind, "shape_of") else kind
        found = _decoder(shape).decode(body)
        return found if shape is kind else kind(**msgspec.structs.asdict(found))
    except msgspec.ValidationError as error:
        raise _misfit(str(error), body, shape) from None
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        words = str(error).removeprefix("JSON is malformed: ")
        raise _not_json(f"the body is not JSON: {words}") from None
    except RecursionError:
        raise _not_json("the body is nested too deeply to be a request") from None


def _not_json(detail: str) -> Refusal:
    return Refusal("not-json", detail, path="$", remedy=_REMEDY["not-json"])


def _misfit(message: str, body: bytes, kind: Any) -> Refusal:
    parts = _AT.match(message)
    what, path = (parts["what"], parts["path"] or "$") if parts else (message, "$")
    if named := _NAMED.match(what):
        name = _short(named["name"])
        if "unknown" in what[: named.start("name")]:
            code, detail = "unknown-field", f"no field is called {name} here"
            known = fields_at(kind, _steps(path))
            detail += f", but {', '.join(known)}" if 0 < len(known) <= FEW else ""
        else:
            code, detail = "missing-field", f"{name} is required"
            expectation = expected(kind, [*_steps(path), name])
            detail += f": {expectation}" if expectation else ""
        return Refusal(code, detail, path=f"{path}.{name}", remedy=_REMEDY[code])
    steps = _steps(path)
    expectation = expected(kind, steps) or what.removeprefix("Expected ").replace("`", "")
    code = _code(what)
    subject = str(steps[-1]) if steps and isinstance(steps[-1], str) else "the entry" if steps else "the body"
    detail = f"{subject} must be {expectation}{_came(body, steps)}"
    return Refusal(code, detail, path=path, remedy=_REMEDY[code])


def _code(what: str) -> str:
    if what.startswith(("Invalid enum value", "Invalid value")):
        return "not-a-choice"
    if ", got" in what:
        return "wrong-type"
    return "out-of-range"


def _steps(path: str) -> list[str | int]:
    return [int(index) if index else name for name, index in _STEP.findall(path)]


def _came(body: bytes, steps: list[str | int]) -> str:
    """What was sent there, in a few characters, or nothing where the body is too odd to tell."""
    try:
        value = json.loads(body)
        for step in steps:
            value = value[step]
        return f", got {_short(json.dumps(value, ensure_ascii=False))}"
    except (ValueError, LookupError, TypeError, RecursionError):
        return ""


def _short(text: str) -> str:
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


class StrictRequest(Request[Any, Any, Any]):
    """A request whose JSON is read into the very type the handler declares."""

    async def json(self) -> Any:
        """The body as the handler's ``data`` type."""
        field = self.route_handler.parsed_data_field
        return decode(await self.body(), Any if field is None else field.annotation)


async def check_body(request: Request[Any, Any, Any]) -> None:
    """Refuse a body of another kind, and no body where one is needed, before a handler that takes one."""
    if request.route_handler.parsed_data_field is None:
        return
    kind, _ = request.content_type
    if kind != "application/json":
        raise Refusal(
            "wrong-media-type",
            f"the body must be application/json, got {_short(kind) or 'no Content-Type'}",
            remedy="Set the header Content-Type: application/json.",
            headers={"Accept": "application/json"},
        )
    if not await request.body():
        raise _not_json("the body is empty")
