"""The book as files: tables with units, a whole book that comes back as it was, refused rows named."""

import csv
import gzip
import io
import json

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import JOB, JSON, START_MS, Page, an_id, entry_lists
from bothends.book import bookfile, entries, export, log, simulated
from bothends.book.bookfile import BookFileError
from bothends.book.folded import catch_up, stale
from bothends.book.store import Store

TARGET = {"left_mm": 250.0, "right_mm": 250.0}
SHEETS = "SELECT * FROM job_sheets ORDER BY job"
TEARDOWNS = "SELECT * FROM job_teardowns ORDER BY job, teardown, after_km"


def folded(store):
    """Everything in the book that does not depend on numbers of arrival: entries, folded rows."""
    catch_up(store.read, store.write)

    def look(db):
        sheets = [{**row, "last_seq": 0, "folded_seq": 0} for row in db.query(SHEETS)]
        return [entry for _, entry in log.since(db, 0, 10_000)], sheets, list(db.query(TEARDOWNS))

    return store.read(look)


def whole(store):
    """The book's file."""
    return store.read(lambda db: b"".join(bookfile.lines(db)))


def pour(store, data, **options):
    return bookfile.pour(io.BytesIO(data), store.write, **options)


def page():
    """A job with everything in it: struck, corrected, in dispute, odd names."""
    page = Page()
    page.write("job", {"title": "=HYPERLINK(1)", "owner": "Maren", "car": 'Gannet, "old"\nroadster'})
    page.write("target", TARGET)
    page.heights(214.0, 222.5)
    slip = page.reading(2.5, what="riding-angle", datum=-1.25, sd=0.28, pose={"board_left_mm": 50.0})
    page.strike(slip["id"])
    page.reading(243.0, what="wheel-load", side="right")
    page.plan(1, 0.8, (-3, 4), target=TARGET)
    page.move(1, (-3, 4), (0, 1))
    page.heights(250.5, 251.0, teardown=1)
    return page


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path / "book") as opened:
        opened.write(lambda db: log.append(db, page().entries))
        yield opened


def table(store, name, **days):
    """A table as CSV, read by a parser, and as JSON."""

    def look(db):
        while stale(db):
            pytest.fail("fold first")
        return [b"".join(make(db, name, **days)) for make in (export.as_csv, export.as_json)]

    catch_up(store.read, store.write)
    text, found = store.read(look)
    return list(csv.DictReader(io.StringIO(text.decode(), newline=""))), json.loads(found)


EXTRA = st.dictionaries(st.text(min_size=1, max_size=6).map("x".__add__), JSON, max_size=2)
"""Fields that this version does not know."""


@st.composite
def books(draw):
    """Entries that a book takes, with odd text, unknown fields and newer kinds, struck and disputed."""
    found = []
    for entry in draw(entry_lists(12)):
        entry = {**entry, **draw(EXTRA)}
        entry["body"] = {**entry["body"], **draw(EXTRA)}
        found.append(entry)
    for number in range(draw(st.integers(0, 3))):
        more = {"id": an_id(500 + number), "device": "phone-a", "at": "2026-09-21T10:00:00+02:00"}
        more |= {"job": draw(st.sampled_from([JOB, an_id(7, START_MS - 2)]))}
        words = draw(st.text(max_size=20))
        found.append({**more, "kind": draw(st.sampled_from(["note", "varnish"])), "body": {"text": words}})
    out = []
    for entry in found:
        try:
            out.append(entries.read(msgspec.json.encode(entry)))
        except (entries.EntryError, msgspec.ValidationError, UnicodeEncodeError):
            continue
    return out


