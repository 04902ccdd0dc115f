"""How honest the promises are: ``python tests/shop/bench_calibration.py --scenario boards --cars 400``.

Plays a season on judging seeds (``--from`` for others) and prints, with the chance of seeing each this far
off were the promises exactly right: the transform of promised heights and lean, their continuous ranked
probability score, and Spiegelhalter's z of the odds. The two sides of a car share a load and a roll, so each
is judged by itself; so is the lean. Nothing here is a test.
"""

import argparse
import functools
import multiprocessing
import sys
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np

from shop import calibration, scenario, season

__all__ = ["lines", "main", "promises"]

JUDGING = 1_000_000


def _play(seed: int, *, name: str) -> season.Outcome:
    from bothends.model.solve import solve

    return season.play(seed, name, solve)


def promises(plans: list[season.Plan]) -> dict[str, np.ndarray]:
    """Value, standard deviation and what came, (3, n), of left height, right height and lean."""
    rows: dict[str, list[tuple[float, float, float]]] = {"left": [], "right": [], "lean": []}
    for plan in plans:
        for s, name in enumerate(("left", "right")):
            rows[name].append((plan.promised_mm[s], plan.promised_sd_mm[s], plan.stood_mm[s]))
        rows["lean"].append((*plan.lean_mm, plan.stood_mm[0] - plan.stood_mm[1]))
    found = {name: np.array(held, dtype=float).reshape(-1, 3).T for name, held in rows.items()}
    return {name: held[:, np.isfinite(held).all(axis=0) & (held[1] > 0.0)] for name, held in found.items()}


def lines(plans: list[season.Plan], what: str) -> list[str]:
    """The measures of some plans as lines of text."""
    out = [f"{what}: {len(plans)}"]
    if len(plans) < 2:
        return out
    for name, held in promises(plans).items():
        if held.shape[1] < 2:
            continue
        pit, score = calibration.pit(*held), calibration.crps(*held)
        out += [
            f"   {name:5s}  z {pit.z_mean:+.3f} ± {pit.z_sd:.3f}, transform {' '.join(map(str, pit.bins))}",
            f"          Kolmogorov {pit.distance:.3f} (chance {pit.p_kolmogorov:.3f}),"
            f" chi-square (chance {pit.p_chi_square:.3f})",
            f"          ranked score {score.mean:.3f} mm, expected {score.expected:.3f}"
            f" (z {score.z:+.2f}, chance {score.p:.3f})",
        ]
    odds = calibration.odds([p.odds for p in plans], [p.landed for p in plans])
    out.append(
        f"   odds   Spiegelhalter's z {odds.z:+.2f} (chance {odds.p:.3f}),"
        f" Brier {odds.brier:.4f}, expected {odds.expected:.4f}"
    )
    return out


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cars", type=int, default=400)
    parser.add_argument("--from", dest="first", type=int, default=JUDGING, metavar="SEED", help="first seed")
    parser.add_argument("--scenario", choices=scenario.names(), default="boards", metavar="NAME")
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    seeds = range(args.first, args.first + args.cars)
    print(f"{args.cars} cars, seeds {seeds[0]}-{seeds[-1]}, {args.scenario}")
    with multiprocessing.Pool(args.processes) as pool:
        outcomes = pool.map(functools.partial(_play, name=args.scenario), seeds, chunksize=4)
    first = [o.plans[0] for o in outcomes if o.plans]
    found = lines(first, "first plans")
    found += lines([o.after for o in outcomes if o.after], "second plans asked of every car")
    errors = [f"seed {o.seed}: {o.error}" for o in outcomes if o.error]
    print("\n".join([*found, f"{len(errors)} errors", *errors[:5]]))


if __name__ == "__main__":
    main()
