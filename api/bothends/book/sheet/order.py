"""One order for the entries of a job, the same whoever folds them and however they arrived.

Owns the order and what is said about clocks. Does not know what any entry means. Runs on the phone as well.

An id is a UUIDv7: its first 48 bits are the writer's clock in milliseconds. That clock is a label, so a
device's own entries follow its ``device_seq`` first: a stamp earlier than one the same device gave before
is raised to it. Writers keep cause before effect across devices by making every id later than all they have
seen (``ids.new``), however far clocks disagree; where nobody had seen the other's entry, either order is as
true, and this one is at least the same everywhere. Since one stamp far ahead drives all later ones before it,
none may lie beyond LAST_MS.
"""

__all__ = ["LAST_MS", "canonical", "in_order", "ordered", "too_late", "whole"]

LAST_MS = 7_289_654_399_999
"""The latest stamp of an id, the end of the year 2200 in UTC, [ms since 1970]. Nobody's clock is there by
chance; ids beyond it are taken in nowhere, for whoever had seen one could only write later ones."""
_LAST = "%012x" % LAST_MS
_LAST = _LAST[:8] + "-" + _LAST[8:]


def too_late(name: str) -> bool:
    """Whether an id is stamped beyond LAST_MS.

    >>> too_late("06a14142-d3ff-7000-8000-000000000000"), too_late("06a14142-d400-7000-8000-000000000000")
    (False, True)
    """
    if name[:13] <= _LAST:
        return False
    try:
        return int(name[:8] + name[9:13], 16) > LAST_MS
    except ValueError:
        # No stamp at all: an id of somebody's own making.
        return False


def whole(value: object) -> bool:
    """Whether a value is a whole number: 3 and 3.0 are (JSON makes no difference), true and false are not."""
    if isinstance(value, float):
        return abs(value) < 1e15 and value == int(value)
    return isinstance(value, int) and not isinstance(value, bool)


def canonical(value: object) -> str:
    """Text that two values share exactly if they mean the same in JSON: keys sorted, 3.0 written as 3.

    >>> canonical({"b": 1.0, "a": [True, None]}) == canonical({"a": [True, None], "b": 1})
    True
    """
    if isinstance(value, dict):
        return "{" + ",".join([repr(k) + ":" + canonical(value[k]) for k in sorted(value)]) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ",".join([canonical(v) for v in value]) + "]"
    if isinstance(value, float) and whole(value):
        return repr(int(value))
    return repr(value)


def in_order(items: list) -> list:
    """The items, ascending.

    By merging what already ascends, since that is what entries mostly do: MicroPython's own sort takes a
    number of steps that grows with the square of such a list (12,000 entries: 9 s on a PC), and it is not
    stable.

    >>> in_order([2, 3, 1, 1])
    [1, 1, 2, 3]
    """
    runs = _runs(items)
    while len(runs) > 1:
        halved = [_merged(runs[i], runs[i + 1]) for i in range(0, len(runs) - 1, 2)]
        if len(runs) % 2:
            halved.append(runs[len(runs) - 1])
        runs = halved
    return runs[0] if runs else []


def _runs(items: list) -> list:
    """The items cut into lists that ascend.

    >>> _runs([2, 3, 1, 1])
    [[2, 3], [1, 1]]
    """
    runs = []
    start = 0
    for i in range(1, len(items) + 1):
        if i == len(items) or items[i] < items[i - 1]:
            runs.append(items[start:i])
            start = i
    return runs


def _merged(one: list, other: list) -> list:
    """Two ascending lists as one; among equals those of the first come first.

    >>> _merged([1, 4], [2, 3, 5])
    [1, 2, 3, 4, 5]
    """
    out = []
    i = 0
    for item in other:
        while i < len(one) and not item < one[i]:
            out.append(one[i])
            i += 1
        out.append(item)
    out.extend(one[i:])
    return out


