"""Who wrote what, by the names that people gave on their devices.

An entry says in ``writer`` who wrote it; "" where its device was asked and nobody gave a name. What a device wrote
before it was asked has the first name given on it in that job. Owns that rule. Runs on the phone as well.
"""

__all__ = ["MOST", "name_rows", "names", "writer_of"]

MOST = 100
"""Longest name, in characters; what is beyond is cut off."""
ROWS = ("readings", "moves", "plans", "notes", "photos", "steps", "settlements", "struck")


def writer_of(entry: dict) -> str | None:
    """The name that an entry itself says, None where it says nothing.

    >>> writer_of({"writer": " Ben "}), writer_of({"writer": ""}), writer_of({})
    ('Ben', '', None)
    """
    said = entry.get("writer")
    return said[:MOST].strip() if isinstance(said, str) else None


def names(entries: list) -> dict:
    """By device, the first name given on it; "" where it was asked and none was given.

    Parameters
    ----------
    entries : list of dict
        Of one job, in order.

    >>> names([{"device": "d", "writer": ""}, {"device": "d", "writer": "Ben"}, {"device": "d", "writer": "Ann"}])
    {'d': 'Ben'}
    """
    out: dict = {}
    for entry in entries:
        said = writer_of(entry)
        device = str(entry.get("device"))
        if said is not None and not out.get(device):
            out[device] = said
    return out


def name_rows(sheet: dict, found: dict) -> None:
    """Put the names that devices were given into rows and questions whose entries say none, in place."""
    if not found:
        return
    rows = [sheet["closed"]] if sheet["closed"] else []
    for name in ROWS:
        rows.extend(sheet[name])
    rows.extend(sheet["other"]["readings"] + sheet["other"]["moves"])
    for asked in sheet["conflicts"]:
        rows.extend(asked["values"])
    for asked in sheet["unsure"]:
        rows.extend([asked, asked["kept"], asked["lost"]])
    for row in rows:
        if row["writer"] is None:
            row["writer"] = found.get(str(row["device"]))
