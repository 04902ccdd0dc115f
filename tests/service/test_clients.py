"""Clients that general-purpose generators make of the schema: checked strictly, then run against a real shop.

Each program takes a sheet's request to the solver as it came and reads an event's value, by types alone.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import tools
from service.shop import shop

from bothends.book import demo

pytestmark = pytest.mark.slow(seconds=5)
HERE = Path(__file__).resolve().parent / "clients"
CONFIG = """\
content_type_overrides:
  application/jsonl: application/octet-stream
  image/jpeg: application/octet-stream
post_hooks: []
"""
"""The whole book is a stream of bytes to a client; what is generated is checked, not made pretty."""


def run(*command, cwd, **more):
    """Run a command in a folder, with more in its environment; its output. It must succeed."""
    env = {**os.environ, "NO_COLOR": "1", **more}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=env,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def garage(running, tmp_path_factory):
    with shop(running, tmp_path_factory.mktemp("clients") / "book") as opened:
        opened.push(*demo.entries())
        yield opened


def judged(garage, output):
    """What a program printed is what the shop says."""
    found = json.loads(output)
    expected = {}
    for line in garage.get("/api/jobs")["jobs"]:
        job = garage.get(f"/api/jobs/{line['job']}")
        if job["request"] is None:
            continue
        answer = garage.guest.post("/api/solve", json=job["request"]).json()
        events = garage.get(f"/api/jobs/{line['job']}/history")["events"]
        heights = [e["row"]["value"] for e in events if e["row"].get("what") == "body-height"]
        moves = [e["row"] for e in events if e["kind"] == "move"]
        teeth = sum((move.get(side) or {}).get("outer", 0) for move in moves for side in ("left", "right"))
        expected[line["job"]] = [answer["options"][0]["odds"], sum(heights), teeth]
    assert len(expected) > 1
    assert found["jobs"] == expected
    rows = garage.get("/api/export/teardowns")["rows"]
    measured = [row["body_height_left_mm"] for row in rows]
    assert found["measured"] == [mm for mm in measured if mm is not None] != []


def key_of(garage):
    """The key that the shop's own client has."""
    return garage.client.headers["authorization"].removeprefix("Bearer ")


@pytest.fixture(scope="module")
def known_types(pytestconfig, tmp_path_factory):
    """Where mypy keeps what it made of files, by their contents: of the whole client most of its work."""
    cache = getattr(pytestconfig, "cache", None)
    return str(cache.mkdir("client-types") if cache else tmp_path_factory.mktemp("types"))


def test_a_program_on_a_generated_client_in_python_is_typed_and_works(
    garage, repository, tmp_path, known_types
):
    (tmp_path / "config.yaml").write_text(CONFIG)
    run(
        *(sys.executable, "-m", "openapi_python_client", "generate", "--meta", "none", "--fail-on-warning"),
        *("--path", repository / "openapi" / "bothends.json", "--config", "config.yaml"),
        *("--output-path", tmp_path / "bothends_client"),
        cwd=tmp_path,
    )
    program = tmp_path / "program.py"
    program.write_bytes((HERE / "program.py").read_bytes())
    # By names that are the same in each run, or nothing would be known of them.
    check = (sys.executable, "-m", "mypy", "--strict", "--config-file=", program.name)
    run(*check, cwd=tmp_path, MYPY_CACHE_DIR=known_types)
    address = str(garage.guest.base_url).rstrip("/")
    judged(garage, run(sys.executable, program, address, key_of(garage), cwd=tmp_path))


def test_a_program_on_a_generated_client_in_typescript_is_typed_and_works(garage, repository, tmp_path):
    types, tsc = tools.need_script("openapi-typescript"), tools.need_script("tsc")
    (tmp_path / "node_modules").symlink_to(tools.need_script("openapi-fetch").parent)
    (tmp_path / "package.json").write_text('{"type": "module"}')
    (tmp_path / "program.ts").write_bytes((HERE / "program.ts").read_bytes())
    schema = repository / "openapi" / "bothends.json"
    plain = ("--root-types", "--root-types-no-schema-prefix", "--output", "wire.d.ts")
    run("node", types / "bin" / "cli.js", schema, *plain, cwd=tmp_path)
    strict = (
        "--noEmit",
        "--strict",
        "--noUncheckedIndexedAccess",
        "--target",
        "es2022",
        "--module",
        "nodenext",
    )
    run("node", tsc / "bin" / "tsc", *strict, "--allowImportingTsExtensions", "program.ts", cwd=tmp_path)
    address = str(garage.guest.base_url).rstrip("/")
    judged(garage, run("node", "program.ts", address, key_of(garage), cwd=tmp_path))
