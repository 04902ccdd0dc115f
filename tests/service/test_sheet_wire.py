"""A job's sheet, its stages and its history are what the schema says, whatever its records say."""

import json

import jsonschema_rs
import msgspec
import pytest
from book.pages import JOB, JSON, Page, an_id, entry_lists
from hypothesis import given, settings
from hypothesis import strategies as st
from service.shop import shop
from tries import tries

from bothends.book import demo, entries, season
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import timeline
from bothends.service.api.document import render
from bothends.service.api.jobs import sheet_of
from bothends.service.app import create_app
from bothends.service.wire.job import JobHistory
from bothends.service.wire.sheet import (
    BothMeans,
    Conflict,
    FoldedSheet,
    Promised,
    Reached,
    Said,
    Settled,
    Stage,
)

TARGET = {"left_mm": 250.0, "right_mm": 250.0}


@pytest.fixture(scope="module")
def fits():
    """Checks a value against a component of the document."""
    document = json.loads(render(create_app()))
    kept = {
        name: jsonschema_rs.Draft202012Validator({**document, "$ref": f"#/components/schemas/{name}"})
        for name in ("JobSheet", "JobHistory")
    }
    return lambda name, value: kept[name].validate(json.loads(msgspec.json.encode(value)))


PARTS = {"promised": Promised, "reached": Reached, "settled": Settled, "hub_mm": BothMeans}


def names(kind):
    """Names of a struct's fields as they are sent."""
    return {field.encode_name for field in msgspec.structs.fields(kind)}


def sheet_and_history(job, found):
    events = timeline(fold(job, found))
    return sheet_of(job, list(enumerate(found, 1)), None, number=1), JobHistory(
        job=job, events=events, next=None
    )


def taken(found):
    """Those that the book takes in."""
    out = []
    for entry in found:
        try:
            out.append(entries.read(msgspec.json.encode(entry)))
        except (entries.EntryError, msgspec.ValidationError, UnicodeEncodeError):
            continue
    return out


EXTRA = st.dictionaries(st.text(min_size=1, max_size=6).map("x".__add__), JSON, max_size=2) | st.sampled_from(
    [{"datum": 3.0}, {"reference": "gravity"}, {"reference": None}, {"sd": None}, {"method": "tape"}]
)


@st.composite
def books(draw):
    """Records that a book takes, with fields that this version does not know and kinds from a newer one."""
    found = [{**entry, "body": {**entry["body"], **draw(EXTRA)}} for entry in draw(entry_lists(16))]
    newer = {"id": an_id(500), "job": JOB, "device": "phone-a", "at": "2026-09-21T10:00:00+02:00"}
    return taken(
        [*found, {**newer, "kind": "varnish", "body": draw(st.dictionaries(st.text(), JSON, max_size=2))}]
    )


@pytest.mark.slow(seconds=2)
@given(found=books())
@settings(max_examples=tries(150))
def test_the_sheet_of_any_records_fits_the_schema_and_lacks_nothing_they_say(fits, found):
    sheet, history = sheet_and_history(JOB, found)
    fits("JobSheet", sheet)
    fits("JobHistory", history)
    # Nothing that the fold makes is left untold.
    assert set(sheet.sheet) == names(FoldedSheet)
    for conflict in sheet.sheet["conflicts"]:
        assert set(conflict) == names(Conflict)
        assert all(set(said) == names(Said) for said in conflict["values"])
    for stage in sheet.stages:
        assert set(stage) == names(Stage)
        assert all(stage[part] is None or set(stage[part]) == names(kind) for part, kind in PARTS.items())
    bodies = {entry["id"]: entry["body"] for entry in found}
    for event in history.events:
        assert bodies[event["row"]["id"]].items() <= event["row"].items()


@pytest.mark.parametrize("told", [demo.entries, season.entries])
def test_the_sheets_of_whole_jobs_fit_the_schema(fits, told):
    jobs: dict = {}
    for entry in told():
        jobs.setdefault(entry["job"], []).append(entry)
    for job, found in list(jobs.items())[:12]:
        sheet, history = sheet_and_history(job, found)
        fits("JobSheet", sheet)
        fits("JobHistory", history)
        assert (sheet.request is None) is bool(sheet.stops)


@pytest.fixture(scope="module")
def garage(running, tmp_path_factory):
    with shop(running, tmp_path_factory.mktemp("wire") / "book") as opened:
        opened.push(*demo.entries())
        yield opened


def test_a_sheets_request_can_be_sent_to_the_solver_as_it_came(garage):
    for line in garage.get("/api/jobs")["jobs"]:
        found = garage.get(f"/api/jobs/{line['job']}")
        if found["stops"]:
            assert found["request"] is None
            continue
        answer = garage.guest.post("/api/solve", json=found["request"])
        assert answer.status_code == 200, answer.text


@pytest.mark.parametrize(
    ("target", "code", "words"),
    [(None, "missing-target", "no target yet"), ({"left_mm": 250.0}, "incomplete", "right_mm is required")],
)
def test_a_request_that_no_solve_would_take_is_left_out_and_a_stop_says_what_it_lacks(
    garage, target, code, words
):
    page = Page(job=an_id(70 + len(code)), first=7000 + len(code))
    page.heights(214.0, 222.0)
    if target:
        page.write("target", target)
    garage.push(*page.entries)
    found = garage.get(f"/api/jobs/{page.job}")
    assert found["request"] is None
    (stop,) = found["stops"]
    assert stop["code"] == code
    assert words in stop["text"]


def test_a_stop_names_the_record_that_the_request_cannot_take():
    page = Page()
    page.write("target", TARGET)
    page.heights(214.0, 222.0)
    # Kept by a version that knew no such bound.
    wrong = page.reading(99_000.0)
    sheet, _ = sheet_and_history(JOB, page.entries)
    assert sheet.request is None
    assert sheet.stops[0]["entries"] == [wrong["id"]]
