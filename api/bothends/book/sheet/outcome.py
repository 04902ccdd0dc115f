"""What was promised for each teardown and what came: the stages of a job, and its history in order.

A stage is the car after so many teardowns, on hand-over day or so many kilometres later: what was turned,
which plan promised what, what was then read on its wheels, and whether that meets the target. A follow-up is
a stage of its own: it says how far the car has settled since, and changes nothing of hand-over day. Pure
functions of a sheet. Runs on the phone as well.
"""

from bothends.model.teeth import fine_step_deg, turn_deg

from .aim import SLACK, after_km, as_found, ballast, form, means, measured, number, resolved, verdict, within
from .kinds import SIDES, in_degrees
from .order import whole
from .rows import turned

__all__ = ["followed", "stages", "timeline", "within"]


def followed(plan: dict, move: dict, car: dict) -> bool | None:
    """Whether what was turned is what a plan said; None where that cannot be told.

    Teeth by teeth. A plan in degrees by the net turn of each side, to half a fine step, once both ends are counted.

    Parameters
    ----------
    plan, move : rows
    car : the car card, for its tooth counts
    """
    done = turned(move)
    if not in_degrees(plan):
        return turned(plan) == done
    bar = car.get("bar")
    counts = []
    for name in ("inner_teeth", "outer_teeth"):
        count = bar.get(name) if isinstance(bar, dict) else None
        if not whole(count) or count < 1:  # type: ignore[operator]
            return None
        counts.append(int(count))  # type: ignore[arg-type]
    half = 0.5 * fine_step_deg(inner_teeth=counts[0], outer_teeth=counts[1]) + SLACK
    for i in range(2):
        turn = number((plan.get(SIDES[i]) or {}).get("turn_deg")) or 0.0
        inner, outer = int(done[2 * i]), int(done[2 * i + 1])
        net = turn_deg(inner=inner, outer=outer, inner_teeth=counts[0], outer_teeth=counts[1])
        if abs(net - turn) > half:
            return False
    return True


def _promise(sheet: dict, teardown: int, move: dict | None) -> dict | None:
    """The plan this teardown was done by: the one its move names, else the last one made for it."""
    plans = [p for p in sheet["plans"] if p["teardown"] == teardown]
    if move is not None and move.get("plan") is not None:
        named = [p for p in plans if p["id"] == move["plan"]]
        if named:
            return named[0]
    if move is not None:
        same = [p for p in plans if followed(p, move, sheet["car"])]
        if same:
            return same[-1]
    return plans[-1] if plans else None


def _promised(plan: dict | None) -> dict | None:
    """Odds and heights that a plan promised, None where the mark had never been read."""
    if plan is None:
        return None
    out = {"odds": plan["odds"]}
    for side in SIDES:
        height = plan[side].get("body_height_mm") or {}
        out[side + "_mm"] = height.get("value")
        out[side + "_sd_mm"] = height.get("sd")
    return out


def _split(readings: list) -> dict:
    """Readings by stage: (teardown, km), km -1 on hand-over day so that it comes first."""
    out: dict = {}
    for r in readings:
        km = after_km(r)
        key = (r.get("teardown") or 0, -1.0 if km is None else km)
        if key not in out:
            out[key] = []
        out[key].append(r)
    return out


def _standing(rows: list, what: str, load: tuple) -> dict:
    """Means with that load; where nothing was read with it, those of the car as it is."""
    found = means(rows, what, load)
    if found["left"] is None and found["right"] is None and (load[0] or load[1]):
        return means(rows, what, (0.0, 0.0))
    return found


def _settled(rows: list, before: list, target: dict) -> dict:
    """How far each side stands above hand-over day, by the target's mark, [mm]; negative: it has sunk."""
    what = measured(target)
    out: dict = {}
    for side in SIDES:
        out[side + "_mm"] = None
        for load in (ballast(target), (0.0, 0.0)):
            now, then = means(rows, what, load)[side], means(before, what, load)[side]
            if out[side + "_mm"] is None and now is not None and then is not None:
                out[side + "_mm"] = now - then
    return out


