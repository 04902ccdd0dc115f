"""What came in a link or a file and was refused: kept, and struck by whoever refused it."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import JOB, START_MS, Page, an_id
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import CARDS

SAID = (
    "readings",
    "moves",
    "target",
    "car",
    "about",
    "known",
    "plans",
    "notes",
    "state",
    "closed",
    "teardowns",
)
"""What a sheet says of the job."""
PATHS = ("bar.inner_teeth", "arm_mm", "axle")


def said(entries: list[dict]) -> dict:
    """What the sheet says of the job; of rows what they say, not what stands behind them."""
    sheet = fold(JOB, entries)
    out = {name: sheet[name] for name in SAID}
    for name in ("readings", "moves"):
        out[name] = [
            {key: row[key] for key in row if key not in ("corrected", "also", "unsettled")}
            for row in sheet[name]
        ]
    out["asked"] = sorted((c["about"], c["kind"], c["field"], c["used"]) for c in sheet["conflicts"])
    return out


def refusals(names: list[str]) -> list[dict]:
    """What refusing writes: one strike for each entry, later than all of them."""
    return [
        {
            "id": an_id(600 + number, START_MS + 5000 + number),
            "job": JOB,
            "device": "shop",
            "at": "2026-09-21T11:00:00Z",
            "kind": "strike",
            "body": {"entry": name, "refused": True, "saw": names[:100]},
        }
        for number, name in enumerate(names)
    ]


def dependants(entries: list[dict], refused: set[str]) -> set[str]:
    """These, and all that correct them, strike them or keep them, and what does so to those."""
    out = set(refused)
    while True:
        more = {
            e["id"]
            for e in entries
            if {
                e["body"].get("corrects"),
                e["body"].get("keeps"),
                e["kind"] == "strike" and e["body"].get("entry"),
            }
            & out
        }
        if more <= out:
            return out
        out |= more


def without(entries: list[dict], refused: set[str]) -> list[dict]:
    """The log as it would be had these never been written: who had seen them had seen what they had seen."""
    saw = {e["id"]: e.get("saw") for e in entries}

    def through(name: str) -> list[str]:
        if name not in refused:
            return [name]
        return [inner for each in saw[name] or [] for inner in through(each)]

    out = copy.deepcopy([e for e in entries if e["id"] not in refused])
    for e in out:
        if "saw" in e:
            e["saw"] = list(dict.fromkeys(inner for name in e["saw"] for inner in through(name)))
    return out


@st.composite
def logs(draw: st.DrawFn) -> list[dict]:
    """A job by three devices that go on from what they have of it, which is not all."""
    page = Page()
    for _ in range(draw(st.integers(2, 18))):
        page.device = draw(st.sampled_from(["phone-a", "phone-b", "home"]))
        known = [e for e in page.entries if draw(st.booleans())]
        kind = draw(
            st.sampled_from(
                ["reading", "reading", "move", "strike", "car", "target", "note", "close", "plan"]
            )
        )
        links = [e["id"] for e in known if e["kind"] == kind and kind in ("reading", "move")]
        more = {"corrects": draw(st.sampled_from(links))} if links and draw(st.booleans()) else {}
        if kind == "reading":
            page.reading(draw(st.integers(210, 214)), teardown=draw(st.integers(0, 2)), **more)
        elif kind == "move":
            page.move(draw(st.integers(1, 2)), (draw(st.integers(-3, 3)), 0), **more)
        elif kind == "strike" and known:
            page.strike(draw(st.sampled_from(known))["id"])
        elif kind == "plan":
            page.plan(1, 0.5)
        elif kind in CARDS:
            first, _, last = draw(st.sampled_from(PATHS)).partition(".")
            value = draw(st.integers(30, 33))
            body = {first: {last: value} if last else value}
            if kind == "target":
                body = {"as": "heights", "left_mm": value, "right_mm": value}
            page.write(kind, body, saw=heads_of([e for e in known if e["kind"] == kind]))
        elif kind != "strike":
            page.write(kind, {"text": "looked at"})
    return page.entries


def heads_of(entries: list[dict]) -> list[str]:
    """Those of a card that none of the others had seen."""
    seen = {name for e in entries for name in e["saw"]}
    return [e["id"] for e in entries if e["id"] not in seen]


@pytest.mark.slow(seconds=2)
@given(logs(), st.data())
@settings(max_examples=tries(400))
def test_any_part_refused_folds_as_if_it_and_what_rests_on_it_had_never_been_written(entries, data):
    names = [e["id"] for e in entries]
    refused = dependants(entries, set(data.draw(st.lists(st.sampled_from(names or [an_id(1)]), max_size=6))))
    refused &= set(names)
    whole = [*entries, *refusals([name for name in names if name in refused])]
    assert said(whole) == said(without(entries, refused))


@given(logs(), st.data(), st.randoms(use_true_random=False))
def test_what_was_refused_and_how_it_arrives_makes_no_difference_of_order_or_number(entries, data, random):
    names = [e["id"] for e in entries]
    refused = (
        dependants(entries, set(data.draw(st.lists(st.sampled_from(names), max_size=6)))) if names else set()
    )
    whole = [*entries, *refusals([name for name in names if name in refused])]
    again = copy.deepcopy(whole) + copy.deepcopy(random.choices(whole, k=3) if whole else [])
    random.shuffle(again)
    assert fold(JOB, again) == fold(JOB, whole)


@given(logs(), st.data())
def test_what_is_taken_after_all_is_as_if_it_had_never_been_refused(entries, data):
    names = [e["id"] for e in entries]
    refused = [name for name in names if data.draw(st.booleans())]
    struck = refusals(refused)
    back = [
        {**e, "id": an_id(700 + n, START_MS + 6000 + n), "body": {"entry": e["id"]}}
        for n, e in enumerate(struck)
    ]
    assert said([*entries, *struck, *back]) == said(entries)


def test_what_is_added_to_a_refused_reading_by_one_who_knows_nothing_of_that_is_a_question():
    page = Page()
    page.device = "home"
    first = page.reading(214.0)
    strike = page.strike(first["id"], refused=True, saw=[first["id"]])
    page.device = "home"
    page.reading(215.0, corrects=first["id"], ms=first_ms(strike) + 1)
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert conflict["about"] == "strike"


def first_ms(entry: dict) -> int:
    return int(entry["id"][:8] + entry["id"][9:13], 16) - START_MS
