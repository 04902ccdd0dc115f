"""Cards: what is said of a job, its car and its target when two say it apart, and who has seen whom."""

import copy
import json

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import JOB, START_MS, Page, an_id
from bothends.book import bodies
from bothends.book.sheet import cards
from bothends.book.sheet.fold import fold
from bothends.book.sheet.request import request
from bothends.book.sheet.seen import heads, parents


def heights(left: float, **more) -> dict:
    return {"as": "heights", "left_mm": left, "right_mm": left, **more}


class Devices(Page):
    """Devices that write one job; each says what it had seen of a card."""

    def says(self, device, kind, body, *saw):
        """One entry of a card, with the entries its writer had seen."""
        self.device = device
        return self.write(kind, body, saw=[e["id"] for e in saw])

    def sheet(self):
        return fold(JOB, self.entries)


def two_targets():
    page = Devices()
    first = page.says("phone-a", "target", heights(250.0, tolerance_mm=4.0))
    one = page.says("phone-a", "target", heights(260.0), first)
    other = page.says("phone-b", "target", heights(270.0), first)
    return page, first, one, other


def test_who_has_seen_what_another_wrote_overrules_it_and_nothing_is_asked():
    page = Devices()
    first = page.says("phone-a", "target", heights(250.0))
    page.says("phone-b", "target", heights(260.0), first)
    sheet = page.sheet()
    assert sheet["target"]["left_mm"] == 260.0
    assert sheet["conflicts"] == []


def test_two_targets_made_apart_are_a_question_and_the_later_is_used_meanwhile():
    page, _, one, other = two_targets()
    sheet = page.sheet()
    (conflict,) = sheet["conflicts"]
    assert (conflict["about"], conflict["kind"], conflict["field"]) == ("card", "target", "")
    assert conflict["entries"] == [one["id"], other["id"]]
    assert conflict["used"] == other["id"]
    assert conflict["before_teardown"]
    assert [v["device"] for v in conflict["values"]] == ["phone-a", "phone-b"]
    # The whole target as each left it, tolerances that stood before included.
    wholes = [heights(260.0, tolerance_mm=4.0), heights(270.0, tolerance_mm=4.0)]
    assert [v["value"] for v in conflict["values"]] == wholes
    assert sheet["target"] == wholes[1]
    assert "the later is used" in conflict["text"]
    # A plan is made all the same, of what is used.
    assert request(sheet)["stops"] == []


def test_a_target_is_disputed_as_a_whole_even_where_the_two_say_different_fields_of_it():
    page = Devices()
    first = page.says("phone-a", "target", heights(250.0))
    page.says("phone-a", "target", {"tolerance_mm": 3.0}, first)
    page.says("phone-b", "target", {"as": "rise", "left_rise_mm": 20, "right_rise_mm": 20}, first)
    sheet = page.sheet()
    assert len(sheet["conflicts"]) == 1
    assert sheet["target"] == {"as": "rise", "left_rise_mm": 20, "right_rise_mm": 20}


def test_two_that_say_the_same_apart_are_no_question():
    page = Devices()
    page.says("phone-a", "target", heights(250.0))
    page.says("phone-b", "target", heights(250))
    page.says("phone-a", "car", {"arm_mm": 415.0})
    page.says("phone-b", "car", {"arm_mm": 415})
    assert page.sheet()["conflicts"] == []


def test_a_later_one_that_has_seen_both_ends_the_question():
    page, _, one, other = two_targets()
    page.says("phone-c", "target", one["body"], one, other)
    sheet = page.sheet()
    assert sheet["conflicts"] == []
    assert sheet["target"]["left_mm"] == 260.0


def test_striking_what_ended_the_question_opens_it_again():
    page, _, one, other = two_targets()
    pick = page.says("phone-c", "target", one["body"], one, other)
    page.strike(pick["id"])
    sheet = page.sheet()
    assert sheet["conflicts"][0]["entries"] == [one["id"], other["id"]]
    assert sheet["target"]["left_mm"] == 270.0


