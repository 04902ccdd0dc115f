"""An attack on the live application: every operation, all checks, as a paired device."""

import os
import re
import subprocess
import sys
from pathlib import Path

import httpx

HERE = Path(__file__).resolve().parent


def key_of(running) -> str:
    """The key of a device paired with the code that a fresh server prints."""
    (code,) = re.findall(r"Pairing code (\S+):", running.said)
    reply = httpx.post(
        f"{running.address}/api/devices", json={"code": code, "name": "attack"}, trust_env=False
    )
    return reply.raise_for_status().json()["key"]


def attack(serve, folder: Path, *phases: str, examples: int = 10, short: bool = False) -> None:
    """Attack a server of one's own in these phases, at random with so many examples; whatever is found fails.

    In ``short`` the cases at and beyond bounds are some of each kind (``crossfield.filter_case``).
    """
    # What gets stored in it is of no use to others.
    own = serve("--demo", "--no-browser", "--data", str(folder / "book"))
    command = [
        str(Path(sys.executable).with_name("st")),
        *("--config-file", str(HERE / "schemathesis.toml"), "run", f"{own.address}/api/openapi.json"),
        *("--checks", "all", "--phases", ",".join(phases), "--max-examples", str(examples)),
        # One, since threads that parse source at once confuse Python 3.11 (a SystemError in ast.parse).
        *("--workers", "1"),
        *("--header", f"Authorization: Bearer {key_of(own)}"),
        *("--continue-on-failure", "--no-color", "--warnings", "off"),
    ]
    env = {**os.environ, "SCHEMATHESIS_HOOKS": "crossfield", "PYTHONPATH": str(HERE)}
    if short:
        env["BOTHENDS_ATTACK_SHORT"] = "yes"
    for _ in range(3):
        run = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True, timeout=900)
        # Where it looks for addresses in our answers, it fails itself at a text such as "//[". That is no
        # finding, so it begins again, at other random cases.
        if "ValueError: Invalid IPv6 URL" not in run.stdout or "An internal error occurred" not in run.stdout:
            break
    assert run.returncode == 0, run.stdout + run.stderr
    for phase in phases:
        assert f"✅ {phase.capitalize()}" in run.stdout, run.stdout
