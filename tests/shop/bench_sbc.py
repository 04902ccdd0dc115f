"""Whether the posterior is honest by its own lights: ``python tests/shop/bench_sbc.py --draws 500 [designs...]``.

Draws cars from the model's own beliefs, reads them by its own equations, fits them, and prints where the truth
falls in each quantity's posterior, with the chance of seeing it this uneven were the posterior exact. See ``sbc``.
Nothing here is a test.
"""

import argparse
import functools
import multiprocessing
import sys
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np

from shop import sbc

__all__ = ["lines", "main"]


def _part(first: int, *, name: str, count: int) -> sbc.Shares:
    return sbc.shares(sbc.DESIGNS[name], count, first=first)


def lines(found: sbc.Shares) -> list[str]:
    """One design's quantities as lines of text."""
    out = []
    for name, share in found.share.items():
        even = sbc.evenness(share)
        z = found.z.get(name, np.array([np.nan]))
        out.append(
            f"   {name:18s} z {np.mean(z):+.3f} ± {np.std(z):.3f}, Kolmogorov {even.kolmogorov:.4f},"
            f" chi-square {even.chi_square:.4f}   {' '.join(map(str, even.bins))}"
        )
    return out


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("designs", nargs="*", metavar="DESIGN", help=", ".join(sbc.DESIGNS))
    parser.add_argument("--draws", type=int, default=500)
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    unknown = [name for name in args.designs if name not in sbc.DESIGNS]
    if unknown:
        parser.error(f"no design is called {unknown[0]!r}; there are {', '.join(sbc.DESIGNS)}")
    piece = 25
    for name in args.designs or sbc.DESIGNS:
        part = functools.partial(_part, name=name, count=piece)
        with multiprocessing.Pool(args.processes) as pool:
            found = sbc.joined(pool.map(part, range(0, args.draws, piece), chunksize=1))
        print(f"{name}: {len(found.share['arm'])} draws, {len(found.refused)} refused {found.refused[:3]}")
        print("\n".join(lines(found)))


if __name__ == "__main__":
    main()
