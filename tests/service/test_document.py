"""The schema: committed as served, sound in itself, and true of what comes and goes."""

import json

import jsonschema_rs
import pytest

from bothends.model.fields import FORMS, KINDS
from bothends.service.api.document import render
from bothends.service.app import create_app
from bothends.service.http.problems import Refusal
from bothends.service.http.strict_json import decode
from bothends.service.site.demo import TITLES, jobs
from bothends.service.wire.request import SolveRequest


@pytest.fixture(scope="module")
def document():
    """The document of the application as it is now."""
    return json.loads(render(create_app()))


def validator(document, name):
    """Checks instances of one component, every reference resolved inside the document."""
    return jsonschema_rs.Draft202012Validator({**document, "$ref": f"#/components/schemas/{name}"})


def parts(value):
    """Every object inside a JSON value."""
    if isinstance(value, dict):
        yield value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from parts(inner)


def test_the_committed_schema_is_the_one_served(repository, client):
    # When this fails: bothends schema > openapi/bothends.json
    committed = (repository / "openapi" / "bothends.json").read_bytes()
    assert render(create_app()) == committed
    assert client.get("/api/openapi.json").content == committed


def test_every_reference_leads_somewhere(document):
    for part in parts(document):
        if "$ref" in part:
            place = document
            for step in part["$ref"].removeprefix("#/").split("/"):
                place = place[step]


def test_every_operation_documents_its_failures_as_problems(document):
    for path in document["paths"].values():
        for operation in path.values():
            assert operation["operationId"]
            assert operation["summary"]
            for status, response in operation["responses"].items():
                if int(status) >= 400:
                    assert list(response["content"]) == ["application/problem+json"]
                    assert response["description"].startswith("`")


def test_every_number_of_a_request_has_bounds_and_words(document):
    whole = ["Bar", "Load", "Bush", "Limits", "Car", "Pose", "Ends", "Move"]
    every = [document["components"]["schemas"][name] for name in whole]
    for name in ("Target", "Reading"):
        forms = document["components"]["schemas"][name]["oneOf"]
        every += [document["components"]["schemas"][form["$ref"].split("/")[-1]] for form in forms]
    assert len(every) == len(whole) + len(FORMS) + len(KINDS)
    for schema in every:
        assert schema["additionalProperties"] is False
        for field, value in schema["properties"].items():
            for part in [value, *value.get("anyOf", [])]:
                if part.get("type") in ("number", "integer"):
                    assert part["minimum"] <= part["maximum"], field
                    assert part["description"], field


@pytest.mark.parametrize("name", TITLES)
def test_demo_requests_and_their_answers_fit_the_schema(document, client, name):
    request = next(job["request"] for job in jobs() if job["name"] == name)
    validator(document, "SolveRequest").validate(request)
    validator(document, "SolveAnswer").validate(client.post("/api/solve", json=request).json())


def test_an_unknown_field_does_not_fit_the_schema(document, gannet):
    gannet["car"]["colour"] = "green"
    assert not validator(document, "SolveRequest").is_valid(gannet)


@pytest.mark.parametrize(
    ("target", "fits"),
    [
        ({"left_mm": 250, "right_mm": 250}, True),
        ({"as": "heights", "left_mm": 250, "right_mm": 250, "measured": "hub-to-body"}, True),
        ({"as": "rise", "left_rise_mm": 20, "right_rise_mm": -10}, True),
        ({"as": "level"}, True),
        ({"as": "level", "at": "mean", "rise_mm": 5, "spot": "lift"}, True),
        ({"as": "hanging-angle", "left_deg": 20, "right_deg": 20, "tolerance_deg": 0.5}, True),
        ({"left_rise_mm": 20, "right_rise_mm": 20}, False),
        ({"as": "rise", "left_mm": 250, "right_mm": 250}, False),
        ({"as": "rise", "left_rise_mm": 20}, False),
        ({"as": "level", "left_mm": 250}, False),
        ({"as": "hanging-angle", "left_deg": 20, "right_deg": 20, "measured": "body-height"}, False),
        ({"as": "stance"}, False),
    ],
)
def test_a_target_of_any_form_fits_the_schema_as_it_is_read(document, gannet, target, fits):
    gannet["target"] = target
    assert validator(document, "SolveRequest").is_valid(gannet) is fits
    assert readable(gannet) is fits


def readable(request):
    """Whether the edge reads a request."""
    try:
        decode(json.dumps(request).encode(), SolveRequest)
    except Refusal:
        return False
    return True


def test_a_value_fits_the_schema_within_the_bounds_of_its_kind(document):
    for kind in KINDS:
        reading = {"kind": "reading", "what": kind.name, "side": "left"}
        schema = validator(document, "Reading")
        for value in kind.value.limits:
            assert schema.is_valid(
                {**reading, "value": value, "spot": "lift", "after_km": 150, "resettled": 1}
            )
        assert not schema.is_valid({**reading, "value": kind.value.high + 1})
        assert schema.is_valid({**reading, "value": 5, "datum": 1}) is kind.angle
