"""Slipway Garage's jobs as entries: the same every time, sound, and telling the whole story."""

import json

import pytest

from bothends.book import demo, entries
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request
from bothends.model.solve import solve


@pytest.fixture(scope="module")
def written():
    """All entries."""
    return demo.entries()


def test_the_demo_is_the_same_every_time(written):
    assert demo.entries() == written
    assert len({entry["id"] for entry in written}) == len(written)


def test_the_shop_takes_every_demo_entry_in(written):
    for entry in written:
        assert entries.read(json.dumps(entry).encode()) == entry


def test_the_demo_shows_a_job_at_every_stage(written):
    sheets = [fold(job, written) for job in dict.fromkeys(entry["job"] for entry in written)]
    assert [sheet["state"] for sheet in sheets] == ["closed", "planned", "planned", "measuring"]
    assert [sheet["owner"] for sheet in sheets] == ["Maren", "Jonas", "Tove", "Maren"]
    for sheet in sheets:
        assert (sheet["puzzles"], sheet["conflicts"], sheet["waiting"], sheet["clocks"]) == ([], [], [], [])
    assert [stage["hit"] for stage in stages(sheets[0])[1:]] == [True]
    assert [stage["hit"] for stage in stages(sheets[1])[1:]] == [False]
    assert sheets[2]["readings"][-1]["corrected"]
    assert sheets[3]["known"]["posterior"] == sheets[0]["closed"]["posterior"]


def test_open_plans_are_what_the_model_says_now(written):
    for job in dict.fromkeys(entry["job"] for entry in written):
        sheet = fold(job, written)
        if sheet["state"] == "planned":
            option = solve(request(sheet)["request"])["options"][0]
            plan = sheet["plans"][-1]
            assert plan["odds"] == pytest.approx(option["odds"], abs=0.001)
            assert [plan["left"]["inner"], plan["right"]["outer"]] == [
                option["left"]["inner"],
                option["right"]["outer"],
            ]
