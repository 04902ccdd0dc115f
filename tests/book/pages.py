"""Entries written by hand for the tests of the book, and strategies that write them by the thousand.

`Page` is one job as a writer sees it: each call writes one entry and returns it. Ids count up from a fixed
clock, so that a failing example reads the same every time.
"""

from typing import Any

from hypothesis import strategies as st

from bothends.book.sheet.kinds import CARDS, schema_of

__all__ = ["JOB", "Page", "an_id", "entry_lists", "messy_entries"]

START_MS = 1_790_000_000_000


def an_id(number: int, ms: int = START_MS) -> str:
    """A UUIDv7 of that moment; the number stands where the random bits go."""
    hexed = f"{ms:012x}7{number % 4096:03x}8{number:015x}"
    return "-".join((hexed[:8], hexed[8:12], hexed[12:16], hexed[16:20], hexed[20:]))


JOB = an_id(1, START_MS - 1)


class Page:
    """A job's writer. ``device`` may be changed between entries; every entry gets the next millisecond."""

    def __init__(self, job: str = JOB, device: str = "phone-a", first: int = 100) -> None:
        self.job = job
        self.device = device
        self.entries: list[dict[str, Any]] = []
        self._number = first

    def write(self, kind: str, body: dict[str, Any], **more: Any) -> dict[str, Any]:
        """One entry; ``ms`` moves its clock, other names go into the envelope."""
        self._number += 1
        ms = more.pop("ms", self._number)
        entry = {
            "id": an_id(self._number, START_MS + ms),
            "job": self.job,
            "device": self.device,
            "at": "2026-09-21T10:00:00+02:00",
            "kind": kind,
            "schema": schema_of(kind, body),
            "body": body,
            **more,
        }
        self.entries.append(entry)
        return entry

    def reading(
        self, value: float, *, what: str = "body-height", side: str = "left", teardown: int = 0, **more: Any
    ):
        """One reading."""
        return self.write(
            "reading", {"what": what, "side": side, "value": value, "teardown": teardown, **more}
        )

    def heights(self, left: float, right: float, *, teardown: int = 0, **more: Any) -> None:
        """Body heights of both sides."""
        self.reading(left, side="left", teardown=teardown, **more)
        self.reading(right, side="right", teardown=teardown, **more)

    def move(
        self, teardown: int, left: tuple[int, int] = (0, 0), right: tuple[int, int] = (0, 0), **more: Any
    ):
        """One move; (inner, outer) teeth a side."""
        return self.write("move", {"teardown": teardown, **_sides(left, right), **more})

    def plan(
        self,
        teardown: int,
        odds: float,
        left: tuple[int, int] = (0, 0),
        right: tuple[int, int] = (0, 0),
        heights: tuple[float, float] = (250.0, 250.0),
        **more: Any,
    ):
        """What was promised."""
        body: dict[str, Any] = {"teardown": teardown, "odds": odds, **_sides(left, right), **more}
        for side, height in zip(("left", "right"), heights, strict=True):
            body[side]["body_height_mm"] = {"value": height, "sd": 1.8}
        return self.write("plan", body)

    def adjust(self, teardown: int, left: float = 0.0, right: float = 0.0, **more: Any):
        """One move of the adjusters alone; turns a side."""
        return self.write(
            "move", {"teardown": teardown, "left": {"turns": left}, "right": {"turns": right}, **more}
        )

    def strike(self, entry: str, **more: Any):
        """Strike an entry out."""
        return self.write("strike", {"entry": entry, **more})


def _sides(left: tuple[int, int], right: tuple[int, int]) -> dict[str, Any]:
    return {
        "left": {"inner": left[0], "outer": left[1]},
        "right": {"inner": right[0], "outer": right[1]},
    }


DEVICES = st.sampled_from(["phone-a", "phone-b", "shop"])
SIDES = st.sampled_from(["left", "right"])
WHAT = st.sampled_from(
    ["hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load", "bolt-length"]
)
TURNS = st.sampled_from([None, 0, 1, 1.0, 2.25, 2.08, 25.0 / 12.0, -0.5])
SMALL = st.integers(0, 3)
# JSON makes no difference between 1 and 1.0.
NUMBER = st.sampled_from([1, 2, 3, 1.0])
TARGETS = st.fixed_dictionaries(
    {},
    optional={
        "as": st.sampled_from([None, "heights", "rise", "level", "hanging-angle"]),
        "left_mm": st.sampled_from([None, 3.0, 9]),
        "left_rise_mm": st.integers(-3, 3),
        "right_rise_mm": st.integers(-3, 3),
        "at": st.sampled_from(["higher", "lower", "mean"]),
        "rise_mm": st.integers(-3, 3),
        "left_deg": st.integers(0, 9),
        "right_deg": st.integers(0, 9),
        "tolerance_mm": st.sampled_from([None, 2, 4.0]),
        "measured": st.sampled_from(["body-height", "hub-to-body"]),
        "ballast_left_kg": st.sampled_from([0, 60]),
    },
)


