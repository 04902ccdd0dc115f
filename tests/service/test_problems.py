"""Every way of failing, one by one: all have one shape, and each names what to do."""

import http
import json
import logging

import httpx
import pytest

from bothends.service.app import create_app
from bothends.service.http.problems import CODES
from bothends.service.settings import Settings
from bothends.service.site import codes, places

JSON = {"content-type": "application/json"}


def shape(reply: httpx.Response, code: str) -> dict:
    """Check the shape that all problems share; the problem."""
    assert reply.headers["content-type"] == "application/problem+json"
    problem = reply.json()
    assert problem["code"] == code
    assert problem["status"] == reply.status_code == CODES[code][0]
    assert problem["title"] == http.HTTPStatus(reply.status_code).phrase
    assert problem["type"] == "about:blank"
    assert problem["detail"]
    assert set(problem) <= {"type", "title", "status", "detail", "code", "path", "remedy", "stored"}
    assert "Traceback" not in reply.text
    return problem


def changed(request: dict, path: str, value) -> dict:
    """The request with one field set, or removed where the value is ``...``."""
    *steps, last = [int(s) if s.isdigit() else s for s in path.split(".")]
    place = request
    for step in steps:
        place = place[step]
    if value is ...:
        del place[last]
    else:
        place[last] = value
    return request


FIELDS = [
    ("car.bar.diameter_mm", 2000, "out-of-range", "$.car.bar.diameter_mm", "from 5 to 80, got 2000"),
    ("car.bar.bore_mm", 22, "out-of-range", "$.car.bar.bore_mm", "less than"),
    ("car.bar.inner_teeth", 40.5, "out-of-range", "$.car.bar.inner_teeth", "a whole number from 3 to 200, got"),
    ("target.left_mm", ..., "missing-field", "$.target.left_mm", "left_mm is required: a number from"),
    ("target", {"as": "rise", "left_mm": 9}, "unknown-field", "$.target.left_mm", "left_rise_mm, right_rise_mm"),
    ("target", {"as": "level", "rise_mm": 999}, "out-of-range", "$.target.rise_mm", "from -500 to 500, got 999"),
    ("target", {"as": "stance"}, "not-a-choice", "$.target.as", "heights, level, rise"),
    ("car.arm_mm", "415", "wrong-type", "$.car.arm_mm", 'from 100 to 1500, got "415"'),
    ("car.arm_mm", True, "wrong-type", "$.car.arm_mm", "got true"),
    ("car.tyre_n_per_mm", None, "wrong-type", "$.car.tyre_n_per_mm", "from 20 to 2000, got null"),
    ("car.held", {"left": ["middle"]}, "not-a-choice", "$.car.held.left[0]", "inner, outer"),
    ("log.4.spot", "x" * 41, "out-of-range", "$.log[4].spot", "at most 40 characters"),
    ("car.arm_inch", 16, "unknown-field", "$.car.arm_inch", "arm_inch"),
    ("car.axle", "live", "not-a-choice", "$.car.axle", 'swing, trailing, wishbone, got "live"'),
    ("car.known", {"names": ["arm"], "mean": [], "covariance": []}, "out-of-range", "$.car.known", "posterior"),
    ("target", [], "wrong-type", "$.target", "an object"),
    ("target", ..., "missing-field", "$.target", "target is required"),
    ("target.tolerance_mm", 0, "out-of-range", "$.target.tolerance_mm", "from 0.1 to 200, got 0"),
    ("log", [], "missing-reading", "$.log", "ride height"),
    ("log.0.kind", "guess", "not-a-choice", "$.log[0].kind", "reading or move"),
    ("log.0.kind", ..., "missing-field", "$.log[0].kind", "kind is required"),
    ("log.0.what", "height", "not-a-choice", "$.log[0].what", "body-height"),
    ("log.0.value", 120, "out-of-range", "$.log[0].value", "between -89 and 89, got 120"),
    ("log.0.teardown", 2, "bad-log", "$.log[0].teardown", "the log has 0"),
    ("log.4.datum", 1.0, "bad-log", "$.log[4].datum", "angle"),
    ("log.0", 7, "wrong-type", "$.log[0]", "an object, got 7"),
    ("log", [{"kind": "move", "teardown": 2}], "bad-log", "$.log[0].teardown", "without a gap"),
    ("log", [{"kind": "move", "teardown": 1}] * 1001, "out-of-range", "$.log", "at most 1000 entries"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "code", "where", "words"), FIELDS)
def test_a_bad_field_is_named_with_its_bound_and_what_came(client, gannet, path, value, code, where, words):
    problem = shape(client.post("/api/solve", json=changed(gannet, path, value)), code)
    assert problem["path"] == where
    assert words in problem["detail"]


BODIES = [
    (b"", "empty"),
    (b"{", "not JSON"),
    (b"{'car': 1}", "not JSON"),
    (b'{"car": NaN}', "not JSON"),
    (b'{"car": Infinity}', "not JSON"),
    (b"\xff\xfe{}", "not JSON"),
    (b'{"car": {"axle": "\\ud800"}}', "not JSON"),
]


@pytest.mark.parametrize(("body", "words"), BODIES)
def test_a_body_that_is_not_json_says_so(client, body, words):
    problem = shape(client.post("/api/solve", content=body, headers=JSON), "not-json")
    assert problem["path"] == "$"
    assert words in problem["detail"]


