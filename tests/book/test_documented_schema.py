"""DEVELOPERS.md and a real book have the same tables, views and columns; its examples run and find something."""

import re

import pytest

from bothends.book import folded, season
from bothends.book.derived import OF_THE_SHEET
from bothends.book.store import Store, glance

NAMES = re.compile(r"`([a-z_0-9]+)`")
UNITS = {"_mm": "mm", "_kg": "kg", "_deg": "deg"}


@pytest.fixture(scope="module")
def section(repository):
    """What DEVELOPERS.md says of the book's file."""
    text = (repository / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(r"^## The book's file\n(.*?)^## ", text, re.MULTILINE | re.DOTALL)
    assert found, "DEVELOPERS.md has no section about the book's file"
    return found[1]


@pytest.fixture(scope="module")
def data(tmp_path_factory):
    """The folder of a real book: the demo season."""
    folder = tmp_path_factory.mktemp("season")
    with Store(folder) as store:
        store.write(lambda db: season.fill(db, season.entries()))
        folded.catch_up(store.read, store.write)
    return folder


def described(section):
    """Tables and views with their columns, and the unit beside each column."""
    columns, units = {}, {}
    for name, rows in re.findall(
        r"^\| `(\w+)` \| unit \| \|\n\|---\|---\|---\|\n((?:\|.*\n)+)", section, re.MULTILINE
    ):
        cells = [[cell.strip() for cell in row.strip("|").split("|")] for row in rows.splitlines()]
        columns[name] = [column for row in cells for column in NAMES.findall(row[0])]
        units[name] = {column: row[1] for row in cells for column in NAMES.findall(row[0])}
    columns["job_teardowns"] = [c for c in columns["teardowns"] if c not in OF_THE_SHEET]
    for name, words in re.findall(r"^\| `(\w+)` \| (`[^|]*) \|$", section, re.MULTILINE):
        columns[name] = NAMES.findall(words.split(":")[0])
    return columns, units


def test_every_table_view_and_column_is_described_and_no_other(section, data):
    def look(db):
        found = db.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")
        names = [row[0] for row in found if not row[0].startswith("sqlite_")]
        return {name: sorted(row[1] for row in db.execute(f"PRAGMA table_info({name})")) for name in names}

    told = {name: sorted(columns) for name, columns in described(section)[0].items()}
    assert told == glance(data, look)


def test_columns_whose_names_end_in_a_unit_are_said_to_have_it(section):
    for table, columns in described(section)[1].items():
        for column, unit in columns.items():
            for ending, expected in UNITS.items():
                if column.endswith(ending):
                    assert unit == expected, f"{table}.{column}"


def test_the_examples_run_on_a_real_book_and_find_something(section, data):
    examples = re.findall(r"```sql\n(.*?)```", section, re.DOTALL)
    assert len(examples) >= 5
    for sql in examples:
        rows = glance(data, lambda db, sql=sql: db.execute(sql).fetchall())
        assert rows, sql
        assert all(any(value is not None for value in row) for row in rows), sql
