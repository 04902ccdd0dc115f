"""The closed set of kinds, and whether this version can take an entry into account.

Owns the names, the schema number and the few fields the fold leans on. Exact bounds are checked where an
entry enters the shop (``entries``) and where a plan is made (the model); this is what keeps a fold from
ever failing on an entry that came by another way, or from a newer phone. Runs on the phone as well.
"""

from bothends.model import fields

from .order import too_late, whole

__all__ = [
    "ANGLES",
    "CARDS",
    "KINDS",
    "READINGS",
    "SCHEMA",
    "SIDES",
    "SUPPORTS",
    "adjusts",
    "adjusts_alone",
    "in_degrees",
    "own_axle",
    "puzzle",
    "schema_of",
    "sprung",
    "stands",
    "work_name",
]

SCHEMA = 6
"""Highest number of the entries' schema that this version understands; ``schema_of`` says which one to write."""
KINDS = (
    "car",
    "close",
    "erase",
    "job",
    "known",
    "move",
    "note",
    "photo",
    "plan",
    "reading",
    "settle",
    "step",
    "strike",
    "target",
)
CARDS = ("car", "job", "known", "target")
"""Kinds whose entries add to one card; such an entry says in ``saw`` which of its card's its writer had seen."""
READINGS = tuple([k.name for k in fields.KINDS])
ANGLES = tuple([k.name for k in fields.KINDS if k.angle])
NUMBERS = ("sd",) + tuple([name for name in fields.names("log") if name != "teardown"])
"""Numbers of a reading that may be left out."""
SIDES = fields.SIDES
SUPPORTS = fields.names("log.pose")
"""Numbers of a pose: what stands under a tyre, what lies over the axle."""
BOARDS = tuple([name for name in SUPPORTS if name.startswith("board_")])
FLAGS = fields.told("log.pose")
"""What a pose is besides: each makes it one of a test, in which the car does not stand on all its wheels."""


NEW_AXLES = ("beam", "wishbone")
"""Kinds of suspension that readers of 2 do not know."""
NEW_READINGS = tuple([k.name for k in fields.KINDS if k.since > 2])
"""Kinds of reading that they do not know."""


def sprung(car: dict) -> str:
    """The axle that a job is of, by its car card.

    >>> sprung({}), sprung({"sprung": "front"})
    ('rear', 'front')
    """
    said = car.get("sprung")
    return said if said in fields.OF_CAR else fields.REAR


def own_axle(row: dict, axle: str) -> bool:
    """Whether a reading or a move is of the job's own axle, which is so where it says none."""
    return row.get("axle") in (None, axle)


def stands(reading: dict) -> bool:
    """Whether the car stood on all its wheels and no board for a reading, whatever lay in it.

    >>> stands({"pose": {"ballast_left_kg": 60}}), stands({"pose": {"centred": True}}), stands({"pose": None})
    (True, False, True)
    """
    pose = reading.get("pose") or {}
    return [name for name in FLAGS if pose.get(name)] + [name for name in BOARDS if pose.get(name)] == []


def adjusts(said: dict) -> bool:
    """Whether a plan or a move turns an adjuster.

    >>> adjusts({"left": {"inner": 1, "outer": 0}, "right": {"turns": -0.25}}), adjusts({"left": {"turns": 0.0}})
    (True, False)
    """
    return [side for side in SIDES if (said.get(side) or {}).get("turns")] != []


def adjusts_alone(said: dict) -> bool:
    """Whether it turns adjusters and no splined end: an adjustment, and no teardown.

    A plan may say how many ends it disturbs; where it does not, a turn in degrees without teeth is one of teeth
    that are not counted yet.

    >>> adjusts_alone({"left": {"turns": 2.25}}), adjusts_alone({"left": {"turns": 2.25, "outer": 1}})
    (True, False)
    >>> adjusts_alone({"left": {"turns": 1.0}, "right": {"turn_deg": 8.0}})
    False
    """
    if not adjusts(said):
        return False
    for side in SIDES:
        ends = said.get(side) or {}
        if ends.get("inner") or ends.get("outer"):
            return False
    if said.get("ends_disturbed") is not None:
        return said["ends_disturbed"] == 0
    for side in SIDES:
        ends = said.get(side) or {}
        if ends.get("inner") is None and ends.get("turn_deg"):
            return False
    return True


