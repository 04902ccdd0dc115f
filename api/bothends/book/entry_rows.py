"""An entry as a row of the book's table of entries, and back.

Owns which part of an entry stands in which column. Functions of plain values.
"""

from typing import Any

import msgspec

__all__ = ["COLUMNS", "entry_of", "row_of"]

ENVELOPE = ("id", "job", "device", "device_seq", "at", "kind", "schema", "body")
COLUMNS = "id, job, device, device_seq, at, kind, schema, body, extra"


def row_of(entry: dict[str, Any]) -> list[Any]:
    """Values of COLUMNS, and the id of the entry that it corrects or strikes."""
    extra = {name: value for name, value in entry.items() if name not in ENVELOPE}
    body = entry["body"]
    pointer = body.get("entry" if entry["kind"] == "strike" else "corrects")
    count = entry.get("device_seq")
    return [
        entry["id"],
        entry["job"],
        entry["device"],
        None if count is None else int(count),
        entry["at"],
        entry["kind"],
        int(entry["schema"]),
        msgspec.json.encode(body).decode(),
        msgspec.json.encode(extra).decode() if extra else None,
        pointer if isinstance(pointer, str) else None,
    ]


def entry_of(row: Any) -> dict[str, Any]:
    """The entry of values of COLUMNS."""
    name, job, device, count, at, kind, schema, body, extra = row
    entry: dict[str, Any] = {"id": name, "job": job, "device": device}
    if count is not None:
        entry["device_seq"] = count
    entry.update(at=at, kind=kind, schema=schema, body=msgspec.json.decode(body))
    if extra is not None:
        entry.update(msgspec.json.decode(extra))
    return entry
