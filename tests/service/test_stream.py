"""What the commands print reaches whoever reads it: any encoding, a pipe that closes, standard output as a file."""

import contextlib
import gzip
import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from book.pages import Page, an_id

from bothends.book import devices, log
from bothends.book.store import Store
from bothends.service.cli import outcome
from bothends.service.cli.filing import bring_in, take_out
from bothends.service.cli.stream import Progress, progress
from bothends.service.command import main
from bothends.service.site import places

GANNET = places.DEMO / "gannet.json"
COMMAND = (sys.executable, "-m", "bothends.service.command")


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """The folder of a book with one job."""
    page = Page(job=an_id(1))
    page.write("job", {"title": "Gannet, Maren", "car": "Gannet"})
    page.write("reading", {"what": "body-height", "side": "left", "value": 214.0})
    with Store(tmp_path / "book") as store:
        code, _ = store.write(devices.new_code)
        store.write(lambda db: devices.pair(db, code, "shop PC"))
        store.write(lambda db: log.append(db, page.entries))
    return tmp_path / "book"


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_a_plan_reaches_a_terminal_of_any_encoding(encoding: str) -> None:
    env = {**os.environ, "PYTHONIOENCODING": encoding}
    done = subprocess.run([*COMMAND, "solve", GANNET], capture_output=True, timeout=60, env=env)
    text = done.stdout.decode(encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    assert "?" not in text
    assert re.search(r"\d (±|\+/-) \d", text)
    assert ("±" in text) == (encoding != "ascii")


@pytest.mark.slow
def test_a_reader_that_leaves_ends_a_command_without_a_word() -> None:
    with subprocess.Popen([*COMMAND, "schema"], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout
        assert running.stderr
        # Before it has started to write; a pipe may take all of what is written otherwise.
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait(60) == outcome.CUT_OFF


def test_one_table_or_the_whole_book_goes_to_standard_output(
    data: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["export", "-", "--table", "jobs", "--format", "csv", "--data", str(data)]) == 0
    assert b"Gannet" in capfdbinary.readouterr().out
    assert main(["export", "-", "--data", str(data)]) == 0
    head, *rows = capfdbinary.readouterr().out.splitlines()
    assert json.loads(head)["lines"] == len(rows) == 2
    assert main(["export", "-", "--table", "jobs", "--data", str(data)]) == outcome.BAD_INPUT
    said = capfdbinary.readouterr()
    assert b"one table in one format" in said.err
    assert said.out == b""


def test_what_goes_out_by_one_pipe_comes_in_by_another(
    data: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert take_out(data, Path("-"), tables=None, formats=["csv", "json"]) == 0
    book = capfdbinary.readouterr().out
    # Some editors begin a file with a byte order mark.
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"\xef\xbb\xbf" + book)))
    assert bring_in(tmp_path / "other", Path("-")) == 0
    assert b"2 records new" in capfdbinary.readouterr().out


@pytest.mark.parametrize("how", ["no export", "cut off", "no file"])
def test_a_refused_import_leaves_nothing_behind(
    data: Path, tmp_path: Path, how: str, capsys: pytest.CaptureFixture[str]
) -> None:
    source = tmp_path / ("book.jsonl.gz" if how == "cut off" else "book.jsonl")
    if how == "no export":
        source.write_text('{"format": "other"}\n', encoding="utf-8")
    elif how == "cut off":
        take_out(data, source, tables=None, formats=["csv"])
        source.write_bytes(source.read_bytes()[:-9])
    assert bring_in(tmp_path / "fresh" / "shop", source) != 0
    assert str(source) in capsys.readouterr().err
    assert not (tmp_path / "fresh").exists()


def test_a_packed_file_that_is_cut_off_adds_nothing_to_a_book_that_is_there(
    data: Path, tmp_path: Path
) -> None:
    whole = tmp_path / "book.jsonl"
    take_out(data, whole, tables=None, formats=["csv"])
    damaged = tmp_path / "damaged.jsonl.gz"
    damaged.write_bytes(gzip.compress(whole.read_bytes())[:-9])
    other = tmp_path / "other"
    Store(other).close()
    assert bring_in(other, damaged) == outcome.BAD_INPUT
    with Store(other) as store:
        assert store.read(lambda db: db["entries"].count) == 0


@pytest.mark.parametrize(
    ("day", "words"),
    [("2026-02-30", "must be in the calendar; got 2026-02-30"), ("12.3.2026", "such as 2026-03-12")],
)
def test_a_day_that_is_none_is_refused_in_words(
    data: Path, day: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["export", "out", "--since", day, "--data", str(data)])
    assert ended.value.code == outcome.BAD_INPUT
    assert words in capsys.readouterr().err


def test_a_period_that_ends_before_it_begins_is_refused(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    period = ["--since", "2026-03-02", "--until", "2026-03-01"]
    assert main(["export", str(tmp_path / "out"), *period, "--data", str(data)]) == outcome.BAD_INPUT
    assert "--since 2026-03-02 is after --until 2026-03-01" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_long_work_shows_how_far_it_is_where_somebody_looks_and_leaves_nothing_of_it() -> None:
    seen, hidden = Terminal(), io.StringIO()
    for stream in (seen, hidden):
        with contextlib.suppress(ZeroDivisionError), progress("importing", stream) as told:
            told(12_000)
            raise ZeroDivisionError
    assert hidden.getvalue() == ""
    assert "\rimporting: 12,000 records" in seen.getvalue()
    assert re.search(r"\r *\r$", seen.getvalue())
    assert Progress("importing", seen)(5) is None


def test_the_table_of_exit_codes_is_the_readmes_and_the_helps(
    repository: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (repository / "README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\d+) \| (.+) \|$", text.split("### Exit codes")[1].split("\n##")[0], re.M)
    assert {int(code): words for code, words in rows} == outcome.EXITS
    with pytest.raises(SystemExit):
        main(["--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert all(f"{code} {words}" in told for code, words in outcome.EXITS.items())
