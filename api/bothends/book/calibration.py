"""Promise against outcome over the whole shop: do plans promised at 80 % land eight times in ten.

Owns which teardowns count: those with a plan that was followed, an outcome read on hand-over day (a
follow-up is none), and no dispute over the move. The first-teardown rate counts every job whose first
teardown has an outcome, planned here or not. Turning adjusters alone is an adjustment: its chance counts as any
other, but it is told apart from teardowns wherever these are counted. What a test before the first plan brought is
only compared, not explained: cars that were tested may differ from the others in more than that.
"""

import math
from collections import Counter
from typing import Any, NamedTuple

from sqlite_utils import Database

from . import chance
from .job_rows import TESTS, end_of

__all__ = ["BINS", "MISS_MM", "Among", "calibration", "wilson"]

BINS = 10
MISS_MM = 2.0
"""Width of a bin of height errors, [mm]."""
MOST_MM = 20.0
"""Errors beyond this are counted in the outermost bins, [mm]."""
Z = 1.959963984540054
"""97.5 % point of the normal distribution."""
MOST_NAMES = 100
"""Names of each kind that a choice is offered of."""
BY = (
    "coalesce(nullif(t.writer, ''),"
    " (SELECT d.name FROM devices d WHERE d.writes_as = t.device ORDER BY d.paired DESC LIMIT 1),"
    " CASE WHEN length(t.device) = 36 THEN '…' || substr(t.device, -4) ELSE replace(t.device, '-', ' ') END)"
)
"""Who entered a teardown, as people call them: by the name given, else the device's at the shop, else its own."""
ADJUSTED = (
    "(coalesce(left_turns, 0) != 0 OR coalesce(right_turns, 0) != 0) AND coalesce(left_inner_teeth, 0) = 0"
    " AND coalesce(left_outer_teeth, 0) = 0 AND coalesce(right_inner_teeth, 0) = 0"
    " AND coalesce(right_outer_teeth, 0) = 0"
)
"""Whether a stage is an adjustment: minutes at a screw, and no splined end drawn. It is no teardown."""
JUDGED = "after_km IS NULL AND hit IS NOT NULL AND unsettled = 0"
COUNTED = f"odds IS NOT NULL AND followed = 1 AND {JUDGED}"


def wilson(*, landed: int, count: int) -> tuple[float, float]:
    """95 % interval of a share, [-]; (0, 1) where nothing was counted.

    >>> low, high = wilson(landed=8, count=10)
    >>> round(low, 3), round(high, 3)
    (0.49, 0.943)

    Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209 (from memory); tested against scipy.stats.
    """
    if not count:
        return 0.0, 1.0
    share = landed / count
    middle = share + Z * Z / (2 * count)
    reach = Z * math.sqrt(share * (1 - share) / count + Z * Z / (4 * count * count))
    scale = 1 + Z * Z / count
    return max(0.0, (middle - reach) / scale), min(1.0, (middle + reach) / scale)


class Among(NamedTuple):
    """What the figures are narrowed to: days of the teardown (YYYY-MM-DD, both included, UTC), who entered it, the
    car's name; "" for all."""

    since: str = ""
    until: str = ""
    by: str = ""
    car: str = ""


WHOLE = Among()
"""All of the shop's."""


def _narrowed(among: Among) -> tuple[str, list[str]]:
    """Rows of job_teardowns among those, as SQL in place of the table, and its values."""
    parts = [
        ("t.at >= ?", among.since),
        ("t.at < ?", among.until and end_of(among.until)),
        (f"{BY} = ?", among.by),
        ("j.car = ? COLLATE NOCASE", among.car),
    ]
    where = [(condition, value) for condition, value in parts if value]
    # A job made by mistake and hidden is no job of the shop's.
    conditions = ["NOT j.hidden", *(condition for condition, _ in where)]
    return (
        f"(SELECT t.* FROM job_teardowns t JOIN job_sheets j USING (job) WHERE {' AND '.join(conditions)})",
        [value for _, value in where],
    )


def calibration(db: Database, among: Among = WHOLE) -> dict[str, Any]:
    """Bins of promised odds with what came of them, the whole, the first-teardown rate, and what they may be
    narrowed to."""
    rows, values = _narrowed(among)
    done = db.execute(
        f"SELECT odds, hit, body_height_left_mm - promised_left_mm, promised_left_sd_mm,"
        f" body_height_right_mm - promised_right_mm, promised_right_sd_mm FROM {rows} WHERE {COUNTED}",
        values,
    ).fetchall()
    odds, hits = [float(row[0]) for row in done], [bool(row[1]) for row in done]
    firsts = {
        adjusted: db.execute(
            f"SELECT count(*), coalesce(sum(hit), 0) FROM {rows}"
            f" WHERE teardown = 1 AND {JUDGED} AND ({ADJUSTED}) = ?",
            [*values, int(adjusted)],
        ).fetchone()
        for adjusted in (False, True)
    }
    return {
        "teardowns_per_job": _per_job(db, among, rows, values),
        "helped": _helped(db, rows, values),
        "bins": _bins(odds, hits),
        "all": _whole(odds, hits),
        "first_teardown": _share(firsts[False][1], firsts[False][0]),
        "first_adjustment": _share(firsts[True][1], firsts[True][0]),
        "adjustments": _adjustments(db, rows, values),
        "height_error": _errors([(row[side], row[side + 1]) for row in done for side in (2, 4)]),
        "choices": _choices(db),
    }