@pytest.mark.parametrize(
    "body",
    [
        b'{"car": {"arm_mm": 1e400}}',
        b'{"car": {"arm_mm": 1' + b"0" * 5000 + b"}}",
        b'{"car": {"bar": {"inner_teeth": 1' + b"0" * 5000 + b"}}}",
        b'{"car": {"arm_mm": -0.0}}',
        b'{"car": ' + b"[" * 60_000 + b"]" * 60_000 + b"}",
        b"[" * 100_000,
        b'{"log": [' + b'{"kind":' * 20_000,
        b'{"car": "\xc3("}',
        b"{} {}",
        b"null",
        b'"solve"',
        b'{"' + b"x" * 100_000 + b'": 1}',
    ],
)
def test_hostile_json_is_refused_in_a_few_words(client, body):
    reply = client.post("/api/solve", content=body, headers=JSON)
    assert reply.status_code == 400
    shape(reply, reply.json()["code"])
    assert len(reply.content) < 1000


def test_a_later_teardown_without_its_move_is_a_bad_log(client, gannet):
    gannet["log"].append(
        {"kind": "reading", "what": "body-height", "side": "left", "value": 200, "teardown": 1}
    )
    shape(client.post("/api/solve", json=gannet), "bad-log")


def test_a_car_that_cannot_stand_is_told_so(client, gannet):
    half_a_turn = {"inner": 20}
    gannet["log"].append({"kind": "move", "teardown": 1, "left": half_a_turn, "right": half_a_turn})
    shape(client.post("/api/solve", json=gannet), "no-equilibrium")


def test_readings_that_no_car_explains_are_told_so(client, gannet):
    for entry in gannet["log"][:2]:
        entry["value"] = -60
    shape(client.post("/api/solve", json=gannet), "not-converged")


def test_text_after_the_json_is_refused(client, gannet):
    body = json.dumps(gannet).encode() + b" {}"
    shape(client.post("/api/solve", content=body, headers=JSON), "not-json")


def test_an_unknown_address_is_not_found_for_every_method(client):
    for method in ("GET", "POST", "PUT", "DELETE", "OPTIONS", "PATCH"):
        shape(client.request(method, "/api/nothing"), "not-found")


@pytest.mark.parametrize(
    ("method", "path", "allow"),
    [
        ("GET", "/api/solve", "OPTIONS, POST"),
        ("PUT", "/api/health", "GET, HEAD, OPTIONS"),
        ("TRACE", "/api/openapi.json", "GET, HEAD, OPTIONS"),
        ("BREW", "/api/solve", "OPTIONS, POST"),
        ("POST", "/py/model/teeth.py", "GET, HEAD, OPTIONS"),
    ],
)
def test_another_method_is_told_which_are_taken(client, method, path, allow):
    reply = client.request(method, path)
    shape(reply, "wrong-method")
    assert reply.headers["allow"] == allow


@pytest.mark.parametrize(
    "kind", [None, "text/plain", "application/x-www-form-urlencoded", "application/xml", "x"]
)
def test_a_body_of_another_kind_is_not_read(client, gannet, kind):
    headers = {} if kind is None else {"content-type": kind}
    reply = client.post("/api/solve", content=json.dumps(gannet).encode(), headers=headers)
    problem = shape(reply, "wrong-media-type")
    assert "Content-Type: application/json" in problem["remedy"]


def test_a_charset_beside_the_media_type_is_fine(client, gannet):
    headers = {"content-type": "application/json; charset=utf-8"}
    assert client.post("/api/solve", content=json.dumps(gannet), headers=headers).status_code == 200


@pytest.mark.parametrize("announced", [True, False])
def test_a_body_over_the_limit_is_refused_whether_announced_or_not(client, announced):
    body = b'{"car": "' + b"x" * (256 * 1024) + b'"}'
    content = body if announced else iter([body])
    shape(client.post("/api/solve", content=content, headers=JSON), "too-large")


def test_another_host_name_is_misdirected(client):
    problem = shape(client.get("/api/health", headers={"host": "pages.example"}), "wrong-host")
    assert "--allow-host" in problem["remedy"]


def test_a_fault_of_ours_tells_the_log_and_not_the_caller(running, gannet, caplog):
    app = create_app()

    async def broken(body: bytes) -> bytes:
        raise ZeroDivisionError("secret of the house")

    with running(app) as client, caplog.at_level(logging.ERROR, logger="bothends"):
        app.state.pool.solve = broken
        reply = client.post("/api/solve", json=gannet)
    shape(reply, "internal-error")
    assert "secret" not in reply.text
    assert "secret of the house" in caplog.text


def test_a_solve_past_its_time_is_stopped(running, gannet):
    with running(create_app(Settings(solve_seconds=0.001))) as client:
        problem = shape(client.post("/api/solve", json=gannet), "took-too-long")
    assert "0.001 s" in problem["detail"]


def test_a_full_house_says_when_to_come_back(running, gannet):
    with running(create_app(Settings(solvers=0, waiting=0))) as client:
        reply = client.post("/api/solve", json=gannet)
    shape(reply, "busy")
    assert reply.headers["retry-after"] == "1"


def test_codes_are_sorted_by_status_and_word():
    assert list(CODES) == sorted(CODES, key=lambda code: (CODES[code][0], code))


def test_the_pages_list_of_codes_is_never_another_than_the_servers():
    committed = (places.web() / codes.PATH).read_text(encoding="utf-8")
    assert committed == codes.text(), "run python -m bothends.service.precache and commit web/shop/codes.js"
