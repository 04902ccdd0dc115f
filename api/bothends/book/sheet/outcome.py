"""What was promised for each teardown and what came: the stages of a job, and its history in order.

A stage is the car after so many teardowns, on hand-over day or so many kilometres later: what was turned,
which plan promised what, what was then read on its wheels, and whether that meets the target. A follow-up is
a stage of its own: it says how far the car has settled since, and changes nothing of hand-over day. Pure
functions of a sheet. Runs on the phone as well.
"""

from bothends.model.teeth import fine_step_deg, turn_deg

from .aim import (
    NO_LOAD,
    SLACK,
    Means,
    after_km,
    as_found,
    ballast,
    cross,
    found_first,
    measured,
    number,
    resolved,
    verdict,
    within,
)
from .kinds import SIDES, adjusts, in_degrees, sprung
from .order import in_order, whole
from .rows import same_done, same_turns, teardown_of, turned, turns

__all__ = ["followed", "stages", "timeline", "within"]

HAND_OVER = -1.0
"""Stands for the kilometres of hand-over day, so that it comes before every follow-up."""


def followed(plan: dict, move: dict, car: dict) -> bool | None:
    """Whether what was turned is what a plan said; None where that cannot be told.

    Teeth by teeth, turns of adjusters to a position. A plan in degrees by the net turn of each side, to half
    a fine step, once both ends are counted; None where it turns adjusters too.

    Parameters
    ----------
    plan, move : rows
    car : the car card, for its tooth counts
    """
    done = turned(move)
    if not in_degrees(plan):
        return same_done(plan, move)
    if not same_turns(plan, move):
        return False
    if adjusts(plan):
        # Its degrees are of teeth and screws together.
        return None
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


def _promise(plans: list, move: dict | None, car: dict) -> dict | None:
    """The plan that a teardown was done by: the one its move names, else the last one made for it.

    Parameters
    ----------
    plans : rows of that teardown, in order
    move : its row, None where it was not done yet
    car : the car card
    """
    chosen = plans
    if move is not None:
        named = [p for p in plans if p["id"] == move["plan"]] if move.get("plan") is not None else []
        if named:
            return named[0]
        chosen = [p for p in plans if followed(p, move, car)] or plans
    return chosen[len(chosen) - 1] if chosen else None


def _promised(plan: dict) -> dict:
    """Odds and heights that a plan promised, None where the mark had never been read."""
    out = {"odds": plan["odds"]}
    for side in SIDES:
        height = plan[side].get("body_height_mm") or {}
        out[side + "_mm"] = height.get("value")
        out[side + "_sd_mm"] = height.get("sd")
    return out


def _split(readings: list) -> dict:
    """Readings by stage: (teardown, km), km HAND_OVER on hand-over day."""
    out: dict = {}
    for r in readings:
        km = after_km(r)
        key = (teardown_of(r), HAND_OVER if km is None else km)
        if key not in out:
            out[key] = []
        out[key].append(r)
    return out


def _settled(now: Means, then: Means, target: dict) -> dict:
    """How far each side stands above hand-over day, by the target's mark, [mm]; negative: it has sunk."""
    what = measured(target)
    out: dict = {}
    for side in SIDES:
        out[side + "_mm"] = None
        for load in (ballast(target), NO_LOAD):
            after, before = now.of(what, load)[side], then.of(what, load)[side]
            if out[side + "_mm"] is None and after is not None and before is not None:
                out[side + "_mm"] = after - before
    return out


class _Done:
    """One teardown: its ``move`` row or None, the ``plan`` it was done by or None, ``means`` of hand-over
    day."""

    def __init__(self, move: dict | None, plan: dict | None, means: Means) -> None:
        self.move = move
        self.plan = plan
        self.means = means


def _teardowns(sheet: dict, read: dict) -> dict:
    """Teardowns that were done or read after, by their numbers; 0 is the car as found, which no plan
    promised."""
    moves = {}
    plans: dict = {}
    for move in sheet["moves"]:
        moves[move["teardown"]] = move
    for plan in sheet["plans"]:
        plans.setdefault(plan["teardown"], []).append(plan)
    out = {}
    for teardown in [0] + list(moves) + [key[0] for key in read]:
        if teardown not in out:
            move = moves.get(teardown)
            plan = _promise(plans.get(teardown, []), move, sheet["car"]) if teardown else None
            means = Means(read.get((teardown, HAND_OVER), []), sprung(sheet["car"]))
            out[teardown] = _Done(move, plan, means)
    return out