@pytest.mark.parametrize("keep", [0, 1])
def test_a_settlement_ends_the_question_too_and_what_it_keeps_is_used(keep):
    page, _, *both = two_targets()
    page.write("settle", {"keeps": both[keep]["id"], "drops": [both[1 - keep]["id"]]})
    sheet = page.sheet()
    assert sheet["conflicts"] == []
    assert sheet["target"]["left_mm"] == (260.0, 270.0)[keep]
    # Whoever goes on from there goes on from what was kept.
    page.says("phone-c", "target", {"tolerance_mm": 2.0}, *both)
    sheet = page.sheet()
    assert (sheet["target"]["left_mm"], sheet["target"]["tolerance_mm"]) == ((260.0, 270.0)[keep], 2.0)
    assert sheet["conflicts"] == []


def test_settlements_that_contradict_each_other_leave_the_question_open():
    page, _, one, other = two_targets()
    page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    page.device = "shop"
    page.write("settle", {"keeps": other["id"], "drops": [one["id"]]})
    (conflict,) = page.sheet()["conflicts"]
    assert conflict["contradicted"]
    assert len(conflict["settlements"]) == 2


def test_a_car_is_disputed_field_by_field():
    page = Devices()
    one = page.says("phone-a", "car", {"arm_mm": 415.0, "bar": {"inner_teeth": 40, "length_mm": 600.0}})
    other = page.says("phone-b", "car", {"bar": {"inner_teeth": 41, "outer_teeth": 44}})
    sheet = page.sheet()
    (conflict,) = sheet["conflicts"]
    assert (conflict["kind"], conflict["field"], conflict["used"]) == ("car", "bar.inner_teeth", other["id"])
    assert [v["value"] for v in conflict["values"]] == [40, 41]
    assert conflict["before_teardown"]
    assert sheet["car"] == {
        "arm_mm": 415.0,
        "bar": {"inner_teeth": 41, "length_mm": 600.0, "outer_teeth": 44},
    }
    # More about the car by one who has seen both says nothing of the teeth, and ends nothing.
    page.says("phone-c", "car", {"arm_mm": 410.0}, one, other)
    assert len(page.sheet()["conflicts"]) == 1
    page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    sheet = page.sheet()
    assert sheet["conflicts"] == []
    assert sheet["car"] == {
        "arm_mm": 410.0,
        "bar": {"inner_teeth": 40, "length_mm": 600.0, "outer_teeth": 44},
    }


def test_a_part_taken_back_by_one_and_said_by_another_is_a_question():
    page = Devices()
    first = page.says("phone-a", "car", {"load_kg": {"left": 230.0}})
    page.says("phone-a", "car", {"load_kg": None}, first)
    page.says("phone-b", "car", {"load_kg": {"left": 240.0}}, first)
    (conflict,) = page.sheet()["conflicts"]
    assert conflict["field"] == "load_kg.left"
    assert [v["value"] for v in conflict["values"]] == [None, 240.0]
    assert not conflict["before_teardown"]


def test_what_a_last_visit_taught_is_one_field():
    page = Devices()
    page.says("phone-a", "known", {"use": True, "job": "j1", "learned": {"arm_mm": 1}})
    page.says("phone-b", "known", {"use": True, "job": "j2", "learned": {"arm_mm": 2}})
    (conflict,) = page.sheet()["conflicts"]
    assert (conflict["kind"], conflict["field"]) == ("known", "posterior")
    assert conflict["values"][0]["value"] == {"job": "j1", "learned": {"arm_mm": 1}}


def test_words_of_a_job_are_disputed_one_by_one():
    page = Devices()
    page.says("phone-a", "job", {"owner": "Maren", "wish": "level it"})
    page.says("phone-b", "job", {"owner": "Marun"})
    (conflict,) = page.sheet()["conflicts"]
    assert (conflict["kind"], conflict["field"]) == ("job", "owner")
    assert page.sheet()["owner"] == "Marun"


