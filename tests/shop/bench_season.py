"""A season on demand: ``python tests/shop/bench_season.py --scenario boards --cars 200 --from 0 [--slips]``.

``--table [NAME ...]`` prints the table for DEVELOPERS.md instead, a row for each scenario named, on judging seeds.
``--scenarios`` lists their names; see ``scenario.py``. A mix is reported as a whole and by its parts.
Seeds 0-9999 are for tuning, 1,000,000 and up for judging; the heading says which was run. Two processes.
Prints the report; nothing here is a test. ``--without`` leaves the product out: rules of thumb and
ceiling only.
"""

import argparse
import functools
import math
import multiprocessing
import sys
import time
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from shop import drivers, scenario, season, slips, tally

__all__ = ["JUDGED", "main", "season_lines", "slip_lines", "table_lines", "table_row"]

JUDGING = 1_000_000
JUDGED = (
    "given",
    "given-boards",
    "closed",
    "closed-boards",
    "closed-counted",
    "closed-counted-boards",
    "nothing",
    "lever",
    "friction-4",
    "friction-4-unmarked",
    "floor-3-named",
    "floor-5-named",
    "floor-5-unnamed",
    "driver-60-read",
    "driver-60-judged",
    "bush",
    "tails",
    "mixed",
)
"""The rows of the table where none is named."""


def _solve():
    from bothends.model.solve import solve

    return solve


def _play(
    seed: int, *, name: str, friction: float, board_rounds: int | None, without: bool
) -> season.Outcome:
    solve = None if without else _solve()
    return season.play(seed, name, solve, friction=friction, board_rounds=board_rounds)


def _study(seed: int) -> list[slips.Verdict]:
    return slips.study(seed, _solve(), slips.ORDER)


def _of(rate: float, count: int) -> str:
    """A rate with its binomial standard error."""
    if not count or math.isnan(rate):
        return "none"
    return f"{rate:.3f} ± {math.sqrt(max(rate * (1 - rate), 0.25 / count) / count):.3f} (of {count})"


def season_lines(outcomes: list[season.Outcome]) -> list[str]:
    """The report of a season as lines of text."""
    r = tally.report(outcomes)
    n = r.cars
    out = [
        f"first teardown   {_of(r.first, n)}",
        f"by the second    {_of(r.second, n)}",
        f"thumb, outer end only  {_of(r.outer_only, n)}",
        f"thumb, both ends       {_of(r.both_ends, n)}",
        f"knows the constants    {_of(r.knows_all, n)}",
    ]
    if math.isnan(r.promised):
        return out + ([f"{len(r.errors)} errors", *r.errors[:5]] if r.errors else [])
    out += [
        f"first plans   promised {r.promised:.3f}, kept {r.kept:.3f}, apart {r.kept - r.promised:+.3f}",
        f"promised 0.8 or more  promised {r.sure_promised:.3f}, kept {_of(r.sure_kept, r.sure)}",
        f"second plans of cars that missed: {r.seconds}, {r.left_alone} of them to leave it;"
        f" promised {r.promised_second:.3f}, kept {r.kept_second:.3f}",
        f"second plans asked of every car  promised {r.promised_after:.3f}, kept {r.kept_after:.3f}",
        f"doubted  {_of(r.doubted, n)}",
        f"withheld  {r.withheld}, nothing turned  {r.nothing_turned}, past the true stop  {r.past_stop}",
        f"Brier score  {r.brier:.4f}",
        f"heights promised: {r.heights.count}, z {r.heights.z_mean:+.3f} ± {r.heights.z_sd:.3f}, transform "
        + " ".join(map(str, r.heights.bins)),
        "promised between   plans  promised   kept",
    ]
    out += [f"   {a:.2f} and {b:.2f}   {c:5d}   {d:.3f}     {e:.3f}" for a, b, c, d, e in r.table]
    for name, group in (("job", lambda o: o.job), ("teeth", lambda o: "{}/{}".format(*o.teeth)),
                        ("datum read", lambda o: str(o.reads_datum))):  # fmt: skip
        held: dict[str, list[season.Outcome]] = {}
        for o in outcomes:
            held.setdefault(group(o), []).append(o)
        shares = (
            f"{k} {sum(o.first for o in v) / len(v):.2f} (of {len(v)})" for k, v in sorted(held.items())
        )
        out.append(f"first teardown by {name}: " + ", ".join(shares))
    if len({o.scenario for o in outcomes}) > 1:
        out.append("part                     cars   first  second  promised  kept")
        for found in (tally.parts(outcomes, family=True), tally.parts(outcomes)):
            out += [
                f"   {p.name:22s} {p.cars:4d}   {p.first:.3f}   {p.second:.3f}     {p.promised:.3f} {p.kept:.3f}"
                for p in found
            ]
    out += drivers.lines(outcomes)
    out += [f"{len(r.errors)} errors", *r.errors[:5]] if r.errors else []
    return out


def _with_error(rate: float, count: int) -> str:
    """A rate with its binomial standard error, as a table shows it."""
    return f"{rate:.3f} ± {math.sqrt(max(rate * (1 - rate), 0.25 / count) / count):.3f}"


