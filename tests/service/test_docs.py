"""README.md and DEVELOPERS.md: every address, option and code is in them, and what they print is what comes."""

import argparse
import json
import re
import shlex

import pytest

from bothends.book import entries, log
from bothends.service.command import main, parser
from bothends.service.http.problems import CODES


@pytest.fixture(scope="module")
def readme(repository):
    """The README."""
    return (repository / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def docs(repository, readme):
    """Both documents."""
    return readme + (repository / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_address_is_in_the_docs(repository, docs):
    document = json.loads((repository / "openapi" / "bothends.json").read_bytes())
    for path, item in document["paths"].items():
        for method in item:
            assert f"`{method.upper()} {path}`" in docs


def test_no_address_in_the_docs_is_gone(repository, docs):
    document = json.loads((repository / "openapi" / "bothends.json").read_bytes())
    for method, path in re.findall(r"`(GET|PUT|POST|DELETE|PATCH) (/api/\S+?)`", docs):
        assert method.lower() in document["paths"][path]


def test_every_code_is_in_the_docs_with_its_status(docs):
    rows = dict(re.findall(r"^\| (\d{3}) \| (.*) \|$", docs, re.MULTILINE))
    listed = {
        (code, int(status)) for status, codes in rows.items() for code in re.findall(r"`(\S+?)`", codes)
    }
    assert listed == {(code, status) for code, (status, _) in CODES.items()}


def test_how_many_records_a_request_and_a_job_take_is_in_the_docs(readme):
    assert f"up to {entries.BATCH} (a job takes {log.PER_JOB:,})" in readme


def test_every_command_and_option_is_in_the_docs(docs):
    (commands,) = [a for a in parser()._actions if isinstance(a, argparse._SubParsersAction)]
    for name, command in commands.choices.items():
        assert f"bothends {name}" in docs
        for action in command._actions:
            for option in action.option_strings:
                assert option in ("-h", "--help") or option in docs


def printed(readme: str) -> list[tuple[str, str]]:
    """Commands of the README with the output shown below them."""
    blocks = re.findall(r"```console\n\$ (.*)\n((?:(?!```).*\n)*)```", readme)
    return [(command, output) for command, output in blocks if output]


def test_what_the_readme_prints_is_what_comes(readme, repository, monkeypatch, capsys):
    monkeypatch.chdir(repository)
    examples = printed(readme)
    assert examples
    for command, output in examples:
        start = ["uv", "run", "bothends"]
        words = shlex.split(command)
        assert words[:3] == start
        assert main(words[3:]) == 0
        assert capsys.readouterr().out == output


def test_the_first_paragraph_says_what_the_job_is(readme):
    title, _, first = readme.splitlines()[:3]
    assert title == "# Bothends"
    for words in ("torsion bars", "which end of which bar to turn", "how many teeth", "which way", "height"):
        assert words in first
