"""Writes the fixed cases of the parity test. Run by hand when a case is to change; the files are what counts."""

import json
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
BAR = {"diameter_mm": 22.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}
CAR: dict[str, Any] = {"bar": BAR, "arm_mm": 415.0}
TARGET = {"left_mm": 250.0, "right_mm": 250.0}


def reading(what: str, side: str, value: float, **rest: Any) -> dict[str, Any]:
    """One reading of a log."""
    return {"kind": "reading", "what": what, "side": side, "value": value, **rest}


def pair(what: str, left: float, right: float, **rest: Any) -> list[dict[str, Any]]:
    """A reading of both sides."""
    return [reading(what, "left", left, **rest), reading(what, "right", right, **rest)]


PLAIN = [
    *pair("hanging-angle", 3.1, 5.2),
    *pair("riding-angle", -9.6, -8.4),
    *pair("body-height", 214.0, 222.0),
]
LEFT = {"board_left_mm": 50.0}
RIGHT = {"board_right_mm": 50.0}
BOARDS = [
    *pair("body-height", 201.0, 226.0, pose=LEFT),
    *pair("riding-angle", -11.4, -7.8, pose=LEFT),
    *pair("body-height", 218.5, 209.0, pose=RIGHT),
    *pair("riding-angle", -9.0, -10.2, pose=RIGHT),
]
HANG = [
    *pair("riding-angle", 1.0, 1.1, pose={"hanging": True}),
    *pair("hub-to-body", 262.0, 258.0, pose={"hanging": True}),
    *pair("hub-to-body", 184.5, 189.5),
]
MOVE = {"kind": "move", "teardown": 1, "left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}
HEIGHTS = pair("body-height", 152.0, 171.0)
RISE = {"as": "rise", "left_rise_mm": 40.0, "right_rise_mm": 30.0}
AFTER = [
    *pair("hanging-angle", 8.9, 9.2, teardown=1),
    *pair("body-height", 247.5, 253.0, teardown=1),
    *pair("riding-angle", -4.8, -4.2, teardown=1),
]
BOTH = [
    {**entry, "axle": axle}
    for axle, log in (
        ("rear", [*PLAIN, *pair("wheel-load", 251.0, 247.0)]),
        (
            "front",
            [
                *pair("hanging-angle", 8.2, 9.0),
                *pair("riding-angle", -6.1, -5.0),
                *pair("body-height", 301.0, 308.0),
                *pair("wheel-load", 282.0, 301.0),
            ],
        ),
    )
    for entry in log
]


def case(
    log: list[dict[str, Any]], car: dict[str, Any] | None = None, target: dict[str, Any] | None = None
) -> Any:
    """A request."""
    return {"car": CAR if car is None else car, "target": target or TARGET, "log": log}


CASES = {
    "plain": case(PLAIN),
    "fewest": case([*pair("hanging-angle", 3.1, 5.2), *pair("body-height", 214.0, 222.0)]),
    "boards": case(PLAIN + BOARDS),
    "no-datum": case(
        [
            *pair("hanging-angle", 4.3, 6.4, reference="gravity"),
            *pair("riding-angle", -8.9, -7.7, reference="gravity"),
            *pair("body-height", 214.0, 222.0),
        ]
    ),
    "datum": case(
        [
            *pair("hanging-angle", 4.3, 6.5, datum=1.2),
            *pair("riding-angle", -8.9, -7.7, datum=0.7),
            *pair("body-height", 214.0, 222.0),
            *pair("body-height", 215.0, 221.0),
        ]
    ),
    "hang-test": case(PLAIN + HANG),
    "scales": case(PLAIN + pair("wheel-load", 196.0, 204.0)),
    "ballast": case(
        PLAIN + pair("body-height", 205.0, 213.5, pose={"ballast_left_kg": 25.0, "ballast_right_kg": 25.0})
    ),
    "equal-teeth": case(PLAIN, {**CAR, "bar": {**BAR, "inner_teeth": 40, "outer_teeth": 40}}),
    "after-a-move": case([*PLAIN, MOVE, *AFTER]),
    "sign-flipped": case(
        [
            *pair("hanging-angle", 3.1, 5.2),
            *pair("riding-angle", 9.6, -8.4),
            *pair("body-height", 214.0, 222.0),
        ]
    ),
    "one-tooth-off": case([*PLAIN, {**MOVE, "left": {"inner": -3, "outer": 5}}, *AFTER]),
    "board-in-inches": case(
        PLAIN
        + [
            {**entry, "pose": {"board_left_mm": 2.0}} if entry["pose"] == LEFT else entry
            for entry in [*BOARDS, *BOARDS]
        ]
    ),
    "typed-twice": case([*PLAIN, *BOARDS, *pair("body-height", 222.0, 222.0), MOVE, *AFTER]),
    "first-visit-in-inches": case([*PLAIN[:4], *pair("body-height", 8.4, 8.7)]),
    "hollow-swing": case(
        PLAIN,
        {
            **CAR,
            "bar": {**BAR, "diameter_mm": 24.0, "bore_mm": 14.0},
            "axle": "swing",
            "half_axle_mm": 620.0,
            "half_axle_deg": 2.0,
            "limits": {"stop_deg": -2.0, "bump_mm": 70.0, "droop_mm": 80.0, "joint_deg": 14.0},
        },
    ),
    "semi-trailing": case(PLAIN, {**CAR, "axle": "semi-trailing", "sweep_deg": 18.0}),
    "extreme-target": case(PLAIN, target={"left_mm": 420.0, "right_mm": 415.0}),
    "extreme-light": case(
        [
            *pair("hanging-angle", 1.5, 0.5),
            *pair("riding-angle", -1.0, -2.2),
            *pair("body-height", 150.0, 146.0),
        ],
        {
            "bar": {"diameter_mm": 12.0, "length_mm": 400.0, "inner_teeth": 24, "outer_teeth": 25},
            "arm_mm": 250.0,
            "load_kg": {"left": 40.0, "right": 42.0},
        },
        {"left_mm": 160.0, "right_mm": 160.0, "tolerance_mm": 2.0, "lean_mm": 2.0},
    ),
    "extreme-heavy": case(
        [
            *pair("hanging-angle", 31.0, 27.0),
            *pair("riding-angle", 2.0, -1.0),
            *pair("body-height", 480.0, 462.0),
        ],
        {
            "bar": {"diameter_mm": 40.0, "length_mm": 1500.0, "inner_teeth": 47, "outer_teeth": 48},
            "arm_mm": 600.0,
            "load_kg": {"left": 900.0, "right": 880.0},
            "load_sd_kg": 30.0,
        },
        {"left_mm": 500.0, "right_mm": 495.0},
    ),
    "two-heights": case(HEIGHTS, {}, {"as": "level", "rise_mm": 100.0}),
    "nothing-known": case([], {}, RISE),
    "one-side": case([reading("body-height", "left", 214.0)], {}, RISE),
    "hanging-wish": case(
        PLAIN, target={"as": "hanging-angle", "left_deg": 8.5, "right_deg": 8.5, "tolerance_deg": 0.6}
    ),
    "hanging-wish-in-degrees": case(
        pair("riding-angle", -9.6, -8.4),
        {"arm_mm": 415.0},
        {"as": "hanging-angle", "left_deg": 8, "right_deg": 9},
    ),
    "hub-target": case(
        [*pair("hub-to-body", 184.5, 189.5), *pair("hanging-angle", 3.1, 5.2)],
        target={"left_mm": 215.0, "right_mm": 215.0, "measured": "hub-to-body"},
    ),
    "held-ends": case(PLAIN, {**CAR, "held": {"left": ["inner"], "right": ["inner", "outer"]}}),
    "two-spots": case(
        [
            *pair("hanging-angle", 3.1, 5.2),
            *pair("body-height", 214.0, 222.0, spot="lift bay"),
            *pair("riding-angle", -9.6, -8.4, spot="lift bay"),
            *pair("body-height", 211.0, 224.5, spot="yard"),
        ],
        target={**TARGET, "spot": "yard"},
    ),
    "after-km": case(
        [*PLAIN, MOVE, *AFTER, *pair("body-height", 245.0, 250.5, teardown=1, after_km=400.0)],
        target={"left_mm": 252.0, "right_mm": 252.0},
    ),
    "resettled": case(
        [
            *PLAIN,
            *pair("body-height", 217.0, 219.5, resettled=1),
            *pair("riding-angle", -9.1, -8.8, resettled=1),
            *pair("body-height", 213.0, 223.0, resettled=2),
        ]
    ),
    "ballast-wish": case(
        PLAIN,
        target={
            "as": "level",
            "at": "mean",
            "rise_mm": 30.0,
            "ballast_left_kg": 75.0,
            "ballast_right_kg": 0.0,
        },
    ),
    "inch": {**case(HEIGHTS, {}, {"as": "level", "at": "lower", "rise_mm": 100.0}), "units": "inch"},
    "both-axles": case(
        BOTH,
        {**CAR, "track_mm": 1440.0, "other": {**CAR, "track_mm": 1320.0}},
        {
            "as": "level",
            "at": "mean",
            "rise_mm": 20.0,
            "other": {"as": "rise", "left_rise_mm": -8.0, "right_rise_mm": -15.0, "cross_percent": 50.0},
        },
    ),
    "forbidden": case(
        PLAIN + HANG,
        {**CAR, "limits": {"bump_mm": 40.0, "droop_mm": 30.0, "permissible_stress_mpa": 650.0}},
        {"left_mm": 275.0, "right_mm": 275.0},
    ),
}


if __name__ == "__main__":
    for name, request in CASES.items():
        (HERE / f"{name}.json").write_text(json.dumps(request, indent=1) + "\n", encoding="utf-8")
