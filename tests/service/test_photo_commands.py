"""bothends export and import of photos, as real processes: a folder, a phone's file, one file without any."""

import base64
import json

import pytest
import warm
from book.pages import Page
from book.test_photos import body, image

from bothends.book import folded, log, photo_files, photos
from bothends.book.store import Store

LAYOUT = {"format": "bothends-log", "version": 1, "made": "2026-11-27T10:00:00Z", "device": "phone-a"}
"""What a phone writes before the entries (web/book/file.js)."""
IMAGES = [image("marks"), image("spline", 100_000)]


def run(*arguments, code=0):
    """Run a command; what it said on both outputs."""
    done = warm.run(*arguments)
    assert done.returncode == code, done
    return done.stdout + done.stderr


@pytest.fixture
def page():
    """A job with a reading and two photos."""
    page = Page()
    page.write("job", {"title": "Gannet, low", "car": "Gannet"})
    page.reading(214.0)
    for data in IMAGES:
        page.write("photo", body(data))
    return page


@pytest.fixture
def data(tmp_path, page):
    """The folder of a book that has that job, photos and all."""
    folder = tmp_path / "book"
    with Store(folder) as store:
        store.write(lambda db: log.append(db, page.entries))
        for one in IMAGES:
            store.write(lambda db, one=one: photos.whole(db, one))
        folded.catch_up(store.read, store.write)
    return folder


def kept(folder):
    """Photos that a book has, in order of their bytes."""
    with Store(folder) as store:
        names = store.read(lambda db: [name for name, *_ in photos.names(db)])
        return sorted(store.read(lambda db, n=name: photos.found(db, n))[1] for name in names)


def test_a_folder_has_the_photos_beside_the_book_and_they_come_in_again_from_there(data, tmp_path):
    out = tmp_path / "out"
    assert f"{out / photo_files.FOLDER}: 2 photos" in run("export", out, "--data", data)
    files = sorted((out / photo_files.FOLDER).iterdir())
    assert sorted(path.read_bytes() for path in files) == sorted(IMAGES)
    assert all("Gannet, low" in path.name for path in files)
    said = run("import", out / "book.jsonl", "--data", tmp_path / "new")
    assert "photos: 2 new" in said
    assert kept(tmp_path / "new") == sorted(IMAGES)
    # Again: nothing is new, and nothing is wrong.
    run("import", out / "book.jsonl", "--data", tmp_path / "new")
    assert kept(tmp_path / "new") == sorted(IMAGES)


def test_a_single_file_says_how_many_photos_are_lacking(data, tmp_path):
    out = tmp_path / "book.jsonl"
    assert "photos that are not in it: 2" in run("export", out, "--data", data)
    assert not (tmp_path / photo_files.FOLDER).exists()
    run("import", out, "--data", tmp_path / "new")
    assert kept(tmp_path / "new") == []
    # They are taken once somebody puts them beside it.
    (tmp_path / photo_files.FOLDER).mkdir()
    (tmp_path / photo_files.FOLDER / "a.jpg").write_bytes(IMAGES[0])
    (tmp_path / photo_files.FOLDER / "holiday.jpg").write_bytes(image("of nothing here"))
    assert "photos: 1 new" in run("import", out, "--data", tmp_path / "new")
    assert kept(tmp_path / "new") == IMAGES[:1]


def test_a_phones_file_has_the_photos_inside(page, tmp_path):
    file = tmp_path / "phone.json"
    inside = [{"data": base64.b64encode(one).decode()} for one in IMAGES]
    file.write_text(json.dumps({**LAYOUT, "entries": page.entries, "photos": inside}))
    assert "photos: 2 new" in run("import", file, "--data", tmp_path / "new")
    assert kept(tmp_path / "new") == sorted(IMAGES)
