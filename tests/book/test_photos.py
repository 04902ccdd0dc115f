"""Photos in the book: taken in parts under the name of their content, within bounds, carried by copies."""

import base64
import hashlib
import itertools
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from book.pages import JOB, Page
from bothends.book import folded, log, photo_files, photos
from bothends.book.backup import backup, restore
from bothends.book.sheet.fold import fold
from bothends.book.store import Store


def image(seed: str, size: int = 1000) -> bytes:
    """Bytes that begin as a JPEG does."""
    return b"\xff\xd8\xff\xe0" + (hashlib.sha512(seed.encode()).digest() * (size // 64 + 1))[: size - 4]


def body(data: bytes, **more) -> dict:
    """What a record says of a photo."""
    name = hashlib.sha256(data).hexdigest()
    return {"sha256": name, "bytes": len(data), "width": 1600, "height": 1200, "shows": "marks", **more}


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path / "data") as opened:
        yield opened


def told(store, page, data, **more):
    """Push the record of a photo; the photo's name."""
    entry = page.write("photo", body(data, **more))
    store.write(lambda db: log.append(db, [entry]))
    return entry["body"]["sha256"]


def put(store, name, data, at, size):
    return store.write(lambda db: photos.part(db, name, data, at=at, size=size))


def here(store, name):
    return store.read(lambda db: photos.held(db, name))


@pytest.mark.slow
@settings(deadline=None, max_examples=15)
@given(cuts=st.lists(st.integers(1, 999), max_size=8), doubled=st.booleans())
def test_parts_of_any_size_sent_once_or_twice_make_the_photo(tmp_path_factory, cuts, doubled):
    data = image("parts")
    with Store(tmp_path_factory.mktemp("parts")) as opened:
        name = told(opened, Page(), data)
        edges = [0, *sorted(set(cuts)), len(data)]
        for start, end in itertools.pairwise(edges):
            for _ in range(1 + doubled):
                now = put(opened, name, data[start:end], start, len(data))
                assert now.have == end
        assert here(opened, name).whole
        assert opened.read(lambda db: photos.found(db, name)) == ("image/jpeg", data)


def test_a_part_that_does_not_go_on_where_the_last_one_ended_changes_nothing(store):
    data = image("gap")
    name = told(store, Page(), data)
    put(store, name, data[:400], 0, len(data))
    assert put(store, name, data[600:], 600, len(data)).have == 400
    assert put(store, name, data[300:700], 300, len(data)).have == 400
    assert store.read(lambda db: photos.found(db, name)) is None
    assert put(store, name, data[400:], 400, len(data)).whole


def test_bytes_that_are_not_what_the_name_says_are_dropped_and_the_photo_may_come_again(store):
    data = image("right")
    name = told(store, Page(), data)
    now = put(store, name, image("wrong"), 0, len(data))
    assert (now.wrong, now.whole, now.have) == (True, False, 0)
    assert here(store, name).size == 0
    assert put(store, name, data, 0, len(data)).whole


@pytest.mark.parametrize("data", [b"<svg xmlns='x'/>", b"GIF89a....", b"%PDF-1.7", b"MZ"])
def test_what_is_no_image_is_not_taken(store, data):
    name = told(store, Page(), data)
    with pytest.raises(photos.PhotoError, match="JPEG, WebP or PNG") as refused:
        put(store, name, data, 0, len(data))
    assert (refused.value.code, refused.value.path) == ("not-an-image", "body")
    assert here(store, name).size == 0


def test_bytes_that_no_record_names_are_not_taken(store):
    with pytest.raises(photos.PhotoError, match="no record names") as refused:
        put(store, "0" * 64, image("nobody"), 0, 1000)
    assert refused.value.code == "not-found"


@pytest.mark.parametrize("which", ["PER_JOB", "IN_ALL"])
def test_beyond_a_bound_a_photo_is_refused_until_another_one_was_removed(store, monkeypatch, which):
    monkeypatch.setattr(photos, which, 2500)
    page = Page()
    first, second, third = (image(seed) for seed in "abc")
    for data in (first, second):
        assert put(store, told(store, page, data), data, 0, 1000).whole
    name = told(store, page, third)
    with pytest.raises(photos.PhotoError, match="0 MB in all") as refused:
        put(store, name, third, 0, 1000)
    assert (refused.value.code, refused.value.path) == ("photos-full", "size")
    assert "Remove photos" in refused.value.remedy
    folded.catch_up(store.read, store.write)
    strike = page.write("strike", {"entry": page.entries[0]["id"]})
    store.write(lambda db: log.append(db, [strike]))
    folded.catch_up(store.read, store.write)
    assert put(store, name, third, 0, 1000).whole
    assert here(store, body(first)["sha256"]).size == 0
    assert here(store, body(second)["sha256"]).whole


def test_a_removed_photo_stays_until_swept_and_one_of_two_records_keeps_it(store):
    page = Page()
    data, other = image("once"), image("twice")
    name, twice = told(store, page, data), told(store, page, other)
    again = told(store, page, other, words="the same, with words")
    assert again == twice
    for one, content in ((name, data), (twice, other)):
        put(store, one, content, 0, 1000)
    strikes = [page.write("strike", {"entry": page.entries[n]["id"]}) for n in (0, 1)]
    store.write(lambda db: log.append(db, strikes))
    assert store.write(photos.sweep) == 0, "what is not folded yet may still count"
    folded.catch_up(store.read, store.write)
    assert here(store, name).whole
    assert store.write(photos.sweep) == 1000
    assert here(store, name).size == 0
    assert here(store, twice).whole


def test_a_copy_has_the_photos_and_restoring_keeps_those_that_came_after_it(store, tmp_path):
    page, copy, data = Page(), tmp_path / "copy.sqlite3", store.path.parent
    early, late = image("early"), image("late")
    put(store, told(store, page, early), early, 0, 1000)
    backup(data, copy)
    name = told(store, page, late)
    put(store, name, late[:500], 0, 1000)
    put(store, name, late[500:], 500, 1000)
    store.close()
    restore(tmp_path / "elsewhere", copy)
    with Store(tmp_path / "elsewhere") as other:
        assert other.read(lambda db: photos.found(db, body(early)["sha256"])) == ("image/jpeg", early)
        assert not here(other, name).whole
    restore(data, copy)
    with Store(data) as again:
        assert again.read(lambda db: photos.found(db, name)) == ("image/jpeg", late)
        assert len(again.read(lambda db: log.since(db, 0, 10))) == 1


def test_a_photo_stands_on_the_sheet_until_it_is_removed_and_an_odd_one_is_listed(store):
    page = Page()
    shot = page.write("photo", body(image("x"), side="left", teardown=1, step="marks"))
    odd = page.write("photo", {"sha256": 3, "shows": "marks"})
    sheet = fold(JOB, page.entries)
    assert [(row["id"], row["side"], row["shows"]) for row in sheet["photos"]] == [
        (shot["id"], "left", "marks")
    ]
    assert [row["id"] for row in sheet["puzzles"]] == [odd["id"]]
    page.write("strike", {"entry": shot["id"]})
    sheet = fold(JOB, page.entries)
    assert (sheet["photos"], [row["kind"] for row in sheet["struck"]]) == ([], ["photo"])


def test_photos_go_into_a_folder_under_names_for_people_and_come_back_by_what_they_are(store, tmp_path):
    page, folder = Page(), tmp_path / "out" / photo_files.FOLDER
    title = page.write("job", {"title": "../Gannet: Maren's \u2018blue\u2019 car"})
    store.write(lambda db: log.append(db, [title]))
    kept, gone = image("kept"), image("gone")
    for data in (kept, gone):
        put(store, told(store, page, data, side="left"), data, 0, 1000)
    strike = page.write("strike", {"entry": page.entries[-1]["id"]})
    store.write(lambda db: log.append(db, [strike]))
    folded.catch_up(store.read, store.write)
    assert store.read(lambda db: photo_files.write(db, folder)) == 1
    (path,) = folder.iterdir()
    assert path.parent == folder
    assert (
        path.name == f"2026-09-21 .._Gannet_ Maren_s _blue_ car, marks left, {body(kept)['sha256'][:12]}.jpg"
    )
    (folder / "of nobody.jpg").write_bytes(image("nobody"))
    (folder / "notes.txt").write_text("left alone", encoding="utf-8")
    with Store(tmp_path / "other") as other:
        other.write(lambda db: log.append(db, page.entries))
        assert photo_files.bring_in(other.write, photo_files.read(folder)) == (1, 0, "")
        assert photo_files.bring_in(other.write, photo_files.read(folder)) == (0, 0, "")
        assert other.read(lambda db: photos.found(db, body(kept)["sha256"])) == ("image/jpeg", kept)


def test_photos_inside_a_phones_file_are_read_and_what_is_odd_there_is_passed_by(store):
    page, data = Page(), image("inside")
    name = told(store, page, data)
    given = [
        {"sha256": name, "data": base64.b64encode(data).decode()},
        *({"sha256": name, "data": odd} for odd in ("%%", 3, None, "")),
        "no photo",
    ]
    whole = json.dumps({"format": "bothends-log", "version": 1, "entries": page.entries, "photos": given})
    new, refused, _ = photo_files.bring_in(store.write, photo_files.in_object(whole.encode()))
    assert (new, refused) == (1, 0)
    assert here(store, name).whole
    for other in (b"{}", b"[]", b'{"photos": {}}', b"not JSON", b"\xff"):
        assert list(photo_files.in_object(other)) == []