def _once(entries: list) -> list:
    """Entries with an id, each id once; of two with the same id the same one wins in any order of arrival."""
    found: dict = {}
    for entry in entries:
        if isinstance(entry, dict) and isinstance(entry.get("id"), str):
            name = entry["id"]
            if name not in found or (
                entry is not found[name] and canonical(entry) < canonical(found[name])
            ):  # fmt: skip
                found[name] = entry
    return [found[name] for name in in_order(list(found))]


def _minutes(at: object) -> int | None:
    """The moment of an RFC 3339 text, [minutes] from a day long ago; None where it is no such text.

    >>> [_minutes(at) for at in ("2026-03-01T00:00:00Z", "2026-02-28T23:59:59Z", "2026-03-01T01:00:00+01:00")]
    [1065574080, 1065574079, 1065574080]
    >>> _minutes("soon")

    Source: days from a date by counting years from March, common practice, from memory.
    """
    if not isinstance(at, str):
        return None
    try:
        year, month, day = int(at[:4]), int(at[5:7]), int(at[8:10])
        minutes = 60 * int(at[11:13]) + int(at[14:16])
        if at[len(at) - 6] in "+-":
            ahead = 60 * int(at[len(at) - 5 : len(at) - 3]) + int(at[len(at) - 2 :])
            minutes -= ahead if at[len(at) - 6] == "+" else -ahead
    except (ValueError, IndexError):
        return None
    if month < 3:
        year, month = year - 1, month + 12
    days = 365 * year + year // 4 - year // 100 + year // 400 + (153 * (month - 3) + 2) // 5 + day
    return 1440 * days + minutes


def _went_back(before: object, at: object) -> bool:
    """Whether a device's clock stood a minute or more earlier than at the entry before.

    By ``at``: ids do not go back with the clock. Most texts ascend as they are; only the others are reckoned.

    >>> _went_back("2027-03-01T10:00:00Z", "2026-03-01T10:05:00Z")
    True
    >>> _went_back("2026-03-01T10:00:00+01:00", "2026-03-01T09:30:00Z"), _went_back("2027-03-01T10:00:00Z", "2026")
    (False, False)
    """
    if not isinstance(before, str) or not isinstance(at, str) or before[:16] <= at[:16]:
        return False
    one, other = _minutes(before), _minutes(at)
    return one is not None and other is not None and other < one


def ordered(entries: list) -> tuple:
    """Sort entries and say where a clock went back.

    Parameters
    ----------
    entries : list of dict
        In any order, repeated or not.

    Returns
    -------
    tuple
        The entries, each id once, in order; and a list of {id, device, text} for every entry whose device's clock
        had stood later before, by its stamp or by what it says in ``at``.
    """
    unique = _once(entries)
    by_device: dict = {}
    for entry in unique:
        # What is beyond the bound is not used, and must not take what its device wrote later along.
        if whole(entry.get("device_seq")) and not too_late(entry["id"]):
            device = str(entry.get("device"))
            if device not in by_device:
                by_device[device] = []
            by_device[device].append((entry["device_seq"], entry["id"], entry.get("at")))
    raised = {}
    turned_back = {}
    for device in by_device:
        latest = ""
        latest_at = None
        for _, name, at in in_order(by_device[device]):
            if _went_back(latest_at, at):
                turned_back[name] = True
            else:
                latest_at = at
            if name[:13] < latest:
                turned_back[name] = True
            else:
                latest = name[:13]
            raised[name] = latest
    keyed = []
    for i in range(len(unique)):
        entry = unique[i]
        name = entry["id"]
        number = entry["device_seq"] if whole(entry.get("device_seq")) else -1
        keyed.append((raised.get(name, name[:13]), str(entry.get("device")), number, name, i))
    out = [unique[key[4]] for key in in_order(keyed)]
    notes = []
    for entry in out:
        if entry["id"] in turned_back:
            notes.append(
                {
                    "id": entry["id"],
                    "device": str(entry.get("device")),
                    "text": "this device's clock stood earlier than at a record it had made before; "
                    "the order follows the device, not its clock",
                }
            )
    return out, notes
