"""Short commands: every one says what it does, is in DEVELOPERS.md, and calls what is there."""

import json
import re
import tomllib

import pytest


@pytest.fixture(scope="module")
def tasks(repository):
    """The tasks of pyproject.toml by name."""
    return tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["poe"]["tasks"]


def commands(task):
    """What a task calls."""
    return [task["cmd"]] if "cmd" in task else [step["cmd"] for step in task["sequence"]]


def test_every_short_command_is_in_the_guide_and_says_what_it_does(repository, tasks):
    guide = (repository / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert set(re.findall(r"`uv run poe ([a-z]+)", guide)) == set(tasks)
    assert all(task["help"] for task in tasks.values())


def test_every_short_command_calls_what_is_there(repository, tasks):
    scripts = json.loads((repository / ".ci/js/package.json").read_bytes())["scripts"]
    for task in tasks.values():
        for command in commands(task):
            words = command.split()
            assert words[0] in ("npm", "ruff", "mypy", "pytest", "python", "bothends", "bash")
            if words[0] == "npm" and "run" in words:
                assert words[-1] in scripts


def test_the_checks_of_a_clean_checkout_look_at_all_that_the_short_ones_do(repository, tasks):
    whole = (repository / ".ci/run").read_text(encoding="utf-8")
    for name in ("lint", "types"):
        for command in commands(tasks[name]):
            assert command.split()[-1] in whole, command
