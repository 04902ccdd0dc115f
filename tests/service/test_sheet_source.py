"""The sheet's source over HTTP, for the phone's interpreter, and the list of everything that is served."""

import pytest

from bothends.service.app import create_app
from bothends.service.settings import Settings
from bothends.service.site import front, places
from bothends.service.site.bare import bare


@pytest.fixture
def site(running):
    """A client of a server that keeps no book."""
    with running(create_app(Settings())) as client:
        yield client


@pytest.mark.slow(seconds=2)
def test_the_phone_gets_the_files_that_make_the_sheet_bare_and_may_read_them_whole(site):
    whole, bench, both = (site.get(f"/py/{name}.json").json() for name in ("source", "bench", "both"))
    # What only the bench needs, or only a car of two such axles, comes in a pack of its own, and only there.
    assert set(bench) == {"model/column.py", "model/refit.py", "model/what_if.py"}
    assert set(both) == {f"model/{name}.py" for name in ("beside", "both_axles", "opposite", "pairs")}
    assert not set(whole) & {*bench, *both}
    assert {*whole, *bench, *both} == {
        f"{folder}/{path.name}"
        for folder, root in (("model", places.MODEL), ("book/sheet", places.SHEET))
        for path in root.glob("*.py")
    }
    for name in (path.name for path in places.SHEET.glob("*.py")):
        assert whole[f"book/sheet/{name}"] == bare((places.SHEET / name).read_text(encoding="utf-8"))
        assert site.get(f"/py/book/sheet/{name}").content == (places.SHEET / name).read_bytes()


def test_no_other_source_of_the_book_is_handed_out(site):
    for path in ("py/book/store.py", "py/book/sheet/../store.py", "py/service/app.py"):
        assert site.get(f"/{path}").status_code == 404


@pytest.mark.slow(seconds=2)
def test_every_path_that_is_listed_is_served(site):
    files = front.Files(Settings())
    names = files.names()
    assert names == sorted(set(names))
    assert {
        "index.html",
        "py/model/solve.py",
        "py/source.json",
        "py/bench.json",
        "py/both.json",
        "vendor/micropython.wasm",
    } <= {*names}
    for name in names:
        assert files.find(name) is not None
