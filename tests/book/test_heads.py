"""Strikes, corrections and settlements: what holds, what is shown side by side."""

from book.pages import JOB, Page, an_id
from bothends.book.sheet.fold import fold


def sheet_of(page):
    return fold(JOB, page.entries)


def values(page):
    return [r["value"] for r in sheet_of(page)["readings"]]


def test_a_struck_reading_leaves_the_sheet_and_stays_on_record():
    page = Page()
    wrong = page.reading(214.0)
    strike = page.strike(wrong["id"], why="read at the wing")
    sheet = sheet_of(page)
    assert sheet["readings"] == []
    assert [(row["id"], row["by"]) for row in sheet["struck"]] == [(wrong["id"], [strike["id"]])]


def test_striking_the_strike_brings_the_reading_back():
    page = Page()
    reading = page.reading(214.0)
    strike = page.strike(reading["id"])
    again = page.strike(strike["id"])
    assert values(page) == [214.0]
    page.strike(again["id"])
    assert values(page) == []


def test_strikes_that_go_round_in_a_circle_take_out_nothing():
    page = Page()
    reading = page.reading(214.0)
    first, second = an_id(901), an_id(902)
    page.write("strike", {"entry": second}, id=first)
    page.write("strike", {"entry": first}, id=second)
    assert values(page) == [214.0]
    assert reading["id"] == sheet_of(page)["readings"][0]["id"]


def test_a_correction_holds_in_place_of_what_it_corrects():
    page = Page()
    first = page.reading(21.4)
    second = page.reading(214.0, corrects=first["id"])
    row = sheet_of(page)["readings"][0]
    assert (row["value"], row["id"], row["root"]) == (214.0, second["id"], first["id"])
    assert row["corrected"] == [first["id"]]
    assert not row["unsettled"]


def test_a_correction_of_a_correction_holds():
    page = Page()
    first = page.reading(21.4)
    second = page.reading(241.0, corrects=first["id"])
    page.reading(214.0, corrects=second["id"])
    assert values(page) == [214.0]


def test_striking_a_correction_brings_back_what_it_corrected():
    page = Page()
    first = page.reading(214.0)
    second = page.reading(241.0, corrects=first["id"])
    third = page.reading(240.0, corrects=second["id"])
    page.strike(third["id"])
    assert values(page) == [241.0]
    page.strike(second["id"])
    assert values(page) == [214.0]


def test_striking_the_first_of_a_chain_takes_out_the_whole_chain():
    page = Page()
    first = page.reading(214.0)
    page.reading(241.0, corrects=first["id"])
    page.strike(first["id"])
    assert values(page) == []


def test_a_correction_that_comes_before_its_reading_is_used_and_said_to_wait():
    page = Page()
    missing = an_id(950)
    early = page.reading(214.0, corrects=missing)
    sheet = sheet_of(page)
    assert [r["value"] for r in sheet["readings"]] == [214.0]
    assert sheet["waiting"] == [{"id": early["id"], "for": missing}]


def two_corrections():
    page = Page()
    first = page.reading(21.4)
    one = page.reading(214.0, corrects=first["id"])
    page.device = "phone-b"
    other = page.reading(241.0, corrects=first["id"])
    return page, first, one, other


def test_two_corrections_of_one_reading_are_both_shown():
    page, _, one, other = two_corrections()
    sheet = sheet_of(page)
    assert len(sheet["readings"]) == 1
    assert sheet["readings"][0]["unsettled"]
    (conflict,) = sheet["conflicts"]
    assert (conflict["about"], conflict["kind"]) == ("correction", "reading")
    assert conflict["entries"] == [one["id"], other["id"]]


def test_two_corrections_that_say_the_same_are_no_conflict():
    page = Page()
    first = page.reading(21.4)
    page.reading(214.0, corrects=first["id"])
    page.reading(214.0, corrects=first["id"], method="tape again")
    assert values(page) == [214.0]
    assert sheet_of(page)["conflicts"] == []


def test_a_settlement_keeps_the_one_that_a_person_picked():
    for keep in (0, 1):
        page, _, *both = two_corrections()
        page.write("settle", {"keeps": both[keep]["id"], "drops": [both[1 - keep]["id"]]})
        sheet = sheet_of(page)
        assert sheet["conflicts"] == []
        assert sheet["readings"][0]["id"] == both[keep]["id"]


def test_a_settlement_may_keep_what_stood_first():
    page, first, one, other = two_corrections()
    page.write("settle", {"keeps": first["id"], "drops": [one["id"], other["id"]]})
    assert values(page) == [21.4]


def test_settlements_that_contradict_each_other_reopen_the_question_until_a_third_replaces_them():
    page, _, one, other = two_corrections()
    first = page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    page.device = "shop"
    second = page.write("settle", {"keeps": other["id"], "drops": [one["id"]]})
    assert len(sheet_of(page)["conflicts"]) == 1
    page.write(
        "settle", {"keeps": one["id"], "drops": [other["id"]], "replaces": [first["id"], second["id"]]}
    )
    assert sheet_of(page)["conflicts"] == []
    assert values(page) == [214.0]


def test_a_device_that_settles_again_means_its_last_word():
    page, _, one, other = two_corrections()
    page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    page.write("settle", {"keeps": other["id"], "drops": [one["id"]]})
    assert values(page) == [241.0]


def test_two_moves_of_one_teardown_that_differ_are_a_conflict_until_settled():
    page = Page()
    one = page.move(1, left=(-3, 4))
    page.device = "phone-b"
    other = page.move(1, left=(-3, 3))
    sheet = sheet_of(page)
    (conflict,) = sheet["conflicts"]
    assert (conflict["about"], conflict["teardown"]) == ("teardown", 1)
    assert conflict["entries"] == [one["id"], other["id"]]
    assert sheet["teardowns"] == 1
    page.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    sheet = sheet_of(page)
    assert sheet["conflicts"] == []
    assert [m["id"] for m in sheet["moves"]] == [one["id"]]


def test_two_moves_of_one_teardown_that_agree_are_one_move():
    page = Page()
    one = page.move(1, left=(-3, 4))
    page.device = "phone-b"
    other = page.move(1, left=(-3, 4))
    sheet = sheet_of(page)
    assert sheet["conflicts"] == []
    assert sheet["moves"][0]["id"] == other["id"]
    assert sheet["moves"][0]["also"] == [one["id"]]


def test_a_correction_may_give_a_move_its_right_number():
    page = Page()
    page.move(1)
    wrong = page.move(1, left=(2, 0))
    page.move(2, left=(2, 0), corrects=wrong["id"])
    sheet = sheet_of(page)
    assert [m["teardown"] for m in sheet["moves"]] == [1, 2]
    assert sheet["conflicts"] == []