@pytest.mark.slow(seconds=2)
@given(found=books(), packed=st.booleans())
@settings(max_examples=tries(60))
def test_a_book_that_goes_out_and_comes_in_again_is_the_same(found, packed, tmp_path_factory):
    folder = tmp_path_factory.mktemp("round")
    with Store(folder / "one") as one, Store(folder / "two") as two:
        one.write(lambda db: log.append(db, found))
        data = gzip.compress(whole(one)) if packed else whole(one)
        first = pour(two, data)
        assert (first.known, first.refused, first.missing) == (0, [], 0)
        assert folded(one) == folded(two)
        assert whole(two).splitlines()[1:] == whole(one).splitlines()[1:]
        again = pour(two, data)
        assert (again.stored, again.known) == (0, first.stored)
        assert folded(one) == folded(two)


def test_the_phone_s_own_layout_comes_in_by_the_same_door(store, tmp_path):
    found = page().entries
    log_file = {"format": "bothends-log", "version": 1, "made": "2026-09-21T10:00:00Z", "device": "phone-a"}
    other = {**found[2], "body": {**found[2]["body"], "value": 1.0}}
    data = json.dumps({**log_file, "entries": found, "disputed": [other]}, indent=1).encode()
    with Store(tmp_path / "new") as new:
        report = pour(new, data)
        assert report.stored == len(found)
        assert [(row.line, row.code) for row in report.refused] == [(len(found) + 1, "other-content")]
        assert folded(new) == folded(store)


def test_refused_rows_are_named_and_the_rest_lands(store, tmp_path):
    head, *rows = whole(store).splitlines()
    wrong = json.loads(rows[2])
    wrong["body"]["value"] = 1e9
    rows[2] = json.dumps(wrong).encode()
    rows.insert(4, b"no JSON at all")
    rows.insert(5, b'"' + b"x" * 200_000 + b'"')
    with Store(tmp_path / "new") as new:
        report = pour(new, b"\n".join([head, *rows]))
        assert report.stored == len(rows) - 3
        assert [(row.line, row.id) for row in report.refused] == [(4, wrong["id"]), (6, ""), (7, "")]
        assert "value" in report.refused[0].detail
        assert report.refused[2].code == "too-large"


def test_a_file_that_was_cut_off_says_how_much_is_missing(store, tmp_path):
    lines = whole(store).splitlines(keepends=True)
    with Store(tmp_path / "new") as new:
        assert pour(new, b"".join(lines[:-3])).missing == 3
        with pytest.raises(BookFileError, match="cut off"):
            pour(new, gzip.compress(b"".join(lines))[:-30])


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not an export"),
        (b"id,title\r\n", "not an export"),
        (b'{"format": "another", "version": 1, "lines": 0}\n', "not an export"),
        (b'{"format": "bothends-log", "version": 1}', "no records"),
        (b'{"format": "bothends-log", "version": 2, "lines": 0}\n', "newer version"),
    ],
)
def test_a_file_that_is_no_log_is_refused_whole(data, words, tmp_path):
    with Store(tmp_path) as store, pytest.raises(BookFileError, match=words):
        pour(store, data)


def test_simulated_and_real_books_are_kept_apart(store, tmp_path):
    real = whole(store)
    with Store(tmp_path / "demo") as demo:
        demo.write(simulated.mark)
        with pytest.raises(BookFileError, match="simulated"):
            pour(demo, real)
        demo.write(lambda db: log.append(db, [Page(first=900).reading(1.0)]))
        invented = whole(demo)
        assert json.loads(invented.splitlines()[0])["simulated"] is True
        with pytest.raises(BookFileError, match="kept apart"):
            pour(store, invented)
    with Store(tmp_path / "new") as new:
        assert pour(new, invented).stored == 1
        assert new.read(simulated.marked)


