"""Speed of a solve on demand: ``python tests/shop/bench_solve.py [--repeats 30]``.

Prints milliseconds and ratios from one run on one machine: the whole solve of a log of 60 readings in pure Python,
its fit alone, and the same fit by scipy.optimize.least_squares with residuals written in numpy, once with its own
finite differences and once with exact derivatives. And planning for another target, as the slider does; and the two
largest logs that must not be slow: 420 entries with one inch slip, and 250 board poses, without and with a slip.
Nothing here is a test; the maxima are compared so that like is held against like.
"""

import argparse
import functools
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy import optimize

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from model.cars import Sheet, drawn

from bothends.model.estimate import Estimate
from bothends.model.request import read
from bothends.model.solve import Plan, solve

__all__ = ["Residuals", "board_poses", "log_of_sixty", "main", "with_an_inch"]

ALPHA, RATE, ARM, BUSH, LOAD, ROLL, UNEVEN, TYRE, MARK = 0, 2, 3, 4, 5, 7, 8, 9, 10


def log_of_sixty(seed: int = 0) -> dict:
    """A request with 60 readings: four rounds, two board tests twice, a teardown, three rounds, scales."""
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(4).boards(rounds=2)
    sheet.move(left=(-3, 5), right=(2, 1)).plain(3).both("wheel-load")
    return sheet.request()


def board_poses(poses: int) -> dict:
    """A request with plain readings and so many boards of different thickness, each read once on both sides."""
    sheet = Sheet(drawn(0), np.random.default_rng(0)).plain()
    for k in range(poses):
        thick = 20.0 + 0.3 * k
        for what in ("body-height", "riding-angle"):
            sheet.both(what, board_mm=(thick, 0.0) if k % 2 else (0.0, thick))
    return sheet.request()