def table_row(name: str, outcomes: list[season.Outcome]) -> str:
    """One scenario's row of the table of what was judged."""
    r = tally.report(outcomes)
    first, second = (_with_error(rate, r.cars) for rate in (r.first, r.second))
    if name == "nothing-empty":
        second = ""
    return f"| `{name}` | {r.cars:,} | {first} | {second} | {r.promised:.3f}, {r.kept:.3f} |"


def table_lines(outcomes: list[season.Outcome]) -> list[str]:
    """The table's last rows: the rules of thumb, and someone who knows the car, on the cars of one scenario."""
    r = tally.report(outcomes)
    rows = (
        ("rule of thumb, outer ends only", r.outer_only),
        ("rule of thumb, both ends", r.both_ends),
        ("someone who knows the car's true constants", r.knows_all),
    )
    return [f"| {what} | {r.cars:,} | {_with_error(rate, r.cars)} | | |" for what, rate in rows]


def _table(names: list[str], seeds: range, processes: int) -> None:
    """Play the scenarios, each as soon as the one before it is done, and print their rows as they come."""
    columns = ("cars", "first teardown", "by the second", "first plans promised, kept")
    print(f"| judged on seeds from {seeds[0]:,} | {' | '.join(columns)} |")
    print("|---|---|---|---|---|", flush=True)
    errors, last = [], []
    with multiprocessing.Pool(processes) as pool:
        for name in names:
            play = functools.partial(_play, name=name, friction=1.0, board_rounds=None, without=False)
            found = pool.map(play, seeds, chunksize=4)
            print(table_row(name, found), flush=True)
            errors += [f"{name}, seed {o.seed}: {o.error}" for o in found if o.error]
            last = found if name == names[0] else last
    print("\n".join([*table_lines(last), "", f"{len(errors)} errors", *errors[:20]]))


def slip_lines(found: list[list[slips.Verdict]], *, show: int = 0) -> list[str]:
    """The slip study as lines of text."""
    verdicts = [v for row in found for v in row]
    out = []
    for kind in slips.CLEAN:
        held = [v for v in verdicts if v.kind == kind]
        if held:
            doubted = _of(sum(not v.told and not v.refused for v in held) / len(held), len(held))
            out.append(
                f"false doubts on logs that are {kind}: {doubted}, refused {sum(v.refused for v in held)}"
            )
    for kind in slips.ORDER:
        held = [v for v in verdicts if v.kind == kind]
        if held:
            told = _of(sum(v.told for v in held) / len(held), len(held))
            parts = []
            for name in ("listed", "placed", "silent", "refused"):
                parts.append(f"{name} {sum(getattr(v, name) for v in held) / len(held):.2f}")
            out.append(f"{kind:26s} told {told}, {', '.join(parts)}")
    for name, kinds in (("the usual kinds", slips.KINDS), ("further kinds", slips.FURTHER),
                        ("first visits", slips.FIRST_VISIT)):  # fmt: skip
        held = [v for v in verdicts if v.kind in kinds]
        if held:
            out.append(f"{name:26s} told {_of(sum(v.told for v in held) / len(held), len(held))}")
    missed = [v for v in verdicts if not v.told][:show]
    return out + [f"   seed {v.seed} {v.kind}: said {v.guess or 'nothing'!r}; {v.slip}" for v in missed]


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cars", type=int, default=200)
    parser.add_argument("--from", dest="first", type=int, metavar="SEED", help="first seed")
    parser.add_argument(
        "--table", nargs="*", choices=scenario.names(), metavar="NAME", help="the judged table, these rows"
    )
    parser.add_argument("--scenario", choices=scenario.names(), default="boards", metavar="NAME")
    parser.add_argument("--scenarios", action="store_true", help="names of the scenarios, and nothing else")
    parser.add_argument("--board-rounds", type=int, help="other than the scenario's")
    parser.add_argument("--friction", type=float, default=1.0, help="times the usual band of settling")
    parser.add_argument("--slips", action="store_true", help="the slip study instead")
    parser.add_argument("--show", type=int, default=0, help="so many slips that were not told")
    parser.add_argument("--without", action="store_true", help="rules of thumb and ceiling only")
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    if args.scenarios:
        print("\n".join(scenario.names()))
        return
    first = args.first if args.first is not None else 0 if args.table is None else JUDGING
    seeds = range(first, first + args.cars)
    if args.table is not None:
        _table(args.table or list(JUDGED), seeds, args.processes)
        return
    purpose = "tuning" if seeds[-1] < 10_000 else "judging" if seeds[0] >= 1_000_000 else "neither kind of"
    what = "slips" if args.slips else args.scenario
    print(f"{args.cars} cars, seeds {seeds[0]}-{seeds[-1]} ({purpose} seeds), {what}")
    play = functools.partial(
        _play,
        name=args.scenario,
        friction=args.friction,
        board_rounds=args.board_rounds,
        without=args.without,
    )
    began = time.perf_counter()
    with multiprocessing.Pool(args.processes) as pool:
        found = pool.map(_study if args.slips else play, seeds, chunksize=4)
    lines = slip_lines(found, show=args.show) if args.slips else season_lines(found)
    print("\n".join(lines))
    print(f"{(time.perf_counter() - began) / args.cars * args.processes * 1e3:.0f} ms of one process a car")


if __name__ == "__main__":
    main()