def test_one_that_does_not_say_what_it_saw_has_seen_all_before_it():
    page = Devices()
    page.says("phone-a", "target", heights(250.0))
    page.device = "old-phone"
    page.write("target", heights(260.0))
    assert page.sheet()["conflicts"] == []
    # But nobody had seen it who does not say so.
    page.says("phone-a", "target", heights(270.0))
    assert len(page.sheet()["conflicts"]) == 1


def test_a_struck_card_is_no_side_of_a_question():
    page, _, one, _ = two_targets()
    page.strike(one["id"])
    sheet = page.sheet()
    assert sheet["conflicts"] == []
    assert sheet["target"]["left_mm"] == 270.0


def test_an_entry_stamped_after_the_bound_is_said_and_not_used():
    page = Devices()
    page.says("phone-a", "target", heights(250.0))
    far = page.write("target", heights(999.0), id=an_id(7, 9_000_000_000_000), device_seq=1)
    page.says("phone-a", "target", heights(251.0), page.entries[0])
    page.entries[-1]["device_seq"] = 2
    sheet = page.sheet()
    assert sheet["target"]["left_mm"] == 251.0
    assert [p["id"] for p in sheet["puzzles"]] == [far["id"]]
    assert "after the year 2200" in sheet["puzzles"][0]["text"]


def test_the_fields_of_a_job_and_of_what_is_known_are_those_of_their_entries():
    def names(kind):
        return tuple(sorted(field.encode_name for field in msgspec.structs.fields(kind)))

    assert names(bodies.JobBody) == cards.ABOUT
    assert names(bodies.KnownBody) == tuple(sorted((*cards.TAUGHT, "use")))


VALUES = st.sampled_from([None, 1, 2, 2.0])
CARD = st.one_of(
    st.tuples(st.just("car"), st.dictionaries(st.sampled_from(["arm_mm", "axle"]), VALUES, max_size=2)),
    st.tuples(
        st.just("car"),
        st.fixed_dictionaries(
            {"bar": st.none() | st.dictionaries(st.sampled_from(["inner_teeth", "bore_mm"]), VALUES)}
        ),
    ),
    st.tuples(
        st.just("target"),
        st.sampled_from(
            [heights(1.0), heights(2.0), {"tolerance_mm": 3}, {"as": "level", "rise_mm": 5}, {"left_mm": 7}]
            + [{"other": other} for other in (None, {}, heights(3.0), {"as": "rise", "left_rise_mm": 2})]
            + [{**heights(1.0), "other": {"tolerance_mm": 2}}]
        ),
    ),
    st.tuples(st.just("job"), st.dictionaries(st.sampled_from(["owner", "wish"]), VALUES, max_size=2)),
    st.tuples(st.just("known"), st.dictionaries(st.sampled_from(["use", "job", "learned"]), VALUES)),
)


@st.composite
def logs(draw: st.DrawFn) -> list[dict]:
    """Cards by devices whose clocks differ and that have seen some of the others; strikes, settlements."""
    count = draw(st.integers(1, 14))
    ids = [an_id(number, START_MS + draw(st.integers(-3, 3))) for number in range(count)]
    known = st.sampled_from([*ids, an_id(999)])
    out = []
    for name in ids:
        kind, body = draw(
            CARD
            | st.tuples(st.just("strike"), st.fixed_dictionaries({"entry": known}))
            | st.tuples(
                st.just("settle"),
                st.fixed_dictionaries({"keeps": known, "drops": st.lists(known, min_size=1, max_size=3)}),
            )
        )
        entry = {"id": name, "job": JOB, "device": draw(st.sampled_from("abc")), "at": "2026-09-21T10:00:00Z"}
        entry.update(kind=kind, body=body)
        if draw(st.booleans()):
            entry["saw"] = draw(st.lists(known, max_size=4) | st.just("all") | st.just([3]))
        out.append(entry)
    return out