def stages(sheet: dict) -> list:
    """The car as found (teardown 0), after each move, and at each follow-up.

    Returns
    -------
    list of dict
        teardown, after_km (None on hand-over day), at (of the move, else of the first reading, else None),
        move, plan (ids or None), turned (four teeth counts or None), turns (of both adjusters, or None),
        promised {odds, left_mm, left_sd_mm, right_mm, right_sd_mm} or None, followed (what was turned was the
        plan's; None without a plan, or where it cannot be told), reached {left_mm, right_mm, lean_mm},
        cross_percent, cross_sd_percent, cross_kg, cross_sd_kg (cross-weight of four loads, as in `aim.cross`),
        hub_mm, hanging_deg and riding_deg {left, right} (means of the readings, or None), target
        (with the heights it comes to), hit (True, False or None), settled {left_mm, right_mm} and still_within,
        unsettled. Of a follow-up move, plan, turned, promised, followed and hit are None, and settled says how
        far it stands above hand-over day, still_within whether the target is still met; of hand-over day those
        two are None. by {device, writer} says who entered the teeth, where nobody did who entered the plan;
        else None, and at a follow-up.
    """
    read = _split(sheet["readings"])
    done = _teardowns(sheet, read)
    keys = {}
    for teardown in done:
        # A follow-up of a stage that was not read is still one of that stage.
        keys[(teardown, HAND_OVER)] = True
    for key in read:
        keys[key] = True
    # What is turned at the other axle was not to bring this one on target, unless both were to be.
    both = isinstance(sheet["target"].get("other"), dict)
    elsewhere = [] if both else [move["teardown"] for move in sheet["other"]["moves"]]
    axle = sprung(sheet["car"])
    first = found_first(sheet["readings"], axle)
    out = []
    for key in in_order(list(keys)):
        teardown, km = key
        at = read[key][0].get("at") if key in read else None
        target = _target(sheet, done[teardown].plan, first)
        found = as_found(first, target)
        if km == HAND_OVER:
            stage = _hand_over(teardown, done[teardown], target, at, sheet["car"])
            if teardown not in elsewhere:
                stage["hit"] = verdict(done[teardown].means, target, found)
        else:
            means = Means(read[key], axle)
            stage = _follow_up(teardown, done[teardown], target, at, km, means)
            stage["still_within"] = verdict(means, target, found)
        out.append(stage)
    return out


def _target(sheet: dict, plan: dict | None, first: Means) -> dict:
    """The target of a stage, with the heights it comes to: its plan's own, else that of the sheet."""
    target = plan["target"] if plan is not None and plan.get("target") else sheet["target"]
    return resolved(target, as_found(first, target))


def _stage(teardown: int, done: _Done, target: dict, means: Means) -> dict:
    """What ``stages`` says of hand-over day and of a follow-up alike."""
    load = ballast(target)
    heights = means.standing("body-height", load)
    both = heights["left"] is not None and heights["right"] is not None
    weight = _cross(means, load)
    return {
        "teardown": teardown,
        "after_km": None,
        "at": None,
        "move": None,
        "plan": None,
        "turned": None,
        "turns": None,
        "promised": None,
        "followed": None,
        "reached": {
            "left_mm": heights["left"],
            "right_mm": heights["right"],
            "lean_mm": heights["left"] - heights["right"] if both else None,
        },
        "cross_percent": weight["cross_percent"],
        "cross_sd_percent": weight["cross_sd_percent"],
        "cross_kg": weight["cross_kg"],
        "cross_sd_kg": weight["cross_sd_kg"],
        "hub_mm": means.standing("hub-to-body", load),
        "hanging_deg": means.of("hanging-angle", load),
        "riding_deg": means.standing("riding-angle", load),
        "target": target,
        "hit": None,
        "settled": None,
        "still_within": None,
        "unsettled": done.move is not None and done.move["unsettled"],
        "by": None,
    }


def _cross(means: Means, load: tuple) -> dict:
    """Cross-weight by the loads of all four wheels, its figures None where one of them was not read."""
    for one in (load, NO_LOAD):
        loads, variance = means.wheels(one), means.wheels_variance(one)
        if loads is not None and variance is not None:
            return cross(loads, variance)
    return {"cross_percent": None, "cross_sd_percent": None, "cross_kg": None, "cross_sd_kg": None}


def _hand_over(teardown: int, done: _Done, target: dict, at: str | None, car: dict) -> dict:
    """A stage on hand-over day; ``at`` of its first reading."""
    out = _stage(teardown, done, target, done.means)
    move, plan = done.move, done.plan
    out["at"] = at
    if move is not None:
        out["move"] = move["id"]
        out["turned"] = list(turned(move))
        out["turns"] = list(turns(move))
        if move.get("at") is not None:
            out["at"] = move["at"]
    by = plan if move is None else move
    if by is not None:
        out["by"] = {"device": by["device"], "writer": by["writer"]}
    if plan is not None:
        out["plan"] = plan["id"]
        out["promised"] = _promised(plan)
        if move is not None:
            out["followed"] = followed(plan, move, car)
    return out


def _follow_up(teardown: int, done: _Done, target: dict, at: str | None, km: float, means: Means) -> dict:
    """A stage so many kilometres after hand-over."""
    out = _stage(teardown, done, target, means)
    out["after_km"] = km
    out["at"] = at
    out["settled"] = _settled(means, done.means, target)
    return out


def timeline(sheet: dict) -> list:
    """Every reading, move and plan in the order of the work: readings, the plan made on them, the move;
    follow-ups after the readings of hand-over day.

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
    events: list = []
    keyed = []
    for kind, place in (("plan", 0), ("move", 1), ("reading", 2)):
        for found in sheet[kind + "s"] + sheet["other"].get(kind + "s", []):
            row = dict(found)
            if kind == "plan":
                row["came"] = _came(by_plan.get(row["id"]))
            km = after_km(row) if kind == "reading" else None
            keyed.append((teardown_of(row), place, HAND_OVER if km is None else km, len(events)))
            events.append({"kind": kind, "row": row})
    return [events[key[3]] for key in in_order(keyed)]


def _came(stage: dict | None) -> dict | None:
    """What came of a plan, from the stage that was done by it."""
    if stage is None:
        return None
    return {
        "left_mm": stage["reached"]["left_mm"],
        "right_mm": stage["reached"]["right_mm"],
        "hit": stage["hit"],
        "followed": stage["followed"],
    }
