"""Questions that a person settles: asked whenever copies differ, answered once, never by whoever came last."""

import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import JOB, Page, entry_lists
from bothends.book.sheet.fold import fold

DEVICES = ("phone-a", "phone-b", "shop")


def sheet_of(page):
    return fold(JOB, page.entries)


def values(page):
    return [r["value"] for r in sheet_of(page)["readings"]]


def settle(page, keeps, drops, *, device, replaces=None):
    page.device = device
    more = {} if replaces is None else {"replaces": replaces}
    return page.write("settle", {"keeps": keeps["id"], "drops": [d["id"] for d in drops], **more})


def two_corrections():
    page = Page()
    first = page.reading(21.4)
    one = page.reading(214.0, corrects=first["id"])
    page.device = "phone-b"
    return page, first, one, page.reading(241.0, corrects=first["id"])


def answered(entries, conflict, keep):
    """The settlement that the desk writes."""
    page = Page(device="desk", first=3000)
    keeps = conflict["entries"][keep]
    drops = [name for name in conflict["entries"] if name != keeps]
    page.write("settle", {"keeps": keeps, "drops": drops, "replaces": conflict["settlements"]}, ms=2000)
    return [*entries, *page.entries]


def test_two_devices_that_settle_differently_are_asked_again_in_either_order():
    for order in ((0, 1), (1, 0)):
        page, _, *both = two_corrections()
        made = [settle(page, both[i], [both[1 - i]], device=DEVICES[i]) for i in order]
        (conflict,) = sheet_of(page)["conflicts"]
        assert conflict["contradicted"]
        assert "resolved in two ways" in conflict["text"]
        assert conflict["settlements"] == sorted(s["id"] for s in made)
        assert sheet_of(page)["readings"][0]["unsettled"]


def test_a_third_settlement_answers_both_and_striking_it_asks_again():
    page, _, one, other = two_corrections()
    both = [settle(page, one, [other], device="phone-a"), settle(page, other, [one], device="phone-b")]
    third = settle(page, other, [one], device="shop", replaces=[s["id"] for s in both])
    assert (values(page), sheet_of(page)["conflicts"]) == ([241.0], [])
    page.strike(third["id"])
    assert sheet_of(page)["conflicts"][0]["contradicted"]


def test_two_third_settlements_made_apart_are_a_question_again():
    page, _, one, other = two_corrections()
    both = [settle(page, one, [other], device="phone-a"), settle(page, other, [one], device="phone-b")]
    named = [s["id"] for s in both]
    settle(page, one, [other], device="shop", replaces=named)
    settle(page, other, [one], device="home", replaces=named)
    (conflict,) = sheet_of(page)["conflicts"]
    assert conflict["contradicted"]
    assert not set(named) & set(conflict["settlements"])


def test_two_devices_that_settle_alike_leave_no_question():
    page, _, one, other = two_corrections()
    settle(page, one, [other], device="phone-a")
    settle(page, one, [other], device="phone-b")
    assert (values(page), sheet_of(page)["conflicts"]) == ([214.0], [])


def test_a_device_that_settles_about_a_third_correction_does_not_bring_back_what_it_dropped_before():
    page, first, one, other = two_corrections()
    settle(page, one, [other], device="shop")
    page.device = "phone-c"
    third = page.reading(215.0, corrects=first["id"])
    (conflict,) = sheet_of(page)["conflicts"]
    assert conflict["entries"] == [one["id"], third["id"]]
    settle(page, third, [one], device="shop")
    assert (values(page), sheet_of(page)["conflicts"]) == ([215.0], [])


def test_a_settlement_that_replaces_another_leaves_its_word_on_other_entries():
    page, first, one, other = two_corrections()
    page.device = "phone-c"
    third = page.reading(215.0, corrects=first["id"])
    before = settle(page, one, [other, third], device="phone-a")
    settle(page, other, [one], device="shop", replaces=[before["id"]])
    assert (values(page), sheet_of(page)["conflicts"]) == ([241.0], [])