def stages(sheet: dict) -> list:
    """The car as found (teardown 0), after each move, and at each follow-up.

    Returns
    -------
    list of dict
        teardown, after_km (None on hand-over day), at (of the move, else of the first reading, else None), move,
        plan (ids or None), turned (four teeth counts or None), promised {odds, left_mm, left_sd_mm, right_mm,
        right_sd_mm} or None, followed (what was turned was the plan's; None without a plan, or where it cannot be
        told), reached {left_mm, right_mm, lean_mm}, hub_mm, hanging_deg and riding_deg {left, right} (means of the
        readings, or None), target (with the heights it comes to), hit (True, False or None), settled {left_mm,
        right_mm} and still_within, unsettled. Of a follow-up move, plan, turned, promised, followed and hit are
        None, and settled says how far it stands above hand-over day, still_within whether the target is still met;
        of hand-over day those two are None.
    """
    moves = {}
    rows = _split(sheet["readings"])
    keys = {(0, -1.0): True}
    for move in sheet["moves"]:
        moves[move["teardown"]] = move
        keys[(move["teardown"], -1.0)] = True
    for key in rows:
        keys[key] = True
        # A follow-up of a stage that was not read is still one of that stage.
        keys[(key[0], -1.0)] = True
    found = as_found(sheet["readings"], sheet["target"])
    out = []
    for key in sorted(keys):
        out.append(_stage(sheet, key, rows, moves.get(key[0]), found))
    return out


def _stage(sheet: dict, key: tuple, rows: dict, move: dict | None, found: dict) -> dict:
    """One row of ``stages``."""
    teardown, km = key
    later = km > 0.0
    read = rows.get(key, [])
    plan = _promise(sheet, teardown, move) if teardown else None
    target = sheet["target"]
    if plan is not None and plan.get("target"):
        target = plan["target"]
        if (form(target), measured(target), ballast(target)) != (
            form(sheet["target"]),
            measured(sheet["target"]),
            ballast(sheet["target"]),
        ):
            found = as_found(sheet["readings"], target)
    target = resolved(target, found)
    load = ballast(target)
    heights = _standing(read, "body-height", load)
    both = heights["left"] is not None and heights["right"] is not None
    met = verdict(read, target)
    at = move.get("at") if move is not None and not later else None
    if at is None and read:
        at = read[0].get("at")
    return {
        "teardown": teardown,
        "after_km": km if later else None,
        "at": at,
        "move": move["id"] if move is not None and not later else None,
        "plan": plan["id"] if plan is not None and not later else None,
        "turned": list(turned(move)) if move is not None and not later else None,
        "promised": None if later else _promised(plan),
        "followed": None if plan is None or move is None or later else followed(plan, move, sheet["car"]),
        "reached": {
            "left_mm": heights["left"],
            "right_mm": heights["right"],
            "lean_mm": heights["left"] - heights["right"] if both else None,
        },
        "hub_mm": _standing(read, "hub-to-body", load),
        "hanging_deg": means(read, "hanging-angle", load),
        "riding_deg": _standing(read, "riding-angle", load),
        "target": target,
        "hit": None if later else met,
        "settled": _settled(read, rows.get((teardown, -1.0), []), target) if later else None,
        "still_within": met if later else None,
        "unsettled": move is not None and move["unsettled"],
    }


def timeline(sheet: dict) -> list:
    """Every reading, move and plan in the order of the work: readings, the plan made on them, the move; follow-ups
    after the readings of hand-over day.

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
            km = after_km(row) if kind == "reading" else None
            keyed.append((row.get("teardown") or 0, place, -1.0 if km is None else km, i, kind, row))
    keyed.sort(key=lambda k: (k[0], k[1], k[2], k[3]))
    return [{"kind": k[4], "row": k[5]} for k in keyed]
