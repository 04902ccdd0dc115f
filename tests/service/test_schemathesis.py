"""The live application under attack: every operation, all checks, all phases."""

import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent


def test_the_live_application_keeps_to_its_schema(served, tmp_path):
    command = [
        str(Path(sys.executable).with_name("st")),
        *("--config-file", str(HERE / "schemathesis.toml"), "run", f"{served.address}/api/openapi.json"),
        *("--checks", "all", "--phases", "examples,coverage,fuzzing,stateful", "--max-examples", "50"),
        *("--continue-on-failure", "--no-color", "--warnings", "off"),
    ]
    env = {**os.environ, "SCHEMATHESIS_HOOKS": "crossfield", "PYTHONPATH": str(HERE)}
    run = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=300)
    assert run.returncode == 0, run.stdout + run.stderr
    for phase in ("Examples", "Coverage", "Fuzzing", "Stateful"):
        assert f"✅ {phase}" in run.stdout, run.stdout
