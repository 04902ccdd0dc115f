"""What a client is told beside bodies: tags, who may, headers, examples; and that the server does as it is told."""

import gzip
import json
import re

import brotli
import jsonschema_rs
import pytest
from book.pages import Page, an_id
from service.contract import DOCUMENT
from service.shop import shop

from bothends.book import demo, devices
from bothends.service.api.document import TAGS

OPERATIONS = [
    (method, path, operation)
    for path, item in DOCUMENT["paths"].items()
    for method, operation in item.items()
]
EVERY = pytest.mark.parametrize(
    ("method", "path", "operation"),
    OPERATIONS,
    ids=[operation["operationId"] for *_, operation in OPERATIONS],
)
SENDS = [
    row
    for row in OPERATIONS
    if "application/json" in row[2].get("requestBody", {}).get("content", {"": None})
]
FILLED = {
    "{id}": an_id(1),
    "{job}": an_id(1),
    "{token}": f"{'0' * 12}.{'a' * 32}",
    "{name}": "jobs",
    "{sha256}": "0" * 64,
}


@pytest.fixture(scope="module")
def garage(running, tmp_path_factory):
    with shop(running, tmp_path_factory.mktemp("openapi") / "book") as opened:
        opened.push(*demo.entries())
        yield opened


def address(path):
    """An address of a path, with something in place of each parameter."""
    for name, value in FILLED.items():
        path = path.replace(name, value)
    return "/api/devices/0123456789ab" if path.startswith("/api/devices/") else path


def test_every_tag_is_told_once_and_used():
    told = [tag["name"] for tag in DOCUMENT["tags"]]
    assert told == [name for name, _ in TAGS.values()]
    assert {tag for *_, operation in OPERATIONS for tag in operation["tags"]} == set(told)
    assert all(tag["description"].endswith(".") for tag in DOCUMENT["tags"])


@EVERY
def test_an_operation_is_open_exactly_where_the_document_says_so(garage, method, path, operation):
    assert len(operation["tags"]) == 1
    sent = (
        {"content": b"{}", "headers": {"Content-Type": "application/json"}}
        if "requestBody" in operation
        else {}
    )
    reply = garage.guest.request(method, address(path), **sent)
    asked = reply.status_code == 401
    assert asked is (operation["security"] != [])
    assert asked is ("401" in operation["responses"])
    if asked:
        assert operation["security"] == [{"deviceKey": []}]
        assert reply.headers["WWW-Authenticate"].startswith("Bearer")
        assert list(operation["responses"]["401"]["headers"]) == ["WWW-Authenticate"]


@pytest.mark.parametrize(
    ("method", "path", "operation"), SENDS, ids=[operation["operationId"] for *_, operation in SENDS]
)
def test_every_body_has_examples_that_fit_the_schema_and_are_taken(garage, method, path, operation):
    content = operation["requestBody"]["content"]["application/json"]
    assert content["examples"]
    fits = jsonschema_rs.Draft202012Validator({**DOCUMENT, **content["schema"]})
    for example in content["examples"].values():
        assert example["summary"]
        sent = example["value"]
        fits.validate(sent)
        if path == "/api/devices":
            sent = {**sent, "code": garage.store.write(devices.new_code)[0]}
        if path == "/api/links":
            sent = {**sent, "job": demo.entries()[0]["job"]}
        reply = garage.client.request(method, path.replace("{id}", str(sent.get("id"))), json=sent)
        assert reply.status_code in (200, 201), reply.text
        for row in reply.json().get("rows", ()):
            assert row["status"] in ("stored", "known")


def followed(client, start, **headers):
    """The answers from an address on, each next one where the header Link of the one before leads."""
    at, answers = start, []
    while at:
        reply = client.get(at, headers=headers).raise_for_status()
        answers.append(reply)
        link = reply.headers.get("Link")
        at = re.fullmatch(r'<(/api/[^>]*)>; rel="next"', link)[1] if link else None
        assert len(answers) < 200
    return answers


@pytest.mark.parametrize(
    ("path", "rows"),
    [
        ("/api/entries?limit=50", "entries"),
        ("/api/jobs?limit=2", "jobs"),
        ("/api/jobs?limit=2&sort=car&order=up", "jobs"),
        ("/api/jobs?limit=1&query=gannet&state=", "jobs"),
        ("/api/cars?limit=1", "cars"),
        ("/api/history?limit=3", "teardowns"),
        ("/api/history?limit=1&car=gannet+roadster+%2F+maren", "teardowns"),
        ("/api/devices?limit=1", "devices"),
        ("/api/links?limit=1", "links"),
        ("/api/jobs/{job}/history?limit=7", "events"),
    ],
)
def test_the_link_of_a_page_leads_to_the_next_until_all_was_given(garage, path, rows):
    garage.pair()
    for job in {entry["job"] for entry in demo.entries()}:
        garage.client.post("/api/links", json={"job": job}).raise_for_status()
    path = path.replace("{job}", demo.entries()[0]["job"])
    pages = [reply.json()[rows] for reply in followed(garage.client, path)]
    assert len(pages) > 1
    whole = garage.client.get(re.sub("limit=[0-9]+", "limit=500", path)).json()[rows]
    assert [row for page in pages for row in page] == whole


