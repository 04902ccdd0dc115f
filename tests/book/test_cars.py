"""A car over its visits: what is known of it, which visit taught it, what a new job can begin with."""

import json
import math
from pathlib import Path

import pytest

from book.pages import Page, an_id
from bothends.book import cars, folded, jobs, log
from bothends.model.solve import solve

CASES = Path(__file__).resolve().parents[1] / "browser" / "cases"
"""Requests whose readings agree with each other; boards is plain with a board test."""


def push(store, *pages):
    for page in pages:
        store.write(lambda db, p=page: log.append(db, p.entries))
    folded.catch_up(store.read, store.write)


def asked(name: str = "plain") -> dict:
    return json.loads((CASES / f"{name}.json").read_bytes())


def visit(number: int, *, known=None, boards=False, bar=None, limits=None, **more) -> tuple[Page, dict]:
    """A visit with what the model learns from its readings; its page and the answer."""
    request = asked("boards" if boards else "plain")
    if bar:
        request["car"]["bar"] = {**request["car"]["bar"], **bar}
    request["car"].update(more)
    request["car"]["limits"] = {**request["car"].get("limits", {}), **(limits or {})}
    page = Page(job=an_id(number), first=1000 * number)
    about = {"title": f"visit {number}", "car": "Plover utility", "owner": "Tove"}
    page.write("job", about)
    page.write("car", request["car"])
    page.write("target", request["target"])
    if known:
        page.write("known", {"use": True, **known})
        request["car"]["known"] = known["posterior"]
    for row in request["log"]:
        page.write("reading", {name: value for name, value in row.items() if name != "kind"})
    answer = solve({"car": request["car"], "target": request["target"], "log": request["log"]})
    page.write("close", {"posterior": answer["posterior"], "learned": answer["learned"]})
    for entry in page.entries:
        entry["at"] = f"2026-0{number}-10T12:00:00Z"
    return page, answer


def look(store):
    return store.read(lambda db: cars.page(db, "plover utility / tove"))


def test_constants_are_the_models_own_in_the_outsides_units(store):
    page, answer = visit(1, boards=True)
    push(store, page)
    found = {row["name"]: row for row in look(store)["constants"]}
    assert set(found) == set(answer["learned"]) - {"mm_per_deg"} | {"unevenness_mm"}
    for name, row in found.items():
        if name in answer["learned"]:
            assert row["value"] == pytest.approx(answer["learned"][name]["value"], rel=1e-9)
            assert row["sd"] == pytest.approx(answer["learned"][name]["sd"], rel=1e-9)


def test_a_constant_names_the_visit_that_narrowed_it_and_an_assumed_one_names_none(store):
    plain, answer = visit(1)
    known = {"job": plain.job, "posterior": answer["posterior"]}
    tested, _ = visit(2, known=known, boards=True)
    push(store, plain, tested)
    found = {row["name"]: row for row in look(store)["constants"]}
    roll = found["roll_support_n_per_mm"]
    assert (roll["from_job"], roll["from_title"]) == (tested.job, "visit 2")
    assert roll["sd"] < 0.6 * roll["assumed_sd"]
    # A car on its tyres says nothing of them.
    assert found["tyre_n_per_mm"]["from_job"] is None
    assert found["tyre_n_per_mm"]["sd"] > cars.WORTH * found["tyre_n_per_mm"]["assumed_sd"]


def test_a_visit_that_began_anew_stands_alone(store):
    tested, _ = visit(1, boards=True)
    anew, _ = visit(2)
    push(store, tested, anew)
    found = {row["name"]: row for row in look(store)["constants"]}
    assert found["roll_support_n_per_mm"]["from_job"] is None
    assert [v["began_from"] for v in look(store)["visits"]] == [None, None]


def test_visits_come_latest_first_with_the_heights_in_order_of_time(store):
    (one, _), (two, _) = visit(1), visit(2)
    push(store, two, one)
    found = look(store)
    assert [v["job"] for v in found["visits"]] == [two.job, one.job]
    assert [row["job"] for row in found["teardowns"]] == [one.job, two.job]
    assert (found["visit_count"], found["car"], found["owner"]) == (2, "Plover utility", "Tove")


