"""Jobs as they stand after a teardown, put into the page's log, for tests of check, hand-over and recheck."""

from typing import Any

from browser.hand import PLAIN, Hand

__all__ = ["CHECKS", "SETTLED", "TARGET", "TURNED", "after", "append", "heights", "job", "plan"]

TARGET = {"left_mm": 250, "right_mm": 250, "tolerance_mm": 5, "lean_mm": 5}
TURNED = {"left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}
"""What the plan of PLAIN turns."""
SETTLED = [
    ["step", {"step": key, "done": True, "teardown": 1}] for key in ("ready", "place", "rolled", "bounced")
]
"""Everything that the car is settled by, ticked."""
CHECKS = (
    "torque",
    "clearance",
    "brakes",
    "regulator",
    "alignment",
    "headlamps",
    "rules",
)
"""The checks before the road, as their steps end."""


def append(hand: Hand, job: str, items: list[Any]) -> None:
    """Put entries into a job; screens see them when they are drawn again."""
    hand.page.evaluate(
        "async ([job, items]) => (await import('/book/log.js')).append(job, items)", [job, items]
    )


def plan(target: dict[str, Any] | None = None) -> list[Any]:
    """A plan as the app keeps it: 250 by 1.9 and 251.5 by 2.1 mm (standard deviations)."""

    def side(inner: int, outer: int, height: float, sd: float) -> dict[str, Any]:
        lift = {"torque_nm": 505.0, "force_n": 1217.0, "energy_j": 38.0}
        return {
            "inner": inner,
            "outer": outer,
            "body_height_mm": {"value": height, "sd": sd},
            "hanging_deg": 8.5,
            "riding_deg": -6.0,
            "lift": lift,
            "lift_now": lift,
            "hanging_now_deg": {"value": 3.0, "sd": 0.2},
        }

    return [
        "plan",
        {
            "teardown": 1,
            "label": "both ends",
            "odds": 0.78,
            "lean_mm": {"value": 0.4, "sd": 1.6},
            "target": target or TARGET,
            "left": side(-3, 4, 250.0, 1.9),
            "right": side(5, -5, 251.5, 2.1),
            "cautions": [],
        },
    ]


def heights(left: float | None, right: float | None, **more: Any) -> list[list[Any]]:
    """Both heights after the teardown; None leaves one out."""
    both = (("left", left), ("right", right))
    return [
        ["reading", {"what": "body-height", "side": side, "value": value, "teardown": 1, **more}]
        for side, value in both
        if value is not None
    ]


def after(
    left: float | None = None, right: float | None = None, *, settled: bool = True, checks: bool = False
) -> list[list[Any]]:
    """One teardown by its plan, whole, and what was read after it."""
    moved = [plan(), ["move", {"teardown": 1, **TURNED}]]
    ticked = [["step", {"step": f"handover-{name}", "done": True}] for name in CHECKS] if checks else []
    return [*moved, *(SETTLED if settled else []), *heights(left, right), *ticked]


def job(hand: Hand, items: list[Any] | None = None, request: dict[str, Any] | None = None) -> str:
    """A job with these entries behind those of PLAIN; its id."""
    made = hand.job(PLAIN if request is None else request)
    if items:
        append(hand, made, items)
    return made