@pytest.mark.slow(seconds=2)
@given(logs(), st.randoms(use_true_random=False))
@settings(max_examples=tries(200))
def test_cards_fold_to_the_same_in_any_order_and_however_often_they_come(entries, random):
    again = copy.deepcopy(entries) + copy.deepcopy(random.choices(entries, k=4))
    random.shuffle(again)
    both = []
    for log in (entries, again):
        sheet = fold(JOB, log)
        both.append(json.dumps([sheet, request(sheet)]))
    assert both[0] == both[1]


@pytest.mark.slow(seconds=2)
@given(logs())
@settings(max_examples=tries(200))
def test_where_nobody_says_what_they_saw_cards_add_up_in_order_and_nothing_is_asked(entries):
    for entry in entries:
        entry.pop("saw", None)
    entries = [e for e in entries if e["kind"] not in ("strike", "settle")]
    sheet = fold(JOB, entries)
    assert sheet["conflicts"] == []
    for kind, name in (("car", "car"), ("job", "about"), ("known", "known")):
        card: dict = {}
        for entry in sorted(entries, key=lambda e: (e["id"][:13], e["device"], e["id"])):
            if entry["kind"] == kind:
                card = cards.merged(card, entry["body"])
        assert sheet[name] == card


@pytest.mark.slow(seconds=2)
@given(logs(), st.data())
def test_a_pick_that_has_seen_every_side_leaves_no_question_about_it(entries, data):
    sheet = fold(JOB, entries)
    asked = [c for c in sheet["conflicts"] if c["about"] == "card"]
    if not asked:
        return
    conflict = data.draw(st.sampled_from(asked))
    said = data.draw(st.sampled_from(conflict["values"]))["value"]
    if conflict["kind"] == "target":
        others = {name for v in conflict["values"] for name in v["value"]}
        body = {**dict.fromkeys(others), **said}
        theirs = [v["value"]["other"] for v in conflict["values"] if v["value"].get("other") is not None]
        if "other" in said:
            body["other"] = {**{name: None for there in theirs for name in there}, **said["other"]}
    else:
        body = cards._at(conflict["field"], said)
    pick = {
        "id": an_id(500, START_MS + 500),
        "job": JOB,
        "device": "desk",
        "at": "",
        "saw": conflict["entries"],
    }
    after = fold(JOB, [*entries, {**pick, "kind": conflict["kind"], "body": body}])
    where = (conflict["kind"], conflict["field"])
    assert where not in [(c["kind"], c["field"]) for c in after["conflicts"]]
    if conflict["kind"] == "target":
        assert after["target"] == said


def had_seen(entries: list[dict], place: int, memo: dict) -> set[int]:
    """Every place that an entry's writer had seen, pair by pair."""
    if place not in memo:
        saw = entries[place].get("saw")
        ids = [e["id"] for e in entries]
        if not isinstance(saw, list):
            named = set(range(place))
        else:
            named = {ids.index(n) for n in saw if n in ids and ids.index(n) < place}
        memo[place] = named.union(*[had_seen(entries, each, memo) for each in named])
    return memo[place]


@pytest.mark.slow(seconds=2)
@given(logs())
@settings(max_examples=tries(200))
def test_who_stands_side_by_side_is_found_as_if_every_pair_had_been_looked_at(entries):
    entries = sorted(entries, key=lambda e: e["id"])
    said = {e["id"]: dict.fromkeys(e["body"]) for e in entries if e["device"] != "c"}
    memo: dict = {}
    expected: dict = {}
    for i, entry in enumerate(entries):
        for field in said.get(entry["id"], ()):
            later = [
                j
                for j, other in enumerate(entries)
                if field in said.get(other["id"], ()) and i in had_seen(entries, j, memo)
            ]
            if not later:
                expected.setdefault(field, []).append(entry["id"])
    found = heads(entries, said)
    assert {field: [e["id"] for e in found[field]] for field in found} == expected
    # What a writer had in front of them is among what they had seen, and is the latest of it that counts.
    for i, place in enumerate(parents(entries, said, {})):
        counted = [j for j in had_seen(entries, i, memo) if entries[j]["id"] in said]
        assert place == (max(counted) if counted else None)
