"""Promise against outcome over the whole shop: do plans promised at 80 % land eight times in ten.

Owns which teardowns count: those with a plan that was followed, an outcome read on hand-over day (a
follow-up is none), and no dispute over the move. The first-teardown rate counts every job whose first
teardown has an outcome, planned here or not. What a test before the first plan brought is only compared, not
explained: cars that were tested may differ from the others in more than that.
"""

import math
from collections import Counter
from typing import Any

from sqlite_utils import Database

from .job_rows import TESTS

__all__ = ["BINS", "MISS_MM", "calibration", "wilson"]

BINS = 10
MISS_MM = 2.0
"""Width of a bin of height errors, [mm]."""
MOST_MM = 20.0
"""Errors beyond this are counted in the outermost bins, [mm]."""
Z = 1.959963984540054
"""97.5 % point of the normal distribution."""
SHOWN = "job NOT IN (SELECT job FROM job_sheets WHERE hidden)"
"""A job made by mistake and hidden is no job of the shop's."""
JUDGED = f"after_km IS NULL AND hit IS NOT NULL AND unsettled = 0 AND {SHOWN}"
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


def calibration(db: Database) -> dict[str, Any]:
    """Bins of promised odds with what came of them, the whole, and the first-teardown rate."""
    found = {
        number: (count, landed, promised)
        for number, count, landed, promised in db.execute(
            f"SELECT min(?, CAST(odds * ? AS INTEGER)) AS bin, count(*), sum(hit), avg(odds)"
            f" FROM job_teardowns WHERE {COUNTED} GROUP BY bin",
            [BINS - 1, BINS],
        )
    }
    bins = []
    for number in range(BINS):
        count, landed, promised = found.get(number, (0, 0, None))
        edges = {"low": number / BINS, "high": (number + 1) / BINS, "promised": promised}
        bins.append({**edges, **_share(landed, count)})
    count, landed, promised, brier = db.execute(
        f"SELECT count(*), coalesce(sum(hit), 0), avg(odds), avg((odds - hit) * (odds - hit))"
        f" FROM job_teardowns WHERE {COUNTED}"
    ).fetchone()
    errors = db.execute(
        f"""SELECT count(miss), avg(miss), avg(miss * miss), avg(z * z) FROM (
            SELECT body_height_left_mm - promised_left_mm AS miss,
                (body_height_left_mm - promised_left_mm) / nullif(promised_left_sd_mm, 0) AS z
                FROM job_teardowns WHERE {COUNTED}
            UNION ALL SELECT body_height_right_mm - promised_right_mm,
                (body_height_right_mm - promised_right_mm) / nullif(promised_right_sd_mm, 0)
                FROM job_teardowns WHERE {COUNTED})"""
    ).fetchone()
    first = db.execute(
        f"SELECT count(*), coalesce(sum(hit), 0) FROM job_teardowns WHERE teardown = 1 AND {JUDGED}"
    ).fetchone()
    return {
        "teardowns_per_job": _per_job(db),
        "helped": _helped(db),
        "bins": bins,
        "all": {"promised": promised, "brier": brier, **_share(landed, count)},
        "first_teardown": _share(first[1], first[0]),
        "height_error": {
            "count": errors[0],
            "mean_mm": errors[1],
            "rms_mm": None if errors[2] is None else math.sqrt(errors[2]),
            "rms_sd": None if errors[3] is None else math.sqrt(errors[3]),
            "bins": _misses(db),
        },
    }


def _per_job(db: Database) -> list[dict[str, Any]]:
    """How many jobs took how many teardowns, from none to the most; those handed over, and those in hand."""
    found: dict[int, list[int]] = {}
    for teardowns, closed, jobs in db.execute(
        "SELECT teardowns, state = 'closed', count(*) FROM job_sheets WHERE NOT hidden GROUP BY 1, 2"
    ):
        found.setdefault(teardowns, [0, 0])[closed] = jobs
    return [
        {"teardowns": n, "handed_over": found.get(n, [0, 0])[1], "in_hand": found.get(n, [0, 0])[0]}
        for n in range(max(found) + 1 if found else 0)
    ]


def _misses(db: Database) -> list[dict[str, Any]]:
    """Height read less height promised, both sides, counted in bins of MISS_MM round zero without a gap."""
    counted: Counter[int] = Counter()
    most = round(MOST_MM / MISS_MM)
    for row in db.execute(
        "SELECT body_height_left_mm - promised_left_mm, body_height_right_mm - promised_right_mm"
        f" FROM job_teardowns WHERE {COUNTED}"
    ):
        for miss in row:
            if miss is not None:
                # Half a bin aside, so that the middle bin is the one round zero.
                counted[max(-most, min(most, math.floor(miss / MISS_MM + 0.5)))] += 1
    if not counted:
        return []
    return [
        {"low_mm": (n - 0.5) * MISS_MM, "high_mm": (n + 0.5) * MISS_MM, "count": counted[n]}
        for n in range(min(counted), max(counted) + 1)
    ]


def _helped(db: Database) -> list[dict[str, Any]]:
    """For each of TESTS: first teardowns whose plan rested on it against those whose plan did not."""
    rows = db.execute(
        "SELECT ',' || tests || ',', odds, hit FROM (SELECT t.*, j.tests FROM job_teardowns t"
        f" JOIN job_sheets j USING (job)) WHERE teardown = 1 AND {COUNTED}"
    ).fetchall()
    out = []
    for test in TESTS:
        parts = {}
        for name, has in (("with_it", True), ("without", False)):
            some = [(odds, hit) for tests, odds, hit in rows if (f",{test}," in tests) is has]
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