def _bins(odds: list[float], hits: list[bool]) -> list[dict[str, Any]]:
    """Tenths of the chances predicted."""
    out = []
    for number in range(BINS):
        some = [(p, hit) for p, hit in zip(odds, hits, strict=True) if min(BINS - 1, int(p * BINS)) == number]
        promised = sum(p for p, _ in some) / len(some) if some else None
        edges = {"low": number / BINS, "high": (number + 1) / BINS, "promised": promised}
        out.append({**edges, **_share(sum(hit for _, hit in some), len(some))})
    return out


def _whole(odds: list[float], hits: list[bool]) -> dict[str, Any]:
    """All that was planned and followed, and how far it is from what was predicted."""
    n = len(odds)
    squares = sum((p - hit) ** 2 for p, hit in zip(odds, hits, strict=True))
    return {
        "promised": sum(odds) / n if n else None,
        "brier": squares / n if n else None,
        "by_chance": chance.of_count(odds, sum(hits)),
        "single_by_chance": chance.of_single(odds, hits),
        "expected_sd": math.sqrt(sum(p * (1 - p) for p in odds)) / n if n else None,
        **_share(sum(hits), n),
    }


def _errors(read: list[tuple[float | None, float | None]]) -> dict[str, Any]:
    """Heights read less those predicted, each with the predicted standard deviation."""
    found = [(miss, sd) for miss, sd in read if miss is not None]
    n = len(found)
    scaled = [(miss / sd) ** 2 for miss, sd in found if sd]
    return {
        "count": n,
        "mean_mm": sum(miss for miss, _ in found) / n if n else None,
        "rms_mm": math.sqrt(sum(miss * miss for miss, _ in found) / n) if n else None,
        "rms_sd": math.sqrt(sum(scaled) / len(scaled)) if scaled else None,
        "bins": _misses([miss for miss, _ in found]),
    }


def _choices(db: Database) -> dict[str, list[str]]:
    """Names that the figures may be narrowed to, those with most teardowns first."""
    by = db.execute(
        f"SELECT {BY} AS name FROM job_teardowns t WHERE t.device IS NOT NULL"
        " GROUP BY name ORDER BY count(*) DESC, name LIMIT ?",
        [MOST_NAMES],
    )
    cars = db.execute(
        "SELECT max(j.car) FROM job_teardowns t JOIN job_sheets j USING (job) WHERE j.car != '' AND t.teardown > 0"
        " GROUP BY j.car COLLATE NOCASE ORDER BY count(*) DESC, 1 LIMIT ?",
        [MOST_NAMES],
    )
    return {"by": [name for (name,) in by.fetchall()], "cars": [name for (name,) in cars.fetchall()]}


def _per_job(db: Database, among: Among, rows: str, values: list[str]) -> list[dict[str, Any]]:
    """How many jobs took how many teardowns, from none to the most; those handed over, and those in hand.

    An adjustment is no teardown.
    """
    found: dict[int, list[int]] = {}
    # A job belongs to a period, a person or a car with any of its stages there.
    among_them = f"AND job IN (SELECT job FROM {rows})" if any(among) else ""
    for teardowns, closed, jobs in db.execute(
        f"SELECT teardowns - (SELECT count(*) FROM job_teardowns t WHERE t.job = job_sheets.job AND {ADJUSTED}),"
        f" state = 'closed', count(*) FROM job_sheets WHERE NOT hidden {among_them} GROUP BY 1, 2",
        values,
    ):
        found.setdefault(teardowns, [0, 0])[closed] = jobs
    return [
        {"teardowns": n, "handed_over": found.get(n, [0, 0])[1], "in_hand": found.get(n, [0, 0])[0]}
        for n in range(max(found) + 1 if found else 0)
    ]


def _adjustments(db: Database, rows: str, values: list[str]) -> dict[str, int]:
    """How many adjustments there were, and in how many jobs."""
    found = db.execute(
        f"SELECT count(*), count(DISTINCT job) FROM {rows} WHERE {ADJUSTED}", values
    ).fetchone()
    return {"count": found[0], "jobs": found[1]}


def _misses(misses: list[float]) -> list[dict[str, Any]]:
    """Height read less height promised, both sides, counted in bins of MISS_MM round zero without a gap."""
    most = round(MOST_MM / MISS_MM)
    # Half a bin aside, so that the middle bin is the one round zero.
    counted = Counter(max(-most, min(most, math.floor(miss / MISS_MM + 0.5))) for miss in misses)
    if not counted:
        return []
    return [
        {"low_mm": (n - 0.5) * MISS_MM, "high_mm": (n + 0.5) * MISS_MM, "count": counted[n]}
        for n in range(min(counted), max(counted) + 1)
    ]


def _helped(db: Database, rows: str, values: list[str]) -> list[dict[str, Any]]:
    """For each of TESTS: first teardowns whose plan rested on it against those whose plan did not."""
    found = db.execute(
        f"SELECT ',' || j.tests || ',', t.odds, t.hit FROM {rows} t JOIN job_sheets j USING (job)"
        f" WHERE t.teardown = 1 AND {COUNTED.replace('odds', 't.odds')} AND NOT ({ADJUSTED})",
        values,
    ).fetchall()
    out = []
    for test in TESTS:
        parts = {}
        for name, has in (("with_it", True), ("without", False)):
            some = [(odds, hit) for tests, odds, hit in found if (f",{test}," in tests) is has]
            promised = sum(odds for odds, _ in some) / len(some) if some else None
            parts[name] = {"promised": promised, **_share(sum(hit for _, hit in some), len(some))}
        out.append({"test": test, **parts})
    return out


def _share(landed: int, count: int) -> dict[str, Any]:
    low, high = wilson(landed=landed, count=count)
    return {
        "count": count,
        "landed": landed,
        "share": landed / count if count else None,
        "share_low": low,
        "share_high": high,
    }
