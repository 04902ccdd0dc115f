"""Strict reading of bodies: nothing is coerced, and whatever comes is either read or refused."""

import json

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.service.http.problems import Refusal
from bothends.service.http.strict_json import decode
from bothends.service.site import places
from bothends.service.site.demo import TITLES
from bothends.service.wire.request import SolveRequest

DEMOS = {name: (places.DEMO / f"{name}.json").read_text() for name in TITLES}


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(body):
    refusal = refused(body)
    assert refusal is None or (refusal.problem.detail and refusal.problem.path.startswith("$"))


def refused(body):
    """The refusal of a body, or None where it can be read."""
    try:
        decode(body, SolveRequest)
    except Refusal as refusal:
        return refusal
    return None


plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


def places_in(part, path=()):
    """Paths of everything inside a JSON value."""
    if path:
        yield path
    if isinstance(part, dict | list):
        for key in part if isinstance(part, dict) else range(len(part)):
            yield from places_in(part[key], (*path, key))


@st.composite
def tampered(draw):
    """A demo request with one place changed to something else: the request and the place."""
    request = json.loads(DEMOS[draw(st.sampled_from(sorted(DEMOS)))])
    path = draw(st.sampled_from(sorted(places_in(request), key=str)))
    place = request
    for step in path[:-1]:
        place = place[step]
    near = st.just(place[path[-1]])
    if isinstance(place[path[-1]], int | float):
        near = st.sampled_from(
            [-1e9, -201, -90, -1, 0, 1e-9, 2.5, 3.0, 79.0, 101, 1001, 1501, 3001, 5001, 1e300]
        )
    place[path[-1]] = draw(plain | near)
    return request, path


def left_to_the_edge(request, path) -> bool:
    """Whether the model takes what came: null is absent to it, and it overlooks fields it does not know."""
    place = request
    for step in path:
        place = place[step]
    return place is None or isinstance(place, dict)


@given(tampered())
def test_server_and_phone_refuse_the_same_things(case):
    request, path = case
    edge = refused(json.dumps(request).encode()) is None
    try:
        read(request)
        model, code = True, None
    except ModelProblem as problem:
        model, code = False, problem.code
    if edge:
        # Rules that span fields are the model's alone: the bounds of a value depend on what was read, those of a
        # height wanted on which mark is meant.
        assert (
            model
            or code in ("bad-log", "missing-reading")
            or path[-1] in ("value", "sd", "bore_mm", "diameter_mm", "left_mm", "right_mm")
        )
    elif not left_to_the_edge(request, path):
        assert not model


@pytest.mark.parametrize("name", sorted(DEMOS))
def test_defaults_named_in_the_schema_are_the_models(name):
    # The limits are left as they came: whether they were given at all decides a caution.
    request = json.loads(DEMOS[name])
    filled = msgspec.to_builtins(decode(DEMOS[name].encode(), SolveRequest))
    filled["car"]["limits"] = request["car"].get("limits", {})
    # So is whether an anti-roll bar was: at the front another one is believed.
    filled["car"].pop("anti_roll_n_per_mm")
    assert vars_of(read(filled)) == vars_of(read(request))


def vars_of(part):
    """A model object as plain comparable data."""
    if hasattr(part, "__dict__"):
        return {key: vars_of(value) for key, value in vars(part).items()}
    return [vars_of(item) for item in part] if isinstance(part, list | tuple) else part


def test_a_whole_number_may_be_written_with_a_point():
    request = json.loads(DEMOS["gannet"])
    request["car"]["bar"]["inner_teeth"] = 40.0
    assert decode(json.dumps(request).encode(), SolveRequest).car.bar.inner_teeth == 40


class Count(msgspec.Struct):
    """A body of the tests' own."""

    name: str
    tags: list[str] = []


@pytest.mark.parametrize(
    ("body", "code", "detail"),
    [
        (b'{"name": 3}', "wrong-type", "name must be text, got 3"),
        (b'{"name": "a", "tags": [1]}', "wrong-type", "the entry must be text, got 1"),
        (b'{"name": "a", "tags": 1}', "wrong-type", "tags must be a list, got 1"),
        (b'{"tags": []}', "missing-field", "name is required: text"),
    ],
)
def test_words_are_read_off_any_struct(body, code, detail):
    with pytest.raises(Refusal) as caught:
        decode(body, Count)
    assert (caught.value.problem.code, caught.value.problem.detail) == (code, detail)


def test_nesting_beyond_all_bounds_is_refused_by_tolerant_structs_too():
    body = b'{"name": "a", "more": ' + b"[" * 100_000 + b"]" * 100_000 + b"}"
    with pytest.raises(Refusal) as caught:
        decode(body, Count)
    assert caught.value.problem.code == "not-json"