def test_what_a_dropped_correction_had_corrected_stays_corrected():
    page, first, one, other = two_corrections()
    page.device = "phone-a"
    again = page.reading(213.0, corrects=one["id"])
    settle(page, other, [again], device="shop")
    assert (values(page), sheet_of(page)["conflicts"]) == ([241.0], [])
    assert first["id"] in sheet_of(page)["readings"][0]["corrected"]


def test_where_the_kept_correction_is_struck_what_stood_before_both_holds():
    page, _, one, other = two_corrections()
    settle(page, one, [other], device="shop")
    page.strike(one["id"])
    assert values(page) == [21.4]


def test_a_move_dropped_for_another_does_not_come_back_in_its_earlier_form():
    page = Page()
    one = page.move(1, left=(-3, 4))
    page.device = "phone-b"
    wrong = page.move(1, left=(-3, 2))
    other = page.move(1, left=(-3, 3), corrects=wrong["id"])
    settle(page, one, [other], device="shop")
    sheet = sheet_of(page)
    assert sheet["conflicts"] == []
    assert [m["id"] for m in sheet["moves"]] == [one["id"]]


def struck_and_corrected(*, saw=None, strike_first=True):
    """A strikes what B corrects; neither knows of the other."""
    page = Page()
    first = page.reading(21.4)
    more = {} if saw is None else {"saw": [first["id"]]}
    made = {}
    for act in ("strike", "correct") if strike_first else ("correct", "strike"):
        page.device = "phone-a" if act == "strike" else "phone-b"
        if act == "strike":
            made[act] = page.strike(first["id"], **more)
        else:
            made[act] = page.reading(214.0, corrects=first["id"])
    return page, made["strike"], made["correct"]


@pytest.mark.parametrize("strike_first", [True, False])
def test_a_strike_and_a_correction_made_apart_are_both_shown_and_the_strike_holds_meanwhile(strike_first):
    page, strike, correction = struck_and_corrected(saw=True, strike_first=strike_first)
    sheet = sheet_of(page)
    (conflict,) = sheet["conflicts"]
    assert (conflict["about"], conflict["used"]) == ("strike", strike["id"])
    assert conflict["entries"] == [strike["id"], correction["id"]]
    assert sheet["readings"] == []


def test_a_strike_that_says_nothing_of_what_stood_there_is_judged_by_the_order():
    page, _, _ = struck_and_corrected()
    assert len(sheet_of(page)["conflicts"]) == 1
    page, _, _ = struck_and_corrected(strike_first=False)
    assert sheet_of(page)["conflicts"] == []


def test_striking_a_corrected_reading_that_one_has_seen_is_no_question():
    page = Page()
    first = page.reading(21.4)
    page.device = "phone-b"
    correction = page.reading(214.0, corrects=first["id"])
    page.device = "phone-a"
    page.strike(first["id"], saw=[first["id"], correction["id"]])
    assert (values(page), sheet_of(page)["conflicts"]) == ([], [])


@pytest.mark.parametrize("keep", ["strike", "correction"])
def test_a_strike_against_a_correction_is_settled_either_way_and_undone(keep):
    page, strike, correction = struck_and_corrected(saw=True)
    pair = (strike, correction) if keep == "strike" else (correction, strike)
    made = settle(page, pair[0], [pair[1]], device="shop")
    assert (values(page), sheet_of(page)["conflicts"]) == ([] if keep == "strike" else [214.0], [])
    page.strike(made["id"])
    assert len(sheet_of(page)["conflicts"]) == 1


def test_a_strike_against_a_correction_settled_in_two_ways_is_asked_again():
    page, strike, correction = struck_and_corrected(saw=True)
    settle(page, strike, [correction], device="phone-a")
    settle(page, correction, [strike], device="phone-b")
    (conflict,) = sheet_of(page)["conflicts"]
    assert conflict["contradicted"]
    assert values(page) == []


