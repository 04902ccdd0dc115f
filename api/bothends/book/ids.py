"""Ids of entries: UUIDv7, made by whoever writes.

Owns making them and reading their stamp. Order of a device's own entries is ``device_seq``'s business.
"""

import secrets
import time

__all__ = ["PATTERN", "made", "new", "stamp_ms"]

PATTERN = "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$(?!\\n)"
"""One spelling only, so that equal ids are equal texts."""


def new(*, after: str | None = None) -> str:
    """A new id; its stamp is never earlier than that of ``after``, an id its writer has seen.

    That keeps cause before effect in the order of a job even where two clocks disagree.

    >>> seen = "0fffffff-ffff-7000-8000-000000000000"
    >>> new(after=seen)[:13] == seen[:13]
    True
    """
    ms = time.time_ns() // 1_000_000
    if after is not None:
        ms = max(ms, stamp_ms(after))
    return made(ms, secrets.randbits(74))


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
