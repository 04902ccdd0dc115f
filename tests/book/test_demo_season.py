"""The demo season: as its cars and mechanic play it, everything a season holds, marked as simulated everywhere."""

import json

import msgspec
import pytest
from shop.make_demo_season import DEVICES, season_jobs

from bothends.book import calibration, entries, folded, history, log, season, simulated
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request
from bothends.book.store import Store
from bothends.model.solve import solve

MOST_BYTES = 600_000


@pytest.fixture(scope="module")
def found():
    return season.entries()


@pytest.fixture(scope="module")
def sheets(found):
    by_job = {}
    for entry in found:
        by_job.setdefault(entry["job"], []).append(entry)
    return [fold(job, rows) for job, rows in by_job.items()]


@pytest.fixture(scope="module")
def book(found, tmp_path_factory):
    with Store(tmp_path_factory.mktemp("season")) as store:
        store.write(lambda db: season.fill(db, found))
        folded.catch_up(store.read, store.write)
        yield store


def alike(one, other, place=""):
    """Equal but for the last digits of figures: another machine's sine may differ there."""
    if isinstance(one, dict):
        assert list(one) == list(other), place
        for name in one:
            alike(one[name], other[name], f"{place}.{name}")
    elif isinstance(one, list):
        assert len(one) == len(other), place
        for index, (a, b) in enumerate(zip(one, other, strict=True)):
            alike(a, b, f"{place}[{index}]")
    elif isinstance(one, (int, float)) and not isinstance(one, bool):
        assert one == pytest.approx(other, rel=2e-3, abs=2e-3), place
    else:
        assert one == other, place


@pytest.mark.slow(seconds=2)
def test_the_file_is_what_the_season_plays(repository):
    # Where this fails after a change of the model: PYTHONPATH=tests python -m shop.make_demo_season
    *_, played = season_jobs()
    head, *kept = (json.loads(line) for line in season.FILE.read_text(encoding="utf-8").splitlines())
    assert head["devices"] == DEVICES
    alike(json.loads(json.dumps(played)), kept)


def test_it_is_small_and_every_entry_is_one_that_a_book_takes(found):
    assert season.FILE.stat().st_size < MOST_BYTES
    for entry in found:
        assert entries.read(msgspec.json.encode(entry)) == entry
    assert found == season.entries()
    assert len({entry["id"] for entry in found}) == len(found)


def test_it_is_a_year_of_some_forty_jobs_in_every_state(sheets):
    assert 38 <= len(sheets) <= 45
    assert {sheet["state"] for sheet in sheets} == {"measuring", "planned", "torn down", "checked", "closed"}
    moments = sorted(row["at"] for sheet in sheets for row in sheet["readings"])
    assert (moments[0][:7], moments[-1][:7]) == ("2025-11", "2026-11")
    visits = {}
    for sheet in sheets:
        visits.setdefault((sheet["car_name"], sheet["owner"]), []).append(sheet)
    layouts = {"Dunlin saloon", "Turnstone van"}
    assert {car for car, _ in visits} == {"Gannet roadster", "Plover utility", "Knot camper"} | layouts
    assert {1, 2, 3} == {len(every) for every in visits.values()}
    later = [sheet for every in visits.values() for sheet in every[1:]]
    assert all(sheet["known"]["posterior"] for sheet in later)
    assert {job for sheet in later if (job := sheet["known"]["job"])} <= {sheet["job"] for sheet in sheets}
    closed = [sheet for sheet in sheets if sheet["closed"]]
    assert {1, 2} <= {sheet["teardowns"] for sheet in closed}
    assert all(sheet["closed"]["posterior"] for sheet in closed)
    assert not any(sheet["puzzles"] or sheet["waiting"] or sheet["clocks"] for sheet in sheets)


def test_some_were_read_on_boards_one_slip_was_struck_one_pair_disagrees(sheets):
    boards = [any(reading.get("pose") for reading in sheet["readings"]) for sheet in sheets]
    assert 0.2 < sum(boards) / len(boards) < 0.8
    struck = [row for sheet in sheets for row in sheet["struck"]]
    assert [(row["kind"], row["what"]) for row in struck] == [("reading", "riding-angle")]
    disputes = [(sheet["state"], conflict["about"]) for sheet in sheets for conflict in sheet["conflicts"]]
    assert disputes == [("planned", "correction")]


def test_plans_are_kept_as_the_app_keeps_them_and_gone_by(sheets):
    done = [stage for sheet in sheets for stage in stages(sheet) if stage["teardown"]]
    # Of a screw's turns a part is made first: the plan is gone by, not yet all of it.
    assert [stage["teardown"] for stage in done if not stage["followed"]] == [1]
    for sheet in sheets:
        for plan in sheet["plans"]:
            assert set(plan["left"]["lift"]) == {"assumed", "energy_j", "force_n", "high", "low", "torque_nm"}
            assert plan["target"]["tolerance_mm"] == 5


def test_a_car_on_screws_is_in_hand_and_one_with_eccentric_plates_was_handed_over(sheets):
    found = {sheet["car_name"]: sheet for sheet in sheets if sheet["car"].get("adjuster")}
    van, saloon = found["Turnstone van"], found["Dunlin saloon"]
    assert (van["state"], van["car"]["sprung"], van["car"]["adjuster"]["kind"]) == (
        "checked",
        "front",
        "screw",
    )
    planned, turned = van["plans"][0]["left"]["turns"], van["moves"][0]["left"]["turns"]
    assert 0 < turned < planned
    option = solve(request(van)["request"])["options"][0]
    assert option["left"]["turns"] or option["right"]["turns"]
    assert (saloon["state"], saloon["car"]["adjuster"]["kind"]) == ("closed", "eccentric")
    assert saloon["moves"][0]["left"]["outer"]
    assert saloon["moves"][0]["left"]["turns"]
    assert stages(saloon)[-1]["hit"]


def test_the_plan_of_every_open_job_can_be_made(sheets):
    for sheet in sheets:
        asked = request(sheet)
        if sheet["state"] in ("planned", "checked", "closed"):
            assert solve(asked["request"])["options"], sheet["title"]
            assert not asked["stops"]


def test_everything_says_that_it_is_simulated(found, sheets, book):
    assert all(entry["simulated"] is True for entry in found)
    assert all(sheet["title"].endswith("(simulated)") for sheet in sheets)
    assert all(any("invented" in note["text"] for note in sheet["notes"]) for sheet in sheets)
    assert book.read(simulated.marked)


def test_the_shop_s_figures_come_of_it(book, found):
    shown = book.read(calibration.calibration)
    assert shown["first_teardown"]["count"] >= 30
    assert shown["first_teardown"]["share"] > 0.7
    assert book.read(lambda db: history.page(db, car="gannet roadster", limit=500))
    assert book.read(log.last) == len(found)
    book.write(lambda db: season.fill(db, found))
    assert book.read(log.last) == len(found)