def test_tables_have_their_units_and_one_row_each(store):
    rows, found = table(store, "readings")
    assert [column["name"] for column in found["columns"]] == list(rows[0])
    assert len(rows) == len(found["rows"]) == 6
    angle = next(row for row in rows if row["what"] == "riding-angle")
    assert (angle["riding_angle_deg"], angle["datum_deg"], angle["sd_deg"]) == ("2.5", "-1.25", "0.28")
    assert (angle["board_left_mm"], angle["holds"], angle["body_height_mm"]) == ("50.0", "false", "")
    assert [row["body_height_mm"] for row in rows if row["what"] == "body-height"] == [
        "214.0",
        "222.5",
        "250.5",
        "251.0",
    ]
    assert next(row for row in rows if row["what"] == "wheel-load")["wheel_load_kg"] == "243.0"
    moves, _ = table(store, "moves")
    assert [moves[0][f"{side}_{end}_teeth"] for side in ("left", "right") for end in ("inner", "outer")] == [
        "-3",
        "4",
        "0",
        "1",
    ]
    (job,), _ = table(store, "jobs")
    assert (job["body_height_left_mm"], job["state"], job["teardowns"]) == ("250.5", "checked", "1")
    teardowns, found = table(store, "teardowns")
    assert [(row["teardown"], row["hit"]) for row in teardowns] == [("0", "false"), ("1", "true")]
    assert [row["hit"] for row in found["rows"]] == [False, True]
    assert (teardowns[1]["odds"], teardowns[1]["followed"]) == ("0.8", "false")


def test_every_heading_with_a_unit_ends_in_it():
    ends = {
        "mm": "_mm",
        "deg": "_deg",
        "kg": "_kg",
        "km": "_km",
        "teeth": "_teeth",
        "turns": "_turns",
        "%": "_percent",
    }
    for columns in export.TABLES.values():
        names = [column.name for column in columns]
        assert len(names) == len(set(names))
        for column in columns:
            assert column.unit in (*ends, "", "RFC 3339", "0 to 1")
            assert column.name.endswith(ends.get(column.unit, ""))


def test_a_title_like_a_formula_is_disarmed_in_csv_and_as_typed_in_json(store):
    (job,), found = table(store, "jobs")
    assert job["title"] == "'=HYPERLINK(1)"
    assert found["rows"][0]["title"] == "=HYPERLINK(1)"
    assert job["car"] == 'Gannet, "old"\nroadster'


def test_days_narrow_rows_by_their_own_moment_and_books_by_jobs(tmp_path):
    with Store(tmp_path) as store:
        old, new = Page(job=an_id(1), first=100), Page(job=an_id(2), first=200)
        old.reading(1.0)["at"] = "2026-03-01T00:30:00+02:00"  # the day before, in UTC
        new.reading(2.0)["at"] = "2026-03-02T12:00:00Z"
        store.write(lambda db: log.append(db, old.entries + new.entries))
        assert [r["body_height_mm"] for r in table(store, "readings", until="2026-02-28")[0]] == ["1.0"]
        assert [r["body_height_mm"] for r in table(store, "readings", since="2026-03-01")[0]] == ["2.0"]
        assert [r["job"] for r in table(store, "jobs", since="2026-03-02", until="2026-03-02")[0]] == [
            an_id(2)
        ]
        only = store.read(lambda db: export.jobs_between(db, until="2026-02-28"))
        head, *rows = store.read(lambda db: list(bookfile.lines(db, jobs=only)))
        assert (json.loads(head)["lines"], [json.loads(row)["job"] for row in rows]) == (1, [an_id(1)])


def test_what_a_newer_version_wrote_of_another_type_is_null_in_a_table(tmp_path):
    page = Page()
    newer = page.reading(214.0, teardown="last", pose={"hanging": "partly", "board_left_mm": [50]})
    newer["schema"] = 3
    newer["body"]["value"] = {"mean": 214.0}
    with Store(tmp_path) as store:
        store.write(lambda db: log.append(db, [newer]))
        (row,), found = table(store, "readings")
    assert (row["body_height_mm"], row["teardown"], row["hanging"], row["board_left_mm"]) == ("", "", "", "")
    assert (row["what"], row["side"]) == ("body-height", "left")
    assert found["rows"][0]["body_height_mm"] is None
