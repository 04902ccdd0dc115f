"""One list of columns a table: what the book keeps, what history answers with and what leaves as a file agree."""

import json
import re
import subprocess
import sys

import pytest
from msgspec import inspect

from bothends.book import columns, export, history, job_rows
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from bothends.book.store import Store
from bothends.model import fields
from bothends.service.api.history import Teardown

OF_THE_JOB = ("job", "title", "owner", "car")


@pytest.fixture
def book(tmp_path):
    with Store(tmp_path) as store:
        yield store


def kept(book, name) -> list[str]:
    return [row[1] for row in book.read(lambda db: db.execute(f"PRAGMA table_info({name})").fetchall())]


def test_the_book_keeps_history_gives_and_a_file_has_the_same_columns_of_a_teardown(book):
    listed = [column.sql for column in columns.TEARDOWNS]
    assert set(kept(book, "teardowns")) == {*listed, "car_key"}
    assert list(history.COLUMNS) == listed
    assert [field.encode_name for field in inspect.type_info(Teardown).fields] == listed
    assert list(export.TABLES["teardowns"]) == list(columns.TEARDOWNS)


def test_a_row_of_a_job_has_every_column_of_a_teardown():
    row = job_rows.teardown(stages(fold("job", []))[0] | {"at": "2026-09-21T10:00:00Z"})
    assert {*row, *OF_THE_JOB} == {column.sql for column in columns.TEARDOWNS}


def test_every_field_of_a_reading_in_the_table_has_a_column_in_the_book_and_in_a_file(book):
    view = set(kept(book, "readings"))
    names = {*fields.names("log"), *fields.told("log"), "value", "sd"}
    poses = {f"pose_{name}" for name in (*fields.names("log.pose"), *fields.told("log.pose"))}
    assert names | poses <= view
    used = " ".join(column.sql for column in columns.TABLES["readings"])
    assert not [name for name in names | poses if name not in used]
    headings = [column.name for column in columns.TABLES["readings"]]
    assert [kind.column for kind in fields.KINDS] == [
        h for h in headings if h in {k.column for k in fields.KINDS}
    ]


def test_the_teeth_turned_at_every_end_have_a_column(book):
    ends = {f"{side}_{end}" for side in fields.SIDES for end in fields.ENDS}
    assert ends <= set(kept(book, "moves"))
    assert ends <= {column.sql for column in columns.TABLES["moves"]} & {c.sql for c in columns.TEARDOWNS}


ADDED = """
import json
from bothends.model import fields
words = "From the wheel's centre down to the ground, [mm]."
value = fields.Field("log.value.hub-height", "mm", 50.0, 900.0, None, words)
spread = fields.Field("log.sd.hub-height", "mm", 0.01, 50.0, None, "Standard uncertainty, [mm].")
fields.KINDS += (fields.Kind("hub-height", "mm", 1.0, 0.5, "hub height", "hub_height_mm", "hub_high_{}_mm"),)
fields.FIELDS += (value, spread)
fields._BY_PATH.update({f.path: f for f in (value, spread)})
fields._BY_NAME["hub-height"] = fields.KINDS[-1]
fields.word("log.what").choices += ("hub-height",)

from bothends.book import bodies, columns, history
from bothends.book.entries import Entry
from bothends.book.sheet.kinds import puzzle
from bothends.service.site import facts
from bothends.service.http.strict_json import decode
from bothends.service.wire.request import SolveRequest
import msgspec

body = {"what": "hub-height", "side": "left", "value": 310.0}
reading = {"kind": "reading", **body}
entry = {"id": "01a0c450-6c65-7065-8000-000000000065", "job": "01a0c450-6bff-7001-8000-000000000001",
         "device": "phone-a", "at": "2026-09-21T10:00:00+02:00", "kind": "reading", "body": body}
high = {**entry, "body": {**body, "value": 901.0}}
try:
    msgspec.convert(high, Entry)
    bounded = False
except msgspec.ValidationError:
    bounded = True
print(json.dumps({
    "solver": decode(json.dumps({"target": {"as": "level"}, "log": [reading]}).encode(), SolveRequest).log[0].what,
    "logbook": msgspec.convert(entry, Entry).body.value,
    "bounded": bounded,
    "fold": puzzle(entry),
    "file": [c.name for c in columns.TABLES["readings"] if "hub_height" in c.name],
    "history": [name for name in history.COLUMNS if "hub_high" in name],
    "phone": '"hub-height"' in facts.text(),
}))
"""


def test_a_kind_added_to_the_table_is_read_kept_folded_exported_and_told_to_the_phone():
    run = subprocess.run([sys.executable, "-c", ADDED], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == {
        "solver": "hub-height",
        "logbook": 310.0,
        "bounded": True,
        "fold": "",
        "file": ["hub_height_mm"],
        "history": ["hub_high_left_mm", "hub_high_right_mm"],
        "phone": True,
    }


def test_the_recipe_for_a_new_kind_names_files_that_are_there_and_in_which_kinds_are_told_apart(repository):
    guide = (repository / "DEVELOPERS.md").read_text(encoding="utf-8")
    recipe = guide.split("### A new kind of reading")[1].split("\n## ")[0]
    steps = re.findall(r"^\d\. `([^`]+)`", recipe, re.MULTILINE)
    assert steps == [
        "api/bothends/model/fields.py",
        "api/bothends/model/evidence.py",
        "web/work/readings.js",
    ]
    for name in steps:
        assert "wheel-load" in (repository / name).read_text(encoding="utf-8"), name


def test_nothing_of_the_edges_the_book_or_the_phones_log_lists_the_kinds_a_second_time(repository):
    names = [kind.name for kind in fields.KINDS]
    web = repository / "web"
    paths = [
        *(repository / "api" / "bothends").rglob("*.py"),
        *web.glob("book/*.js"),
        *web.glob("model/*.js"),
    ]
    for path in paths:
        # The model's own modules tell kinds apart by their equations; facts.js is written from the table.
        if path.parent != repository / "api" / "bothends" / "model" and path.name != "facts.js":
            text = path.read_text(encoding="utf-8")
            assert not all(f'"{name}"' in text for name in names), path