def with_an_inch(request: dict) -> dict:
    """The request with one body height in the middle of its log typed in inches."""
    heights = [entry for entry in request["log"] if entry.get("what") == "body-height"]
    heights[len(heights) // 2]["value"] /= 25.4
    return request


class Residuals:
    """The product's residuals and derivatives written in numpy, all poses at once; prior included.

    Takes the observations, the whitening transform and the prior from an Estimate, and solves the statics itself.
    """

    def __init__(self, estimate: Estimate) -> None:
        ev = estimate.evidence
        self.seen = ev.observations
        count = len(self.seen)
        self.whiten = np.array([estimate.noise.vector(row) for row in np.eye(count).tolist()]).T
        self.value = np.array([o.value for o in self.seen])
        self.mean, self.scale = np.array(estimate.mean), np.array(estimate.scale)
        self.root = np.linalg.cholesky(np.array(estimate.precision)).T
        self.turn = np.array([ev.turns[pose.teardown] for pose in ev.poses])
        self.clamps = np.array(
            [[ev.clamps[pose.teardown], ev.clamps[pose.teardown] + 1] for pose in ev.poses]
        )
        self.lift = np.array([pose.lift for pose in ev.poses])
        self.ballast = np.array([pose.ballast for pose in ev.poses])
        self.rest, self.unsprung = ev.rest, ev.unsprung
        self.turns = np.array([ev.turns[o.teardown][o.side] for o in self.seen])
        self.side = np.array([o.side for o in self.seen])
        self.pose = np.array([-1 if o.pose is None else o.pose for o in self.seen])
        self.kind = {name: np.array([o.kind == name for o in self.seen])
                     for name in ("hanging-angle", "riding-angle", "body-height", "wheel-load")}  # fmt: skip
        self.near = np.zeros((len(ev.poses), 2))

    def _settle(self, theta: np.ndarray, derivatives: bool):
        """Angle, force and height of both sides in all poses : (p, 2), and their derivatives : (p, 2, 10)."""
        rate, roll, tyre = np.exp(theta[RATE]), np.exp(theta[ROLL]), np.exp(theta[TYRE])
        arm, bush, half = theta[ARM], theta[BUSH] * np.exp(theta[RATE]), 0.5 * np.exp(theta[ROLL])
        alpha = theta[ALPHA : ALPHA + 2] + self.turn + theta[self.clamps]
        load = theta[LOAD : LOAD + 2] + self.ballast
        up = self.lift - theta[UNEVEN]
        across = np.array([1.0, -1.0])
        phi, last = self.near, False
        # As the product does: forces and heights are worked out once more at the very angles of the last step.
        while True:
            sin, lever = np.sin(phi), arm * np.cos(phi)
            force = (rate * (alpha - phi) + bush * (self.rest - phi)) / lever
            slope = (force * arm * sin - rate - bush) / lever
            height = arm * sin - force / tyre
            rise = lever - slope / tyre
            lean = height[:, 0] - height[:, 1] + up
            miss = force - load - half * lean[:, None] * across
            jac = -half * across[:, None] * (rise * across)[:, None, :]
            jac[:, 0, 0] += slope[:, 0]
            jac[:, 1, 1] += slope[:, 1]
            if last:
                break
            step = np.linalg.solve(jac, miss[:, :, None])[:, :, 0]
            phi = phi - step
            last = np.abs(step).max() < 1e-7
        self.near = phi
        if not derivatives:
            return phi, force, height, None
        poses = len(phi)
        d_force = np.zeros((poses, 2, 10))
        for s in (0, 1):
            d_force[:, s, ALPHA + s] = rate / lever[:, s]
        d_force[:, :, RATE] = force
        d_force[:, :, ARM] = -force / arm
        d_force[:, :, BUSH] = rate * (self.rest - phi) / lever
        d_height = -d_force / tyre
        d_height[:, :, ARM] += sin
        d_height[:, :, TYRE] += force / tyre
        d_lean = d_height[:, 0] - d_height[:, 1]
        d_lean[:, UNEVEN] -= 1.0
        off = d_force - half * d_lean[:, None, :] * across[:, None]
        off[:, :, ROLL] -= 0.5 * roll * lean[:, None] * across
        for s in (0, 1):
            off[:, s, LOAD + s] -= 1.0
        d_phi = -np.linalg.solve(jac, off)
        return (
            phi,
            force,
            height,
            (
                d_phi,
                d_force + slope[:, :, None] * d_phi,
                d_height + rise[:, :, None] * d_phi,
            ),
        )

    def residuals(self, x: np.ndarray) -> np.ndarray:
        """Whitened residuals and the prior's : (m + n,)."""
        theta = self.mean + self.scale * x
        phi, force, height, _ = self._settle(theta, False)
        at = (self.pose, self.side)
        found = np.where(self.kind["hanging-angle"], theta[self.side] + self.turns, phi[at])
        found = np.where(self.kind["body-height"], height[at] + theta[MARK + self.side], found)
        if self.unsprung is not None:
            found = np.where(self.kind["wheel-load"], force[at] + theta[self.unsprung], found)
        return np.concatenate([self.whiten @ (found - self.value), self.root @ x])

    def jacobian(self, x: np.ndarray) -> np.ndarray:
        """Their derivatives : (m + n, n)."""
        theta = self.mean + self.scale * x
        _, _, _, parts = self._settle(theta, True)
        rows = np.zeros((len(self.seen), len(x)))
        for name, part in zip(("riding-angle", "wheel-load", "body-height"), parts, strict=True):
            mask = self.kind[name]
            rows[mask, :10] = part[self.pose[mask], self.side[mask]]
            for s in (0, 1):
                rows[mask, self.clamps[self.pose[mask], s]] = rows[mask, s]
        mask = self.kind["hanging-angle"]
        rows[mask, self.side[mask]] = 1.0
        mask = self.kind["body-height"]
        rows[mask, MARK + self.side[mask]] = 1.0
        if self.unsprung is not None:
            rows[self.kind["wheel-load"], self.unsprung] = 1.0
        return np.vstack([self.whiten @ (rows * self.scale), self.root])

    def fit(self, exact: bool):
        """The maximum by scipy, from the prior's mean."""
        self.near = np.zeros_like(self.near)
        return optimize.least_squares(
            self.residuals,
            np.zeros(len(self.mean)),
            jac=self.jacobian if exact else "2-point",
            method="lm",
            xtol=1e-10,
            ftol=1e-12,
            gtol=1e-10,
        )


def timed(what: Callable, repeats: int) -> float:
    """Median of ``repeats`` runs, [ms]."""
    what()
    took = []
    for _ in range(repeats):
        began = time.perf_counter()
        what()
        took.append((time.perf_counter() - began) * 1e3)
    return statistics.median(took)


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--repeats", type=int, default=30)
    repeats = parser.parse_args().repeats
    request = log_of_sixty()
    readings = sum(entry["kind"] == "reading" for entry in request["log"])
    case = read(request)
    estimate = Estimate(case)
    scipys = Residuals(estimate)
    found, by_differences = scipys.fit(True), scipys.fit(False)
    spread = np.sqrt(np.diag(np.array(estimate.result["covariance"])))
    plan = Plan(request)
    large = [
        (f"{len(log['log'])} entries, {name}", log)
        for name, log in (
            ("one in inches", with_an_inch(board_poses(104))),
            ("248 board poses", board_poses(248)),
            ("248 board poses, one in inches", with_an_inch(board_poses(248))),
        )
    ]
    wish = {"left_mm": 240.0, "right_mm": 242.0, "tolerance_mm": 5.0, "lean_mm": 5.0}
    rows = [
        ("whole solve, pure Python", lambda: solve(request)),
        ("its fit alone, request read", lambda: Estimate(case)),
        ("scipy, finite differences, the fit alone", lambda: scipys.fit(False)),
        ("scipy, exact derivatives, the fit alone", lambda: scipys.fit(True)),
        ("another target", lambda: plan.answer(wish, advice=False)),
        ("another target with advice", lambda: plan.answer(wish)),
    ]
    rows += [(name, functools.partial(solve, log)) for name, log in large]
    took = [timed(what, repeats) for _, what in rows]
    print(
        f"{readings} readings in {len(estimate.evidence.observations)} observations, {repeats} runs each, median"
    )
    for (name, _), ms in zip(rows, took, strict=True):
        print(f"{name:42s} {ms:8.2f} ms   {ms / took[0]:6.2f} of the whole solve")
    for name, ms in (("differences", took[2]), ("derivatives", took[3])):
        print(f"scipy by {name}: {ms / took[0]:.2f} times the whole solve, {ms / took[1]:.2f} times its fit")
    for name, other in (("differences", by_differences), ("derivatives", found)):
        apart = np.abs((np.array(estimate.result["x"]) - other.x) / spread).max()
        print(f"maxima apart by {apart:.1e} standard deviations, scipy by {name}")


if __name__ == "__main__":
    main()
