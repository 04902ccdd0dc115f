"""What was promised for each teardown and what came: the stages of a job, and its history in order.

A stage is the car after so many teardowns: what was turned, which plan promised what, what was then read on
its wheels, and whether that lies within the target. Pure functions of a sheet. Runs on the phone as well.
"""

from .fold import turned
from .kinds import ANGLES, SIDES, SUPPORTS

__all__ = ["stages", "timeline"]

TOLERANCE_MM = 5.0
LEAN_MM = 5.0


def _plain(reading: dict) -> bool:
    """Whether a reading is of the car as it stands: on its wheels, no board, no ballast."""
    pose = reading.get("pose") or {}
    if pose.get("hanging"):
        return False
    return not [name for name in SUPPORTS if pose.get(name)]


def _value(reading: dict) -> float:
    value = reading["value"]
    if reading["what"] in ANGLES and reading.get("datum") is not None:
        value = value - reading["datum"]
    return value


def _mean(sheet: dict, what: str, side: str, teardown: int) -> float | None:
    """Mean of the repeats, or None; angles read against gravity alone say nothing of the body: left out."""
    total = 0.0
    count = 0
    for r in sheet["readings"]:
        if r["what"] == what and r["side"] == side and (r.get("teardown") or 0) == teardown:
            against_body = r.get("reference") != "gravity" or r.get("datum") is not None
            if (what not in ANGLES or against_body) and (what == "hanging-angle" or _plain(r)):
                total += _value(r)
                count += 1
    return total / count if count else None


def _promise(sheet: dict, teardown: int, move: dict | None) -> dict | None:
    """The plan this teardown was done by: the one its move names, else the last one made for it."""
    plans = [p for p in sheet["plans"] if p["teardown"] == teardown]
    if move is not None and move.get("plan") is not None:
        named = [p for p in plans if p["id"] == move["plan"]]
        if named:
            return named[0]
    if move is not None:
        same = [p for p in plans if turned(p) == turned(move)]
        if same:
            return same[-1]
    return plans[-1] if plans else None


def _number(value: object) -> float | None:
    return value if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def within(heights: dict, target: dict) -> bool | None:
    """Whether both heights and the lean are within the target, or None where something is missing.

    Parameters
    ----------
    heights : dict
        left, right, [mm], or None.
    target : dict
        left_mm, right_mm, tolerance_mm (default 5), lean_mm (default 5). The lean counts from the target's
        own: the difference of the two misses.
    """
    miss = []
    for side in SIDES:
        wanted = _number(target.get(side + "_mm"))
        if wanted is None or heights[side] is None:
            return None
        miss.append(heights[side] - wanted)
    tolerance = _number(target.get("tolerance_mm"))
    lean = _number(target.get("lean_mm"))
    tolerance = TOLERANCE_MM if tolerance is None else tolerance
    lean = LEAN_MM if lean is None else lean
    # Sums of decimal readings: a millionth of a millimetre of rounding must not turn a hit into a miss.
    slack = 1e-6
    return (
        abs(miss[0]) <= tolerance + slack
        and abs(miss[1]) <= tolerance + slack
        and abs(miss[0] - miss[1]) <= lean + slack
    )


def stages(sheet: dict) -> list:
    """The car as found (teardown 0) and after each move.

    Returns
    -------
    list of dict
        teardown, at (of the move, else of the first reading, else None), move, plan (ids or None), turned
        (four teeth counts or None), promised {odds, left_mm, left_sd_mm, right_mm, right_sd_mm} or None,
        followed (the teeth turned were the plan's; None without a plan), reached {left_mm, right_mm,
        lean_mm}, hanging_deg and riding_deg {left, right} (means of the readings, or None), target, hit
        (True, False or None), unsettled.
    """
    moves = {}
    numbers = {0: True}
    for move in sheet["moves"]:
        moves[move["teardown"]] = move
        numbers[move["teardown"]] = True
    for reading in sheet["readings"]:
        numbers[reading.get("teardown") or 0] = True
    out = []
    for number in sorted(numbers):
        move = moves.get(number)
        plan = _promise(sheet, number, move) if number else None
        target = sheet["target"]
        if plan is not None and plan.get("target"):
            target = plan["target"]
        heights: dict = {}
        angles: dict = {"hanging-angle": {}, "riding-angle": {}}
        for side in SIDES:
            heights[side] = _mean(sheet, "body-height", side, number)
            for what in ANGLES:
                angles[what][side] = _mean(sheet, what, side, number)
        both = heights["left"] is not None and heights["right"] is not None
        at = move.get("at") if move is not None else None
        if at is None:
            first = [r for r in sheet["readings"] if (r.get("teardown") or 0) == number]
            at = first[0].get("at") if first else None
        promised = None
        if plan is not None:
            promised = {"odds": plan["odds"]}
            for side in SIDES:
                promised[side + "_mm"] = plan[side]["body_height_mm"]["value"]
                promised[side + "_sd_mm"] = plan[side]["body_height_mm"]["sd"]
        out.append(
            {
                "teardown": number,
                "at": at,
                "move": move["id"] if move is not None else None,
                "plan": plan["id"] if plan is not None else None,
                "turned": list(turned(move)) if move is not None else None,
                "promised": promised,
                "followed": None if plan is None or move is None else turned(plan) == turned(move),
                "reached": {
                    "left_mm": heights["left"],
                    "right_mm": heights["right"],
                    "lean_mm": heights["left"] - heights["right"] if both else None,
                },
                "hanging_deg": angles["hanging-angle"],
                "riding_deg": angles["riding-angle"],
                "target": target,
                "hit": within(heights, target),
                "unsettled": move is not None and move["unsettled"],
            }
        )
    return out


def timeline(sheet: dict) -> list:
    """Every reading, move and plan in the order of the work: readings, the plan made on them, the move.

    Returns
    -------
    list of dict
        {kind, row} each, the row as on the sheet; a plan's row also with came: {left_mm, right_mm, hit,
        followed} of the teardown it was for, where it was the one done, else None.
    """
    by_plan = {}
    for stage in stages(sheet):
        if stage["plan"] is not None and stage["move"] is not None:
            by_plan[stage["plan"]] = stage
    keyed = []
    for kind, place in (("plan", 0), ("move", 1), ("reading", 2)):
        rows = sheet[kind + "s"]
        for i in range(len(rows)):
            row = dict(rows[i])
            if kind == "plan":
                stage = by_plan.get(row["id"])
                row["came"] = None
                if stage is not None:
                    row["came"] = {
                        "left_mm": stage["reached"]["left_mm"],
                        "right_mm": stage["reached"]["right_mm"],
                        "hit": stage["hit"],
                        "followed": stage["followed"],
                    }
            keyed.append((row.get("teardown") or 0, place, i, kind, row))
    keyed.sort(key=lambda k: (k[0], k[1], k[2]))
    return [{"kind": k[3], "row": k[4]} for k in keyed]
