"""What every request passes and every answer carries."""

import pytest

from bothends.service.app import create_app
from bothends.service.http.guard import POLICY
from bothends.service.settings import Settings

ADDRESSES = ["/api/health", "/api/nothing", "/py/model/teeth.py", "/nothing"]


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS", "DELETE"])
def test_every_answer_is_locked_down(client, method, address):
    headers = client.request(method, address).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert not [name for name in headers if name.startswith("access-control-")]
    assert "server" not in headers


def test_scripts_come_from_here_alone():
    assert "script-src 'self' 'wasm-unsafe-eval'" in POLICY
    assert "unsafe-inline" not in POLICY
    assert "'unsafe-eval'" not in POLICY
    assert "frame-ancestors 'none'" in POLICY


@pytest.mark.parametrize(
    "host",
    ["localhost", "LOCALHOST:80", "127.0.0.1", "127.8.9.1:1234", "[::1]", "[::1]:8622", "shop.test:8622"],
)
def test_own_names_are_answered(running, host):
    with running(create_app(Settings(hosts=frozenset({"shop.test"})))) as client:
        assert client.get("/api/health", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "shop.test",
        "evil.example",
        "localhost.evil.example",
        "127.0.0.1.evil.example",
        "127.evil.0.1",
        "",
        "[::2]",
    ],
)
def test_other_names_are_not_answered_whatever_they_point_at(client, host):
    for address in ADDRESSES:
        assert client.get(address, headers={"host": host}).status_code == 421


def test_a_preflight_from_another_origin_gets_no_permission(client):
    headers = {"origin": "http://evil.example", "access-control-request-method": "POST"}
    reply = client.options("/api/solve", headers=headers)
    assert reply.status_code == 204
    assert reply.headers["allow"] == "OPTIONS, POST"
    assert not [name for name in reply.headers if name.startswith("access-control-")]


@pytest.mark.parametrize("address", ["/api/health", "/api/openapi.json", "/py/model/teeth.py"])
def test_head_is_get_without_the_body(client, address):
    get, head = client.get(address), client.head(address)
    assert head.status_code == get.status_code == 200
    assert head.content == b""
    for name in ("content-type", "content-length", "etag"):
        assert head.headers.get(name) == get.headers.get(name)


def test_answers_are_not_kept_unless_they_say_so(client):
    assert client.get("/api/health").headers["cache-control"] == "no-store"
    assert client.get("/api/nothing").headers["cache-control"] == "no-store"
    assert client.get("/py/model/teeth.py").headers["cache-control"] == "no-cache"


def test_an_address_with_a_nul_is_not_found(client):
    assert client.get("/py/model/%00.py").status_code == 404
