"""The wheel as a user gets it: installed alone, without anything only developers have."""

import json
import os
import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import httpx
import pytest

from bothends.service.site import places

pytestmark = pytest.mark.slow(seconds=2)


def run(*command: str | Path, cwd: Path) -> str:
    """Run a tool; its output, or a failure with all it said."""
    env = {k: v for k, v in os.environ.items() if k not in ("VIRTUAL_ENV", "PYTHONPATH")}
    done = subprocess.run(
        [str(c) for c in command], cwd=cwd, env=env, capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(repository, tmp_path_factory) -> Path:
    """The wheel of the working copy as it is."""
    uv = shutil.which("uv")
    assert uv is not None, "uv builds the wheel; the README says where it comes in"
    folder = tmp_path_factory.mktemp("dist")
    run(uv, "build", "--quiet", "--wheel", "--out-dir", folder, repository, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def bothends(wheel, tmp_path_factory) -> Path:
    """The command, installed from the wheel in a fresh environment."""
    folder = tmp_path_factory.mktemp("installed")
    run("uv", "venv", "--quiet", folder / "venv", cwd=folder)
    python = folder / "venv" / "bin" / "python"
    run("uv", "pip", "install", "--quiet", "--python", python, wheel, cwd=folder)
    return folder / "venv" / "bin" / "bothends"


def test_the_wheel_carries_the_front_end_the_schema_and_the_demo(wheel, repository):
    names = set(zipfile.ZipFile(wheel).namelist())
    web = {
        f"bothends/web/{p.relative_to(repository / 'web').as_posix()}"
        for p in (repository / "web").rglob("*")
    }
    files = {name for name in web if not name.endswith("/") and Path(name).suffix}
    assert {"bothends/web/index.html", "bothends/openapi.json", "bothends/demo/gannet.json"} <= names
    types = {name for name in files if name.endswith((".d.ts", ".d.mts"))}
    assert {name for name in files - types if "__pycache__" not in name} <= names
    assert types
    assert not types & names
    assert not [name for name in names if name.startswith(("tests", "bothends/service/test"))]
    assert [name for name in names if name.endswith(".dist-info/licenses/api/LICENSE")]


def test_an_installed_copy_plans_and_knows_its_schema(bothends, repository, tmp_path):
    plan = run(bothends, "solve", places.DEMO / "gannet.json", cwd=tmp_path)
    assert "inner end" in plan
    assert run(bothends, "schema", cwd=tmp_path) == (repository / "openapi" / "bothends.json").read_text()


def test_an_installed_copy_serves_page_model_and_plans(bothends, tmp_path):
    command = [str(bothends), "serve", "--http", "--port", "0", "--no-browser", "--demo"]
    command += ["--data", str(tmp_path / "book")]
    with subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, text=True) as process:
        try:
            address = next(
                found[1] for line in process.stdout if (found := re.search(r"(http://[^\s/]+)/", line))
            )
            with httpx.Client(base_url=address, trust_env=False, timeout=30) as client:
                assert client.get("/").headers["content-type"].startswith("text/html")
                assert "model/solve.py" in client.get("/py/source.json").json()
                job = client.get("/api/demo").json()[0]
                answer = client.post("/api/solve", json=job["request"])
                assert json.loads(answer.content)["options"]
        finally:
            process.terminate()
    assert process.returncode == 0
