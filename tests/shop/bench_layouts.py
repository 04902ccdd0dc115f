"""Jobs on other layouts on demand: screws at a wishbone, plates and cams with eccentrics, a beam on packs.

    PYTHONPATH=tests python -m shop.bench_layouts [NAME ...] [--jobs 300] [--from 1000000] [--swapped]

Prints a row a layout for DEVELOPERS.md; asserts nothing (``test_layouts`` does). Seeds 0-9999 are for tuning,
1,000,000 and up for judging; the heading says which was run. Two processes.
"""

import argparse
import functools
import multiprocessing

from shop.adjusting import Job, play
from shop.layout_tally import Count, count
from shop.layout_thumb import outer_lands
from shop.layouts import LAYOUTS, made

__all__ = ["main", "planned", "row"]

JUDGING = 1_000_000


def planned(request: dict) -> dict:
    """The product's answer without the advice on what to measure next, which no job here takes."""
    from bothends.model.solve import Plan

    return Plan(request).answer(advice=False)


def _one(seed: int, *, name: str, swapped: bool) -> Job:
    return play(name, seed, planned, swapped=swapped)


def _outer(seed: int) -> bool:
    return outer_lands(made("plate", seed))


def row(name: str, c: Count) -> str:
    """One layout's row of the table."""
    return (
        f"| {name} | {c.first:.3f} | {c.by_second:.3f} | {c.in_one_teardown:.3f}"
        f" | {c.opened:.2f}, {c.inner_jobs:.2f}, {c.inner_sides:.2f}"
        f" | {c.promised:.3f}, {c.kept:.3f} | {c.around_promised:.2f}, {c.around_kept:.2f} of {c.around}"
        f" | {c.z_mean:+.2f} ± {c.z_sd:.2f} | {c.doubted:.3f}, {c.withheld:.3f} | {len(c.errors)} |"
    )


def main() -> None:
    """Play and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(LAYOUTS))
    parser.add_argument("--jobs", type=int, default=300)
    parser.add_argument("--from", dest="start", type=int, default=JUDGING)
    parser.add_argument("--swapped", action="store_true", help="the first turns are made at the wrong screws")
    given = parser.parse_args()
    print(
        f"{given.jobs} jobs each, {'judging' if given.start >= JUDGING else 'tuning'} seeds from {given.start}"
    )
    print(
        "| layout | first | by second | one teardown | opened, inner end drawn, the same by side |"
        " chance, kept | 70-90 in 100 |"
        " heights (z) | doubted, withheld | errors |\n|---|---|---|---|---|---|---|---|---|---|"
    )
    seeds = range(given.start, given.start + given.jobs)
    with multiprocessing.Pool(2) as pool:
        for name in given.names or LAYOUTS:
            play_one = functools.partial(_one, name=name, swapped=given.swapped)
            counted = count(pool.map(play_one, seeds, chunksize=10))
            print(row(name, counted), flush=True)
            if name == "plate":
                needed = sum(not found for found in pool.map(_outer, seeds, chunksize=10)) / len(seeds)
                print(
                    f"   whoever knows the true car draws an inner end in {needed:.2f} at least", flush=True
                )
            for error in counted.errors[:3]:
                print("  ", error)


if __name__ == "__main__":
    main()