@st.composite
def entry_lists(draw: st.DrawFn, most: int = 24) -> list[dict[str, Any]]:
    """Entries of one job by devices whose clocks differ, pointing at each other in every direction."""
    count = draw(st.integers(0, most))
    ids = [an_id(n, START_MS + draw(st.integers(-50, 50))) for n in range(count)]
    known = st.sampled_from([*ids, an_id(999)]) if ids else st.just(an_id(999))
    out = []
    for number, name in enumerate(ids):
        kind = draw(
            st.sampled_from(["reading", "move", "strike", "settle", "car", "target", "plan", "job", "step"])
        )
        body: dict[str, Any]
        if kind == "reading":
            body = {"what": draw(WHAT), "side": draw(SIDES), "value": draw(st.integers(1, 9)) * 1.5}
            body["teardown"] = draw(SMALL)
            if draw(st.booleans()):
                body["after_km"] = draw(st.sampled_from([1, 100.0, 500]))
            if draw(st.booleans()):
                body["pose"] = {f"ballast_{draw(SIDES)}_kg": draw(st.sampled_from([0, 60]))}
            if draw(st.booleans()):
                body["axle"] = draw(st.sampled_from([None, "rear", "front"]))
        elif kind == "move":
            body = {"teardown": draw(NUMBER), "left": {"inner": draw(SMALL)}}
            if draw(st.booleans()):
                body["left"] = {"turns": draw(TURNS), **draw(st.sampled_from([{}, {"inner": 1}]))}
        elif kind == "strike":
            body = {"entry": draw(known)}
        elif kind == "settle":
            body = {"keeps": draw(known), "drops": draw(st.lists(known, max_size=3))}
        elif kind == "plan":
            side: dict[str, Any] = {"body_height_mm": {"value": 250.0, "sd": 2.0}}
            if draw(st.booleans()):
                side = {"turn_deg": draw(st.sampled_from([0, 8.2])), "inner": None}
                side |= draw(st.sampled_from([{}, {"turns": 2.25}, {"turns": 0}]))
            body = {"teardown": draw(NUMBER), "odds": 0.5, "left": side, "right": side}
        elif kind == "car" and draw(st.booleans()):
            body = {"bar": {"inner_teeth": 40, "outer_teeth": draw(st.sampled_from([44, None, "many"]))}}
            if draw(st.booleans()):
                left = draw(st.sampled_from([None, 3.0, {"left": 3.0}, {"left": 4}]))
                body = {
                    "sprung": draw(st.sampled_from(["rear", "front", None])),
                    "adjuster": {"raise_turns": left},
                }
        elif kind == "target" and draw(st.booleans()):
            body = draw(TARGETS)
            if draw(st.booleans()):
                body["other"] = draw(st.none() | TARGETS | st.just({}))
        elif kind == "step":
            body = {"step": draw(st.sampled_from(["chocks", "stands"])), "done": draw(st.booleans())}
        else:
            names = st.sampled_from(["left_mm", "title", "arm_mm"])
            body = draw(st.dictionaries(names, st.none() | st.integers(1, 9), max_size=2))
        if kind in ("reading", "move") and draw(st.booleans()):
            body["corrects"] = draw(known)
        entry = {"id": name, "job": JOB, "device": draw(DEVICES), "at": "2026-09-21T10:00:00Z", "kind": kind}
        entry["body"] = body
        if kind in CARDS and draw(st.booleans()):
            entry["saw"] = draw(st.lists(known, max_size=3))
        if draw(st.booleans()):
            entry["device_seq"] = draw(st.sampled_from([number, float(number)]))
        out.append(entry)
    return out


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-9, 9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=6,
)
FIELDS = st.sampled_from(
    [
        "what",
        "side",
        "value",
        "teardown",
        "corrects",
        "entry",
        "keeps",
        "drops",
        "left",
        "right",
        "odds",
        "pose",
        "step",
        "sprung",
        "adjuster",
    ]
)


@st.composite
def messy_entries(draw: st.DrawFn) -> Any:
    """An entry of a known or unknown kind whose body may be anything."""
    kinds = [
        "reading",
        "move",
        "strike",
        "settle",
        "plan",
        "car",
        "step",
        "note",
        "close",
        "known",
        "varnish",
    ]
    entry: dict[str, Any] = {"id": an_id(draw(st.integers(0, 30))), "job": JOB}
    entry["kind"] = draw(st.sampled_from(kinds) | JSON)
    entry["body"] = draw(st.dictionaries(FIELDS, JSON | st.just(an_id(3)), max_size=5) | JSON)
    entry.update(
        draw(st.dictionaries(st.sampled_from(["schema", "device", "device_seq", "at"]), JSON, max_size=2))
    )
    return entry
