"""What the shop PC's pages ask: jobs sorted and narrowed, a car over its visits, the shop's figures."""

import pytest
from service.shop import shop

from bothends.book import demo

KEY = "gannet roadster / maren"


@pytest.fixture(scope="module")
def here(running, tmp_path_factory):
    """A shop with Slipway Garage's own jobs."""
    with shop(running, tmp_path_factory.mktemp("pages") / "book") as opened:
        opened.push(*demo.entries())
        yield opened


def test_jobs_come_sorted_and_in_pages_with_their_number(here):
    whole = here.get("/api/jobs", sort="car", order="up")
    assert [row["car"] for row in whole["jobs"]] == sorted(row["car"] for row in whole["jobs"])
    assert (whole["total"], whole["next"]) == (4, None)
    pages = [here.get("/api/jobs", sort="car", order="up", skip=skip, limit=2)["jobs"] for skip in (0, 2, 4)]
    assert [row for page in pages for row in page] == whole["jobs"]
    upward = here.get("/api/jobs", order="up")["jobs"]
    assert upward == here.get("/api/jobs")["jobs"][::-1]


def test_jobs_may_be_narrowed_to_an_owner_and_to_days(here):
    assert {row["owner"] for row in here.get("/api/jobs", owner="mar")["jobs"]} == {"Maren"}
    knot = here.get("/api/jobs", query="knot")["jobs"][0]
    day = knot["first_at"][:10]
    found = here.get("/api/jobs", since=day, until=day)
    assert ([row["job"] for row in found["jobs"]], found["total"]) == ([knot["job"]], 1)


def test_a_page_by_its_last_number_is_refused_in_another_order(here):
    reply = here.client.get("/api/jobs", params={"sort": "car", "after": 3})
    assert reply.status_code == 400
    assert (reply.json()["code"], reply.json()["path"]) == ("bad-parameter", "after")
    assert here.client.get("/api/jobs", params={"sort": "colour"}).json()["path"] == "sort"


def test_a_car_has_its_visits_its_rows_and_its_constants(here):
    found = here.get("/api/cars/page", key=KEY)
    assert [v["job"] for v in found["visits"]] == [
        row["job"] for row in here.get("/api/jobs", car=KEY, sort="begun")["jobs"]
    ]
    assert found["teardowns"] == here.get("/api/history", car=KEY)["teardowns"]
    back, first = found["visits"]
    assert (back["began_from"], back["taught"], first["taught"]) == (first["job"], False, True)
    known = here.get("/api/cars/known", car="Gannet roadster", owner="Maren")["visit"]
    assert found["again"]["known"]["posterior"] == known["posterior"]
    bar = next(row for row in found["constants"] if row["name"] == "bar_nm_per_deg")
    assert bar["value"] == pytest.approx(known["learned"]["bar_nm_per_deg"]["value"], rel=1e-9)
    roll = next(row for row in found["constants"] if row["name"] == "roll_support_n_per_mm")
    assert roll["from_job"] == first["job"]


def test_a_car_that_never_came_is_not_found(here):
    reply = here.client.get("/api/cars/page", params={"key": "heron / ben"})
    assert (reply.status_code, reply.json()["code"]) == (404, "not-found")
    assert here.guest.get("/api/cars/page", params={"key": KEY}).status_code == 401


def test_the_shops_figures_count_teardowns_errors_and_tests(here):
    found = here.get("/api/history/calibration")
    assert sum(r["handed_over"] + r["in_hand"] for r in found["teardowns_per_job"]) == 4
    assert sum(b["count"] for b in found["height_error"]["bins"]) == found["height_error"]["count"]
    for row in found["helped"]:
        assert row["with_it"]["count"] + row["without"]["count"] == 2
