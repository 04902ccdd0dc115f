"""Ids of entries: UUIDv7, made by whoever writes.

Owns making them and reading their stamp. Order of a device's own entries is ``device_seq``'s business, how far a
stamp may lie ahead ``sheet.order``'s.
"""

import secrets
import time
from datetime import UTC, datetime

from .sheet.order import LAST_MS

__all__ = ["BOUNDED", "END", "PATTERN", "made", "new", "stamp_ms", "too_late_words"]

END = "$(?!\\n)"
"""The end of a text in a pattern: in Python a bare $ also stands before a last line break."""
_TAIL = f"-7[0-9a-f]{{3}}-[89ab][0-9a-f]{{3}}-[0-9a-f]{{12}}{END}"
PATTERN = f"^[0-9a-f]{{8}}-[0-9a-f]{{4}}{_TAIL}"
"""One spelling only, so that equal ids are equal texts."""


def new(*, after: str | None = None, now_ms: int | None = None) -> str:
    """A new id that sorts after ``after``, the greatest id its writer has seen, however their clocks stand.

    Its stamp is the writer's clock, or a millisecond after the last one seen where that is later: a hybrid
    logical clock (Kulkarni and others, 2014; from memory). So cause stays before effect in the order of a job.
    At the bound itself stamps stay the same. A clock beyond it is no clock: its ids begin where others left off.

    Parameters
    ----------
    after : greatest id seen in the whole book, None where there is none
    now_ms : the writer's clock, [ms since 1970]; this machine's where it is not given

    >>> new(after="06000000-0000-7000-8000-000000000000")[:13]
    '06000000-0001'
    >>> new(now_ms=LAST_MS + 1)[:13], new(after=made(LAST_MS, 0))[:13]
    ('00000000-0000', '06a14142-d3ff')
    """
    ms = time.time_ns() // 1_000_000 if now_ms is None else now_ms
    if ms > LAST_MS:
        ms = 0
    if after is not None:
        ms = max(ms, stamp_ms(after) + 1)
    return made(min(ms, LAST_MS), secrets.randbits(74))


def made(ms: int, random: int) -> str:
    """The id of a moment, [ms since 1970], and 74 bits: random ones, or counted where ids must repeat.

    >>> made(0x0198_0000_0000, 5)
    '01980000-0000-7000-8000-000000000005'

    Source: RFC 9562, section 5.7.
    """
    bits = ms << 80 | 0x7 << 76 | (random >> 62 & 0xFFF) << 64 | 0b10 << 62 | random & (1 << 62) - 1
    hexed = f"{bits:032x}"
    return "-".join((hexed[:8], hexed[8:12], hexed[12:16], hexed[16:20], hexed[20:]))


def stamp_ms(name: str) -> int:
    """The writer's clock when it made an id, [ms since 1970].

    >>> stamp_ms("01980000-0001-7000-8000-000000000005") - 0x0198_0000_0000
    1
    """
    return int(name[:8] + name[9:13], 16)


def too_late_words(name: str) -> str:
    """Why an id is refused that is stamped beyond the bound, and what to do; ``name`` is its field.

    >>> too_late_words("id")
    'id is stamped after the year 2200: set the clock of the device that made it, then enter this again there'
    """
    year = datetime.fromtimestamp(LAST_MS / 1000, UTC).year
    remedy = "set the clock of the device that made it, then enter this again there"
    return f"{name} is stamped after the year {year}: {remedy}"


def _bounded() -> str:
    """The pattern of ids up to LAST_MS: each alternative goes below it at another digit.

    >>> import re
    >>> [bool(re.match(BOUNDED, made(ms, 0))) for ms in (0, LAST_MS - 1, LAST_MS, LAST_MS + 1, (1 << 48) - 1)]
    [True, True, True, False, False]
    """
    last = f"{LAST_MS:012x}"
    below = [_digits_below(digit) for digit in last]
    ways = [_hyphened([*last[:i], below[i]]) for i in range(len(last)) if below[i]]
    return f"^(?:{'|'.join([*ways, _hyphened([*last])])}){_TAIL}"


def _digits_below(digit: str) -> str:
    """A class of the hexadecimal digits below one, "" where there are none.

    >>> _digits_below("0"), _digits_below("1"), _digits_below("6"), _digits_below("d")
    ('', '0', '[0-5]', '[0-9a-c]')
    """
    below = "0123456789abcdef".partition(digit)[0]
    if len(below) < 2:
        return below
    return f"[0-{below[-1]}]" if below[-1] <= "9" else f"[0-9a-{below[-1]}]"


def _hyphened(begins: list[str]) -> str:
    """A stamp's twelve digits as an id writes them: how they begin, then any.

    >>> _hyphened(["0", "[0-5]"]), _hyphened([*"06a14142d3f", "[0-9a-e]"])
    ('0[0-5][0-9a-f]{6}-[0-9a-f]{4}', '06a14142-d3f[0-9a-e]')
    """

    def part(digits: list[str], length: int) -> str:
        lacking = length - len(digits)
        return "".join(digits) + (f"[0-9a-f]{{{lacking}}}" if lacking else "")

    return f"{part(begins[:8], 8)}-{part(begins[8:], 4)}"


BOUNDED = _bounded()
"""The same for ids that may be taken in, stamped up to the bound: for those who go by the schema."""
