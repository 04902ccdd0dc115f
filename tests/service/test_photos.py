"""/api/photos: parts in, an image out, to paired devices only."""

import hashlib

import pytest
from book.pages import Page
from book.test_photos import body, image
from service.shop import shop

from bothends.book import photos

OCTETS = {"Content-Type": "application/octet-stream"}


@pytest.fixture(scope="module")
def garage(running, tmp_path_factory):
    with shop(running, tmp_path_factory.mktemp("photos") / "book") as opened:
        opened.page = Page()
        yield opened


def told(garage, data):
    """Push the record of a photo; where its bytes belong."""
    entry = garage.page.write("photo", body(data))
    (row,) = garage.push(entry)
    assert row["status"] == "stored", row
    return f"/api/photos/{entry['body']['sha256']}"


def put(client, address, data, at, size, **headers):
    return client.put(address, params={"at": at, "size": size}, content=data, headers={**OCTETS, **headers})


def test_a_photo_goes_in_parts_and_on_after_a_break_where_it_stopped(garage):
    data = image("broken off", 100_000)
    address = told(garage, data)
    assert garage.client.get(address).json()["code"] == "not-found"
    assert put(garage.client, address, data[: photos.PART], 0, len(data)).json()["have"] == photos.PART
    known = garage.get(f"{address}/held")
    assert (known["have"], known["size"], known["whole"]) == (photos.PART, len(data), False)
    done = put(garage.client, address, data[known["have"] :], known["have"], len(data))
    assert (done.status_code, done.json()["whole"], done.headers["Location"]) == (201, True, address)
    again = put(garage.client, address, data[:10], 0, len(data))
    assert (again.status_code, again.json()["whole"]) == (200, True)
    reply = garage.client.get(address)
    assert (reply.content, reply.headers["Content-Type"]) == (data, "image/jpeg")


def test_it_is_served_as_an_image_that_cannot_do_anything_and_never_changes(garage):
    data = image("served")
    address = told(garage, data)
    put(garage.client, address, data, 0, len(data))
    headers = garage.client.head(address).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert "immutable" in headers["Cache-Control"]
    assert "private" in headers["Cache-Control"]


def test_nobody_without_a_key_reads_or_writes_a_photo(garage):
    data = image("private")
    address = told(garage, data)
    assert put(garage.guest, address, data, 0, len(data)).json()["code"] == "no-key"
    put(garage.client, address, data, 0, len(data))
    for where in (address, f"{address}/held"):
        assert garage.guest.get(where).json()["code"] == "no-key"


@pytest.mark.parametrize(
    "name", ["..%2f..%2fbook.sqlite3", "..%2fentries", "A" * 64, "0" * 63, "0" * 64 + "%0A"]
)
def test_a_name_that_is_no_sum_leads_nowhere(garage, name):
    for reply in (
        garage.client.get(f"/api/photos/{name}"),
        put(garage.client, f"/api/photos/{name}", image("x"), 0, 1000),
    ):
        assert reply.json()["code"] in ("bad-parameter", "not-found", "wrong-method")


@pytest.mark.parametrize(
    ("data", "at", "size", "headers", "status", "code"),
    [
        (image("a"), 0, 1000, {"Content-Type": "image/jpeg"}, 415, "wrong-media-type"),
        (image("a"), 0, photos.BYTES + 1, {}, 400, "bad-parameter"),
        (image("a", photos.PART + 1), 0, photos.PART + 1, {}, 413, "too-large"),
        (image("a"), 10, 1000, {}, 400, "out-of-range"),
        (image("b"), 0, 1000, {}, 400, "wrong-sum"),
        (b"<html>".ljust(1000), 0, 1000, {}, 400, "not-an-image"),
    ],
)
def test_what_is_not_taken_is_refused_by_name_with_a_remedy(garage, data, at, size, headers, status, code):
    address = told(garage, image("a"))
    problem = put(garage.client, address, data, at, size, **headers)
    assert (problem.status_code, problem.json()["code"]) == (status, code)
    assert problem.json().get("remedy") or "send less" in problem.json()["detail"]
    assert not garage.get(f"{address}/held")["whole"]


def test_bytes_come_after_the_record_that_names_them(garage):
    data = image("early")
    name = hashlib.sha256(data).hexdigest()
    reply = put(garage.client, f"/api/photos/{name}", data, 0, len(data))
    assert (reply.status_code, reply.json()["code"]) == (404, "not-found")
    assert "record" in reply.json()["remedy"]


def test_a_full_job_is_told_by_field_bound_and_remedy_and_its_records_go_on(garage, monkeypatch):
    monkeypatch.setattr(photos, "PER_JOB", 1500)
    data = image("one too many", 1501)
    problem = put(garage.client, told(garage, data), data, 0, len(data)).json()
    assert (problem["status"], problem["code"], problem["path"]) == (409, "photos-full", "size")
    assert "MB in all" in problem["detail"]
    assert "Remove photos" in problem["remedy"]
    assert garage.push(garage.page.reading(214.0))[0]["status"] == "stored"


def test_a_record_of_a_photo_beyond_its_bounds_is_refused_at_its_field(garage):
    entry = garage.page.write("photo", {**body(image("z")), "bytes": photos.BYTES + 1})
    (row,) = garage.push(entry)
    assert (row["code"], row["path"]) == ("out-of-range", "$.entries[0].body.bytes")