def test_a_new_job_begins_with_lasting_sizes_and_what_is_known(store):
    page, answer = visit(1, limits={"bump_mm": 40.0, "stop_deg": 2.0})
    push(store, page)
    again = look(store)["again"]
    assert again["job"] == {"car": "Plover utility", "owner": "Tove"}
    assert again["car"]["bar"] == asked()["car"]["bar"]
    # Travel left is as a visit found it; the stop is where it is.
    assert again["car"]["limits"] == {"stop_deg": 2.0}
    assert again["known"]["posterior"] == answer["posterior"]
    assert again["known"]["job"] == page.job


def test_nothing_is_taken_over_from_another_bar(store):
    old, _ = visit(1)
    other = Page(job=an_id(2), first=9000)
    other.write("job", {"car": "Plover utility", "owner": "Tove"})
    other.write("car", {**asked()["car"], "bar": {**asked()["car"]["bar"], "diameter_mm": 26.0}})
    for entry in other.entries:
        entry["at"] = "2026-08-10T12:00:00Z"
    push(store, old, other)
    assert look(store)["again"]["known"] is None
    assert look(store)["again"]["car"]["bar"]["diameter_mm"] == 26.0


def test_what_is_known_of_the_other_axle_goes_to_the_next_visit_too(store):
    page, answer = visit(
        1, other={"arm_mm": 350.0, "limits": {"bump_mm": 40.0, "droop_mm": 90.0, "stop_deg": 1.0}}
    )
    push(store, page)
    again = look(store)["again"]
    assert again["car"]["other"] == {"arm_mm": 350.0, "limits": {"stop_deg": 1.0}}
    assert again["known"]["posterior"] == answer["posterior"]


def test_a_job_at_the_other_axle_begins_with_what_was_said_of_it(store):
    rear, _ = visit(1, other={"arm_mm": 350.0}, roll_support_n_per_mm=20.0)
    front = Page(job=an_id(2), first=9000)
    front.write("job", {"car": "Plover utility", "owner": "Tove"})
    front.write("car", {"sprung": "front", "axle": "wishbone", "other": {}})
    for entry in front.entries:
        entry["at"] = "2026-08-10T12:00:00Z"
    push(store, rear, front)
    again = look(store)["again"]
    assert (again["car"]["sprung"], again["car"]["axle"], again["car"]["arm_mm"]) == (
        "front",
        "wishbone",
        350.0,
    )
    assert again["car"]["other"]["bar"] == asked()["car"]["bar"]
    assert "roll_support_n_per_mm" not in {**again["car"], **again["car"]["other"]}
    # What the rear bars' readings taught is not of these.
    assert again["known"] is None


def test_an_odd_posterior_keeps_no_page_from_being_shown(store):
    page, _ = visit(1)
    page.write("close", {"posterior": {"names": ["arm"], "mean": [], "covariance": []}})
    push(store, page)
    assert look(store)["constants"] == []
    assert math.isfinite(look(store)["visit_count"])
    assert store.read(lambda db: cars.page(db, "nobody / here")) is None
    assert store.read(lambda db: cars.page(db, "")) is None


def test_a_visit_that_says_nothing_of_the_bar_takes_nothing_back(store):
    page, answer = visit(1)
    short = Page(job=an_id(2), first=9000)
    short.write("job", {"car": "Plover utility", "owner": "Tove"})
    for entry in short.entries:
        entry["at"] = "2026-08-10T12:00:00Z"
    push(store, page, short)
    again = look(store)["again"]
    assert again["car"]["bar"] == asked()["car"]["bar"]
    assert again["known"]["posterior"] == answer["posterior"]


def test_a_car_is_found_by_its_plate_however_it_is_typed_and_without_the_job_that_asks(store):
    first, second = Page(job=an_id(1), first=1000), Page(job=an_id(2), first=2000)
    for page in (first, second):
        page.write("job", {"car": "Knot camper", "owner": "Piet", "plate": "SL-042 k"})
        page.write("car", {"arm_mm": 430.0 if page is first else 440.0})
    push(store, first, second)
    for typed in ("sl042k", "SL-042", "knot piet"):
        (line,) = store.read(lambda db, typed=typed: jobs.cars(db, query=typed))
        assert (line["owner"], line["visits"]) == ("Piet", 2)
    (line,) = store.read(lambda db: jobs.cars(db, query="sl042k", without=second.job))
    assert line["visits"] == 1
    page = store.read(lambda db: cars.page(db, line["car_key"], without=second.job))
    assert page["visit_count"] == 1
    assert page["again"]["car"] == {"arm_mm": 430.0}
    assert page["again"]["job"]["plate"] == "SL-042 k"
    assert store.read(lambda db: cars.page(db, "nobody", without=second.job)) is None
