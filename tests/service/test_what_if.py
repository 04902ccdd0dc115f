"""Trying other bars, loads and wishes over HTTP: the model's own answer, in the schema's shape, within its time."""

import json

import jsonschema_rs
import msgspec
import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st
from tries import tries

from bothends.model.fields import field, inside
from bothends.model.problem import ModelProblem
from bothends.model.what_if import what_if
from bothends.service.api.document import render
from bothends.service.app import create_app
from bothends.service.settings import Settings
from bothends.service.site.demo import TITLES, jobs
from bothends.service.wire.bench import tried

DEMOS = {job["name"]: job["request"] for job in jobs()}
CHANGES = [
    {},
    {"bar": {"diameter_mm": 24.0, "bore_mm": None}},
    {"bar": {"diameter_mm": 24.5, "bore_mm": 12.0, "length_mm": 600.0, "inner_teeth": 30, "outer_teeth": 32}},
    {"bar": {"diameter_mm": 9.0}},
    {"load_kg": {"left": 40.0, "right": 25.0}, "target": {"left_mm": 220.0, "lean_mm": 8.0}},
]


def copy(part):
    """A deep copy."""
    return json.loads(json.dumps(part))


@pytest.fixture(scope="module")
def document():
    """The document of the application as it is now."""
    return json.loads(render(create_app()))


def validator(document, name):
    """Checks instances of one component."""
    return jsonschema_rs.Draft202012Validator({**document, "$ref": f"#/components/schemas/{name}"})


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("name", TITLES)
def test_a_trial_is_the_models_own_answer_and_fits_the_schema(client, document, name, change):
    request = {**DEMOS[name], "change": change}
    validator(document, "WhatIfRequest").validate(request)
    reply = client.post("/api/what-if", json=request)
    assert reply.status_code == 200
    assert reply.headers["cache-control"] == "no-store"
    # Equal both ways: nothing the model says is missing from the schema, nothing is added.
    assert reply.json() == copy(what_if(DEMOS[name], change))
    validator(document, "WhatIfAnswer").validate(reply.json())


def test_no_change_at_all_is_the_plan(client, gannet):
    plan = client.post("/api/solve", json=gannet).json()["options"][0]
    trial = client.post("/api/what-if", json=gannet).json()["trial"]
    assert trial["odds"]["typical"] == plan["odds"]
    assert [trial[s][e] for s in ("left", "right") for e in ("inner", "outer")] == [
        plan[s][e] for s in ("left", "right") for e in ("inner", "outer")
    ]


FIELDS = [
    (
        {"bar": {"diameter_mm": 200}},
        "out-of-range",
        "$.change.bar.diameter_mm",
        "from 5 to 80, got 200",
    ),
    ({"bar": {"bore_mm": 30}}, "out-of-range", "$.change.bar.bore_mm", "less than the bar's diameter"),
    ({"bar": {"inner_teeth": 40.5}}, "out-of-range", "$.change.bar.inner_teeth", "a whole number"),
    ({"bar": {"thickness": 24}}, "unknown-field", "$.change.bar.thickness", "thickness"),
    ({"load_kg": {"left": "40"}}, "wrong-type", "$.change.load_kg.left", 'got "40"'),
    ({"load_kg": {"right": -300}}, "out-of-range", "$.change.load_kg.right", "take off less"),
    ({"target": {"lean_mm": 0}}, "out-of-range", "$.change.target.lean_mm", "from 0.1 to 200"),
    ({"tyres": {}}, "unknown-field", "$.change.tyres", "tyres"),
    ([], "wrong-type", "$.change", "an object"),
]


@pytest.mark.parametrize(("change", "code", "path", "words"), FIELDS)
def test_a_slip_in_a_trial_is_a_problem_that_names_its_field(client, gannet, change, code, path, words):
    reply = client.post("/api/what-if", json={**gannet, "change": change})
    problem = reply.json()
    assert reply.headers["content-type"] == "application/problem+json"
    assert (reply.status_code, problem["code"], problem["path"]) == (400, code, path)
    assert words in problem["detail"]


def test_a_slip_in_the_request_is_named_as_a_solve_names_it(client, gannet):
    gannet["log"] = [row for row in gannet["log"] if row["what"] != "body-height"]
    one = client.post("/api/what-if", json=gannet)
    two = client.post("/api/solve", json=gannet)
    assert one.json() == two.json()


def test_a_trial_has_the_same_time_as_a_solve(running, gannet):
    with running(create_app(Settings(solve_seconds=0.001))) as client:
        reply = client.post("/api/what-if", json={**gannet, "change": CHANGES[1]})
    assert (reply.status_code, reply.json()["code"]) == (504, "took-too-long")


def test_every_number_of_a_change_has_bounds_and_words(document):
    for name in ("BarChange", "LoadChange", "TargetChange", "Change", "WhatIfRequest"):
        schema = document["components"]["schemas"][name]
        assert schema["additionalProperties"] is False
        for name_of, value in schema["properties"].items():
            for part in [value, *value.get("anyOf", [])]:
                if part.get("type") in ("number", "integer"):
                    assert part["minimum"] <= part["maximum"], name_of
                    assert part["description"], name_of


def any_of(*paths):
    """Any of these numbers within its bounds, or null, or left out."""
    rows = [field(path) for path in paths]
    return st.fixed_dictionaries(
        {}, optional={r.name: st.none() | (st.integers if r.whole else st.floats)(*r.limits) for r in rows}
    )


BARS = any_of(*(row.path for row in inside("car.bar")), "car.limits.permissible_stress_mpa")
LOADS = any_of(*(row.path for row in inside("change.load_kg")))
WISHES = any_of("target.left_mm", "target.right_mm", "target.tolerance_mm", "target.lean_mm")


@pytest.mark.slow(seconds=2)
@settings(max_examples=tries(250), deadline=None)
@given(st.sampled_from(sorted(DEMOS)), BARS, LOADS, WISHES)
def test_any_change_within_bounds_is_answered_or_refused_with_a_reason(name, bar, load, wish):
    request = {**DEMOS[name], "change": {"bar": bar, "load_kg": load, "target": wish}}
    note(json.dumps(request["change"]))
    try:
        answer = tried(request)
    except ModelProblem as problem:
        refused = problem
    else:
        refused = None
    if refused:
        assert refused.code in ("no-equilibrium", "out-of-range")
        assert refused.path.startswith("$.change")
        return
    trial = answer.trial
    assert 0.0 <= trial.odds.worst <= 1.0
    assert msgspec.json.decode(msgspec.json.encode(answer))
    if trial.left is None:
        assert trial.stopped_by
