"""One list of columns a table: what the book keeps, what history answers with and what leaves as a file agree."""

import json
import re
import subprocess
import sys

import pytest
from msgspec import inspect

from book.pages import JOB, Page
from bothends.book import columns, derived, export, folded, history, job_rows, log
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from bothends.book.store import Store
from bothends.model import fields
from bothends.service.wire.table import Teardown

OF_THE_JOB = ("job", "title", "owner", "car", "hidden", "car_key")


@pytest.fixture
def book(tmp_path):
    with Store(tmp_path) as store:
        yield store


def kept(book, name) -> list[str]:
    return [row[1] for row in book.read(lambda db: db.execute(f"PRAGMA table_info({name})").fetchall())]


@pytest.mark.parametrize("name", columns.TABLES)
def test_a_table_has_the_same_headings_in_the_book_and_in_a_file(book, name):
    headings = [column.name for column in columns.TABLES[name]]
    more = derived.AS_ENTERED if name == "readings" else ()
    assert kept(book, name) == [*headings, *more]
    assert list(export.TABLES[name]) == list(columns.TABLES[name])


def test_a_teardown_has_the_same_headings_in_history_as_in_a_file_and_in_the_book(book):
    headings = [column.name for column in columns.TEARDOWNS]
    assert list(history.COLUMNS) == headings
    assert [field.encode_name for field in inspect.type_info(Teardown).fields] == headings
    assert kept(book, "job_teardowns") == [name for name in headings if name not in derived.OF_THE_SHEET]


def test_a_row_of_a_job_has_every_column_of_a_teardown():
    row = job_rows.teardown(stages(fold("job", []))[0] | {"at": "2026-09-21T10:00:00Z"})
    assert {*row, *OF_THE_JOB} == {column.name for column in columns.TEARDOWNS}


def test_every_column_of_a_teardown_stands_in_a_stage_where_it_says():
    page = Page()
    page.write("target", {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 5.0, "lean_mm": 5.0})
    for what in (kind.name for kind in fields.KINDS if kind.stage):
        for side in fields.SIDES:
            page.reading(9.0, what=what, side=side, teardown=1)
            page.reading(8.0, what=what, side=side, teardown=1, after_km=300)
    for axle in (None, "front"):
        for side in fields.SIDES:
            page.reading(300.0, what="wheel-load", side=side, teardown=1, **({"axle": axle} if axle else {}))
    page.plan(1, 0.8, (-3, 4), (1, 2))
    page.move(1, (-3, 4), (1, 2))
    on_the_day, later = (job_rows.teardown(stage) for stage in stages(fold(JOB, page.entries))[1:])
    of_later = {"after_km", "settled_left_mm", "settled_right_mm", "still_within"}
    # Nobody was asked for a name there.
    assert {name for name, value in on_the_day.items() if value is None} == {*of_later, "writer"}
    assert all(later[name] is not None for name in of_later)
    teeth = [on_the_day[f"{side}_{end}_teeth"] for side in fields.SIDES for end in fields.ENDS]
    assert (teeth, on_the_day["promised_left_sd_mm"]) == ([-3, 4, 1, 2], 1.8)


def test_every_field_of_a_reading_in_the_table_has_a_column_in_the_book_and_in_a_file(book):
    names = {*fields.names("log"), *fields.told("log"), "value", "sd"}
    poses = {f"pose_{name}" for name in (*fields.names("log.pose"), *fields.told("log.pose"))}
    used = " ".join(column.sql or column.name for column in columns.TABLES["readings"])
    assert not [name for name in names | poses if name not in used]
    headings = [column.name for column in columns.TABLES["readings"]]
    assert [kind.column for kind in fields.KINDS] == [
        h for h in headings if h in {k.column for k in fields.KINDS}
    ]


def test_the_teeth_turned_at_every_end_have_a_column(book):
    ends = {f"{side}_{end}_teeth" for side in fields.SIDES for end in fields.ENDS}
    assert ends <= set(kept(book, "moves")) & {column.name for column in columns.TEARDOWNS}


def test_what_was_worked_out_is_rounded_and_what_was_entered_is_not(book):
    page = Page()
    for value in (214.0, 214.0, 215.0):
        page.reading(value)
    page.reading(214.3125, side="right")
    book.write(lambda db: log.append(db, page.entries))
    folded.catch_up(book.read, book.write)
    (row,) = book.read(lambda db: history.page(db))
    assert (row["body_height_left_mm"], row["body_height_right_mm"]) == (214.3, 214.3)
    assert [row] == book.read(lambda db: list(export.rows(db, "teardowns")))
    readings = book.read(lambda db: list(export.rows(db, "readings")))
    assert [r["body_height_mm"] for r in readings] == [214.0, 214.0, 215.0, 214.3125]


def test_a_book_whose_tables_an_older_version_made_gets_todays_and_loses_nothing(tmp_path):
    page = Page()
    page.heights(214.0, 210.0)
    with Store(tmp_path) as old:
        old.write(lambda db: log.append(db, page.entries))
        folded.catch_up(old.read, old.write)
        before = old.read(lambda db: list(db.query("SELECT * FROM teardowns")))
        for statement in ("DROP VIEW teardowns", "DROP TABLE job_teardowns"):
            old.write(lambda db, said=statement: db.execute(said))
        old.write(lambda db: db.execute("CREATE TABLE job_teardowns (job TEXT, left_mm REAL) STRICT"))
    with Store(tmp_path) as new:
        assert new.read(derived.current)
        folded.catch_up(new.read, new.write)
        assert new.read(lambda db: list(db.query("SELECT * FROM teardowns"))) == before


ADDED = """
import json
from bothends.model import fields
words = "From the wheel's centre down to the ground, [mm]."
value = fields.Field("log.value.hub-height", "mm", 50.0, 900.0, None, words)
spread = fields.Field("log.sd.hub-height", "mm", 0.01, 50.0, None, "Standard uncertainty, [mm].")
fields.KINDS += (fields.Kind("hub-height", "mm", 1.0, 0.5, "hub height", "hub_height_mm", "hub_high_mm.{}"),)
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
    "history": [name for name in history.COLUMNS if "hub_height" in name],
    "phone": '"hub-height"' in facts.text(),
}))
"""


@pytest.mark.slow
def test_a_kind_added_to_the_table_is_read_kept_folded_exported_and_told_to_the_phone():
    run = subprocess.run([sys.executable, "-c", ADDED], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == {
        "solver": "hub-height",
        "logbook": 310.0,
        "bounded": True,
        "fold": "",
        "file": ["hub_height_mm"],
        "history": ["hub_height_left_mm", "hub_height_right_mm"],
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
    written = ("facts.js", "kept-texts.js")
    paths = [
        *(repository / "api" / "bothends").rglob("*.py"),
        *web.glob("book/*.js"),
        *web.glob("model/*.js"),
    ]
    for path in paths:
        # The model's own modules tell kinds apart by their equations; the page's are written from the table.
        if path.parent != repository / "api" / "bothends" / "model" and path.name not in written:
            text = path.read_text(encoding="utf-8")
            assert not all(f'"{name}"' in text for name in names), path
