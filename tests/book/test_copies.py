"""Copies of the book by the day: made while it is in use, the right ones kept, each of them a book to restore."""

import os
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import Page, an_id
from bothends.book import backup, copies, log
from bothends.book.store import Store

NOON = datetime(2026, 3, 12, 12, tzinfo=UTC)


@pytest.fixture
def data(tmp_path):
    """The folder of a book with one job, in use."""
    page = Page(job=an_id(1))
    page.write("job", {"title": "Gannet, Maren"})
    with Store(tmp_path / "book") as store:
        store.write(lambda db: log.append(db, page.entries))
        yield tmp_path / "book"


def test_a_copy_is_made_of_a_book_in_use_and_can_be_restored(data, tmp_path):
    folder = tmp_path / "copies"
    assert copies.last(folder) is None
    assert copies.due(data, folder, NOON)
    assert copies.make(data, folder, NOON) == 1
    newest = copies.last(folder)
    assert newest.day == NOON.date()
    assert newest.size == newest.path.stat().st_size
    assert backup.restore(tmp_path / "other", newest.path) == 1
    assert [path.name for path in folder.iterdir()] == ["bothends-2026-03-12.sqlite3"]


def test_one_is_due_a_day_and_only_where_the_book_was_written_to(data, tmp_path):
    folder = tmp_path / "copies"
    copies.make(data, folder, NOON)
    assert not copies.due(data, folder, NOON)
    tomorrow = NOON + timedelta(days=1)
    made = copies.last(folder).path
    later = datetime.now().timestamp() + 100
    os.utime(made, (later, later))
    assert not copies.due(data, folder, tomorrow)
    os.utime(made, (0, 0))
    assert copies.due(data, folder, tomorrow)
    assert not copies.due(tmp_path / "nothing", folder, tomorrow)


def test_a_copy_that_cannot_be_made_leaves_those_of_before(data, tmp_path):
    folder = tmp_path / "copies"
    copies.make(data, folder, NOON - timedelta(days=1))
    with pytest.raises(backup.BadCopyError):
        copies.make(tmp_path / "nothing", folder, NOON)
    assert copies.last(folder).day == NOON.date() - timedelta(days=1)
    assert len(list(folder.iterdir())) == 1


def test_old_copies_go_and_other_files_stay(data, tmp_path):
    folder = tmp_path / "copies"
    folder.mkdir()
    first = date(2026, 1, 1)
    for n in range(70):
        (folder / f"bothends-{first + timedelta(days=n)}.sqlite3").touch()
    (folder / "bothends-2026-13-40.sqlite3").touch()
    (folder / "holiday.txt").touch()
    copies.make(data, folder, NOON)
    names = {path.name for path in folder.iterdir()}
    assert {"bothends-2026-13-40.sqlite3", "holiday.txt", "bothends-2026-03-12.sqlite3"} <= names
    assert (
        len(names) == 2 + len([n for n in range(copies.DAYS) if NOON.day - n <= 11 or n == 0]) + copies.WEEKS
    )


@given(days=st.sets(st.dates(date(2025, 1, 1), date(2026, 12, 31)), min_size=1), later=st.integers(0, 40))
def test_the_newest_is_always_kept_and_never_more_than_the_bound(days, later):
    today = max(days) + timedelta(days=later)
    kept = copies._kept(list(days), today)
    assert kept <= days
    assert max(days) in kept
    assert len(kept) <= copies.DAYS + copies.WEEKS
    # What was kept is kept again: nothing goes by looking twice.
    assert copies._kept(list(kept), today) == kept