def test_an_undone_correction_that_another_corrects_is_a_question_too():
    page = Page()
    first = page.reading(214.0)
    wrong = page.reading(21.4, corrects=first["id"])
    page.device = "phone-b"
    other = page.reading(215.0, corrects=wrong["id"])
    page.device = "phone-a"
    strike = page.strike(wrong["id"], saw=[wrong["id"], first["id"]])
    (conflict,) = sheet_of(page)["conflicts"]
    assert conflict["entries"] == [strike["id"], other["id"]]
    assert values(page) == [215.0]
    settle(page, strike, [other], device="shop")
    assert (values(page), sheet_of(page)["conflicts"]) == ([214.0], [])


def test_no_plan_is_made_while_a_teardown_is_struck_and_corrected():
    from bothends.book.sheet.request import request

    page = Page()
    move = page.move(1, left=(-3, 4))
    page.strike(move["id"], saw=[move["id"]])
    page.device = "phone-b"
    page.move(1, left=(-3, 3), corrects=move["id"])
    assert "unsettled-move" in [stop["code"] for stop in request(sheet_of(page))["stops"]]


@st.composite
def disputes(draw):
    """Devices that correct, strike and settle the same few entries without waiting for each other."""
    page = Page()
    for number in range(draw(st.integers(1, 2))):
        if draw(st.booleans()):
            page.reading(210.0 + number)
        else:
            page.move(1, left=(number, 1))
    for number in range(draw(st.integers(1, 9))):
        page.device = draw(st.sampled_from(DEVICES))
        seen = draw(st.sampled_from(page.entries))
        act = draw(st.sampled_from(["correct", "correct", "strike", "settle", "settle"]))
        if act == "correct" and seen["kind"] == "reading":
            page.reading(220.0 + number, corrects=seen["id"])
        elif act == "correct" and seen["kind"] == "move":
            page.move(1, left=(number, 2), corrects=seen["id"])
        elif act == "strike":
            saw = draw(st.none() | st.lists(st.sampled_from([e["id"] for e in page.entries]), max_size=4))
            page.strike(seen["id"], **({} if saw is None else {"saw": saw}))
        else:
            found = sheet_of(page)["conflicts"]
            about = found[0]["entries"] if found else [e["id"] for e in page.entries[-2:]]
            keeps = draw(st.sampled_from(about))
            named = draw(st.lists(st.sampled_from([e["id"] for e in page.entries]), max_size=3))
            drops = [name for name in about if name != keeps]
            page.write("settle", {"keeps": keeps, "drops": drops, "replaces": named})
    return page.entries


@given(disputes(), st.randoms(use_true_random=False))
def test_any_order_and_any_repetition_give_the_same_questions_and_answers(entries, random):
    shuffled = copy.deepcopy(entries) + copy.deepcopy(random.choices(entries, k=4))
    random.shuffle(shuffled)
    assert json.dumps(fold(JOB, shuffled)) == json.dumps(fold(JOB, entries))


@given(disputes() | entry_lists(), st.data())
def test_every_question_can_be_answered_by_one_settlement(entries, data):
    """What the desk writes settles what it was asked, whoever said what before."""
    conflicts = fold(JOB, entries)["conflicts"]
    for conflict in conflicts:
        keep = data.draw(st.integers(0, len(conflict["entries"]) - 1))
        after = fold(JOB, answered(entries, conflict, keep))
        asked = set(conflict["entries"])
        assert [c for c in after["conflicts"] if len(asked & set(c["entries"])) > 1] == []


@given(disputes(), st.sampled_from([0, 1]))
def test_opposite_settlements_of_two_devices_never_end_in_silence(entries, first):
    """Whichever comes later in the order: the question stands, and neither has won."""
    conflicts = fold(JOB, entries)["conflicts"]
    for conflict in conflicts:
        one, other = conflict["entries"][:2]
        page = Page(first=3000)
        for keeps, drops in ((one, other), (other, one)) if first else ((other, one), (one, other)):
            page.device = f"new {keeps}"
            page.write(
                "settle", {"keeps": keeps, "drops": [drops], "replaces": conflict["settlements"]}, ms=2000
            )
        after = fold(JOB, entries + page.entries)
        assert [c for c in after["conflicts"] if {one, other} <= set(c["entries"]) and c["contradicted"]]