def work_name(*said: dict) -> str:
    """What people call the stage that these are of: "adjustment" where none of them turns a splined end."""
    return "teardown" if [each for each in said if not adjusts_alone(each)] else "adjustment"


def in_degrees(plan: dict) -> bool:
    """Whether a plan was made before the teeth were counted: a turn is said, and no tooth, which is not none.

    One that turns adjusters alone needs no tooth counted.

    >>> in_degrees({"left": {"turn_deg": 14.5}, "right": {"turn_deg": 0.0, "inner": None}})
    True
    """
    turns = False
    for side in SIDES:
        planned = plan.get(side) or {}
        if planned.get("inner") is not None or planned.get("outer") is not None:
            return False
        turns = turns or planned.get("turn_deg") is not None
    return turns and not adjusts_alone(plan)


def schema_of(kind: str, body: dict) -> int:
    """The number to write an entry with: 2 where a reader of 1 would take it for something else, 3 where one of 2
    would: readers of 2 know neither axle nor adjuster. They would take a load of a front wheel for one of the rear,
    a front axle for a rear one, and a move of screws for one in which nothing was turned. Readers of 3 know moves
    of one axle alone, and would take one that names the other for one of the job's. Readers of 4 know no axle
    carried amidships, and would take a height read so for one of the car on its wheels. Readers of 5 know a target
    of one axle alone: what is wanted of the other one would stand unread in their card.

    The phone's writer does the same (web/book/schema.js); a test holds them together.

    >>> schema_of("target", {"as": "rise", "left_rise_mm": 100, "right_rise_mm": 100})
    2
    """
    if kind == "reading" and (body.get("pose") or {}).get("centred"):
        return 5
    if kind == "target" and body.get("other") is not None:
        return 6
    if kind == "target":
        return 1 if body.get("as") in (None, "heights") else 2
    if kind == "reading" and (body.get("axle") is not None or body.get("what") in NEW_READINGS):
        return 3
    if kind == "move" and body.get("axle") is not None:
        return 4
    if kind in ("move", "plan") and adjusts(body):
        return 3
    if kind == "car" and (body.get("sprung") == fields.FRONT or body.get("axle") in NEW_AXLES):
        return 3
    if kind == "reading":
        return 1 if body.get("after_km") is None else 2
    if kind == "erase":
        return 1 if body.get("only") is None else 2
    return 2 if kind == "plan" and in_degrees(body) else 1


def _number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _estimate(value: object) -> bool:
    return isinstance(value, dict) and _number(value.get("value")) and _number(value.get("sd"))


def _reading(body: dict) -> str:
    if body.get("what") not in READINGS:
        return "what"
    if body.get("side") not in SIDES:
        return "side"
    if body.get("axle") is not None and body["axle"] not in fields.OF_CAR:
        return "axle"
    if not _number(body.get("value")):
        return "value"
    for name in NUMBERS:
        if body.get(name) is not None and not _number(body[name]):
            return name
    if body.get("spot") is not None and not isinstance(body["spot"], str):
        return "spot"
    pose = body.get("pose")
    if pose is not None:
        if not isinstance(pose, dict):
            return "pose"
        for name in SUPPORTS:
            if pose.get(name) is not None and not _number(pose[name]):
                return "pose." + name
        for name in FLAGS:
            if pose.get(name) is not None and not isinstance(pose[name], bool):
                return "pose." + name
    return _teardown(body, 0)


def _move(body: dict) -> str:
    if body.get("axle") is not None and body["axle"] not in fields.OF_CAR:
        return "axle"
    for side in SIDES:
        ends = body.get(side)
        if ends is None:
            continue
        if not isinstance(ends, dict):
            return side
        for end in fields.ENDS:
            if not whole(ends.get(end, 0)):
                return side + "." + end
        if not _turns(ends):
            return side + ".turns"
    return _teardown(body, 1)


