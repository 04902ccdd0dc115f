"""A first visit on a phone as Lighthouse judges it: a slowed network and processor, simulated by Lighthouse.

    uv run poe lighthouse

Run on demand; prints, asserts nothing. Each of ROUNDS visits is to a server of its own, in a browser that was
never there; the median is of all visits, figure by figure. Lighthouse is fetched by npm when it is first wanted.
What else the machine does shows in the figures: look at its load, which is printed too.
"""

import json
import os
import statistics
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from browser.server import running
from tools import WHOLE, need

LIGHTHOUSE = "lighthouse@13.5.0"
ROUNDS = 3
PATIENCE_S = 300
CATEGORIES = ("performance", "accessibility", "best-practices")
AUDITS = ("first-contentful-paint", "largest-contentful-paint", "speed-index", "total-blocking-time")
"""All in ms."""


def visit(folder: Path) -> dict[str, Any]:
    """What Lighthouse says of one first visit."""
    report = folder / "report.json"
    with running(folder) as address:
        subprocess.run(
            ["npx", "--yes", LIGHTHOUSE, address, "--quiet", "--output=json", f"--output-path={report}",
             f"--only-categories={','.join(CATEGORIES)}", "--chrome-flags=--headless=new --no-sandbox"],
            env={**os.environ, "CHROME_PATH": WHOLE}, check=True, timeout=PATIENCE_S,
        )  # fmt: skip
    found: dict[str, Any] = json.loads(report.read_text(encoding="utf-8"))
    return found


def figures(report: dict[str, Any]) -> dict[str, float]:
    """Scores out of 100 and times in ms, by name."""
    scores = {name: 100 * report["categories"][name]["score"] for name in CATEGORIES}
    return scores | {name: report["audits"][name]["numericValue"] for name in AUDITS}


def main() -> None:
    need(WHOLE)
    visits = []
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            visits.append(figures(visit(Path(folder))))
        print(", ".join(f"{name} {value:.0f}" for name, value in visits[-1].items()), end="")
        print(f"; load {os.getloadavg()[0]:.1f}")
    print(
        "median:", ", ".join(f"{name} {statistics.median(v[name] for v in visits):.0f}" for name in visits[0])
    )


if __name__ == "__main__":
    main()