def test_a_table_of_history_and_a_guests_bundle_are_turned_in_the_same_way(garage):
    pages = followed(garage.client, "/api/history?limit=3", Accept="text/csv")
    lines = [line for reply in pages for line in reply.text.splitlines()[1:]]
    assert len(pages) > 1
    assert len(lines) == len(garage.get("/api/history")["teardowns"])
    made = garage.client.post("/api/links", json={"job": demo.entries()[0]["job"]})
    bundles = followed(garage.guest, f"{made.headers['Location']}?limit=20")
    assert len(bundles) > 1
    assert len({entry["id"] for reply in bundles for entry in reply.json()["entries"]}) == sum(
        len(reply.json()["entries"]) for reply in bundles
    )


def test_every_paged_answer_is_documented_to_have_a_link():
    paged = {
        operation["operationId"]
        for _, _, operation in OPERATIONS
        if {"after", "skip"} & {parameter["name"] for parameter in operation.get("parameters", ())}
    }
    linked = {
        operation["operationId"]
        for _, _, operation in OPERATIONS
        if "Link" in operation["responses"].get("200", {}).get("headers", {})
    }
    assert paged == linked


def test_what_is_made_is_found_where_the_header_location_says(garage):
    entry = Page(job=an_id(40), first=4000).reading(214.0)
    put = garage.client.put(f"/api/entries/{entry['id']}", json=entry)
    assert put.status_code == 201
    assert garage.get(put.headers["Location"]) == entry
    assert "Location" not in garage.client.put(f"/api/entries/{entry['id']}", json=entry).headers
    link = garage.client.post("/api/links", json={"job": entry["job"]})
    assert [e["id"] for e in garage.guest.get(link.headers["Location"]).json()["entries"]] == [entry["id"]]
    code = garage.client.post("/api/pairing")
    assert code.headers["Location"] == code.json()["address"]
    paired = garage.guest.post("/api/devices", json={"code": code.json()["code"], "name": "phone"})
    found = garage.get(paired.headers["Location"])
    assert (found["id"], found["name"], found["this"]) == (paired.json()["id"], "phone", False)
    made = [row for row in OPERATIONS if "201" in row[2]["responses"]]
    assert {operation["operationId"] for *_, operation in made} == {
        "putEntry",
        "makeLink",
        "newCode",
        "pair",
        "putPhoto",
    }
    assert all("Location" in operation["responses"]["201"]["headers"] for *_, operation in made)


@pytest.mark.parametrize(
    ("path", "words"), [(f"/api/entries/{an_id(9)}", "record"), ("/api/devices/0123456789ab", "device")]
)
def test_what_was_never_made_is_not_found(garage, path, words):
    reply = garage.client.get(path)
    assert (reply.status_code, reply.json()["code"]) == (404, "not-found")
    assert words in reply.json()["detail"]


@pytest.mark.parametrize(
    ("coding", "unpack"), [("br", brotli.decompress), ("gzip", gzip.decompress), ("", bytes)]
)
def test_the_schema_comes_packed_as_the_client_allows_and_once(garage, coding, unpack):
    accept = {"Accept-Encoding": coding or "identity"}
    with garage.guest.stream("GET", "/api/openapi.json", headers=accept) as reply:
        raw = b"".join(reply.iter_raw())
    assert reply.headers.get("Content-Encoding", "") == coding
    assert json.loads(unpack(raw)) == DOCUMENT
    assert (reply.headers["Vary"], reply.headers["Cache-Control"]) == ("Accept-Encoding", "no-cache")
    if coding:
        assert len(raw) < 0.1 * len(unpack(raw))
    again = garage.guest.get("/api/openapi.json", headers={**accept, "If-None-Match": reply.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    other = garage.guest.get("/api/openapi.json", headers={**accept, "If-None-Match": '"another"'})
    assert other.status_code == 200
    assert set(DOCUMENT["paths"]["/api/openapi.json"]["get"]["responses"]["304"]["headers"]) == {
        "ETag",
        "Vary",
    }