def _turns(ends: dict) -> bool:
    """Whether the turns of a side's adjuster can be counted, or are not said."""
    turns = ends.get("turns")
    return turns is None or (_number(turns) and abs(turns) <= fields.field("log.left.turns").high)


def _plan(body: dict) -> str:
    if not _number(body.get("odds")):
        return "odds"
    for side in SIDES:
        planned = body.get(side)
        if not isinstance(planned, dict):
            return side
        # Where the mark was never read no height was promised, and before the count no teeth.
        if planned.get("body_height_mm") is not None and not _estimate(planned["body_height_mm"]):
            return side + ".body_height_mm"
        if planned.get("turn_deg") is not None and not _number(planned["turn_deg"]):
            return side + ".turn_deg"
        if not _turns(planned):
            return side + ".turns"
    if body.get("target") is not None and not isinstance(body["target"], dict):
        return "target"
    return _teardown(body, 1) if in_degrees(body) or _uncounted(body) else _move(body)


def _uncounted(plan: dict) -> bool:
    """Whether a plan turns adjusters alone and says no teeth, since none are counted."""
    ends = [(plan.get(side) or {}).get(end) for side in SIDES for end in fields.ENDS]
    return adjusts_alone(plan) and [n for n in ends if n is not None] == []


def _teardown(body: dict, default: int) -> str:
    if default and "teardown" not in body:
        return "teardown"
    value = body.get("teardown", default)
    return "" if whole(value) and value >= default else "teardown"


def _target(body: dict) -> str:
    if body.get("as") is not None and body["as"] not in fields.AIMS:
        return "as"
    other = body.get("other")
    if other is None:
        return ""
    if not isinstance(other, dict):
        return "other"
    forms = [form.name for form in fields.OTHER_FORMS]
    return "" if other.get("as") is None or other["as"] in forms else "other.as"


def _settle(body: dict) -> str:
    if not isinstance(body.get("keeps"), str):
        return "keeps"
    drops = body.get("drops")
    if not isinstance(drops, list) or [d for d in drops if not isinstance(d, str)]:
        return "drops"
    return ""


def _strike(body: dict) -> str:
    return "" if isinstance(body.get("entry"), str) else "entry"


def _step(body: dict) -> str:
    return "" if isinstance(body.get("step"), str) else "step"


def _note(body: dict) -> str:
    return "" if isinstance(body.get("text"), str) else "text"


def _photo(body: dict) -> str:
    for name in ("sha256", "shows"):
        if not isinstance(body.get(name), str):
            return name
    return "" if body.get("teardown") is None else _teardown(body, 0)


def _card(body: dict) -> str:
    return ""


_CHECKS = {
    "car": _card,
    "close": _card,
    "erase": _card,
    "job": _card,
    "known": _card,
    "move": _move,
    "note": _note,
    "photo": _photo,
    "plan": _plan,
    "reading": _reading,
    "settle": _settle,
    "step": _step,
    "strike": _strike,
    "target": _target,
}


def puzzle(entry: dict) -> str:
    """Why this version cannot take an entry into account, as a sentence; "" where it can.

    Parameters
    ----------
    entry : dict
        With at least an id.
    """
    if too_late(entry["id"]):
        return "not used: its id is stamped after the year 2200; set that device's clock and enter it again"
    kind = entry.get("kind")
    if kind not in KINDS:
        return "not understood by this version: kind %s; it is kept as it is" % repr(kind)
    schema = entry.get("schema", 1)
    if not whole(schema) or schema > SCHEMA:
        return "not understood by this version: schema %s, this is %d; it is kept as it is" % (schema, SCHEMA)
    body = entry.get("body")
    if not isinstance(body, dict):
        return "not understood: the record has no body"
    wrong = _CHECKS[kind](body)
    if wrong:
        return "not understood: %s of this %s is not as expected" % (wrong, kind)
    if body.get("corrects") is not None and not isinstance(body["corrects"], str):
        return "not understood: corrects of this %s is not an id" % kind
    return ""
