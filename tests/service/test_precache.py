"""The list of files that the phone keeps says what is served, or this fails."""

import functools
import json
import re
import shutil
from collections.abc import Iterator

import pytest

from bothends.model import beliefs, fields
from bothends.service import precache
from bothends.service.settings import Settings
from bothends.service.site import bare, facts, front, listing, places, teardown


@pytest.fixture(scope="module", autouse=True)
def bare_once() -> Iterator[None]:
    """Comments are taken out of a text once for all of these: the same text always comes to the same."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(front, "bare", functools.cache(bare.bare))
        patch.setattr(front, "bare_page", functools.cache(bare.bare_page))
        yield


@functools.cache
def listed() -> dict:
    """The list as it should be."""
    text = precache.text()
    return json.loads(text[text.index("{") : text.rindex(";")])


def test_the_committed_list_is_the_one_the_script_writes():
    committed = (places.web() / listing.LIST).read_text(encoding="utf-8")
    assert committed == precache.text(), "run python -m bothends.service.precache and commit web/assets.js"


def test_the_pages_table_of_facts_is_the_models():
    committed = (places.web() / facts.PATH).read_text(encoding="utf-8")
    assert committed == facts.text(), "run python -m bothends.service.precache and commit web/model/facts.js"


def test_the_pages_headings_of_a_teardown_are_those_of_the_tables():
    committed = (places.web() / teardown.PATH).read_text(encoding="utf-8")
    assert committed == teardown.text(), (
        f"run python -m bothends.service.precache and commit web/{teardown.PATH}"
    )


def test_a_bound_a_default_and_a_belief_changed_in_the_table_change_what_the_page_shows(monkeypatch):
    monkeypatch.setattr(fields.field("car.bar.diameter_mm"), "high", 91.0)
    monkeypatch.setattr(fields.field("target.tolerance_mm"), "default", 7.0)
    monkeypatch.setitem(beliefs.BELIEVED, "car.limits.bump_mm", (61.0, 21.0))
    monkeypatch.setattr(fields.kind("body-height"), "sd", 2.5)
    lines = dict(
        line.strip().rstrip(",").split(": ", 1) for line in facts.text().splitlines() if line[:3] == '  "'
    )
    assert json.loads(lines['"car.bar.diameter_mm"'])["high"] == 91
    assert json.loads(lines['"target.tolerance_mm"'])["default"] == 7
    assert json.loads(lines['"target.tolerance_mm"'])["assumed"] == "7 mm"
    assert json.loads(lines['"car.limits.bump_mm"'])["assumed"] == "61 ± 21 mm"
    assert json.loads(lines['"body-height"'])["sd"] == 2.5


def test_the_page_names_the_modules_of_its_first_screen_and_no_others():
    committed = (places.web() / listing.PAGE).read_text(encoding="utf-8")
    assert committed == precache.page(), "run python -m bothends.service.precache and commit web/index.html"
    named = re.findall(r'rel="modules" href="/([^"]+)"', committed)
    assert {"context.js", "screens/jobs.js", "vendor/idb.mjs"} <= set(named)
    assert not {"screens/gauge.js", "screens/reading.js", "screens/target.js", "app.js"} & set(named)


def test_the_page_has_the_words_of_the_first_screen_from_where_the_screen_has_them(tmp_path):
    committed = (places.web() / listing.PAGE).read_text(encoding="utf-8")
    words = precache.words(front.Files(Settings()))
    placed = re.findall(r'data-word="(\w+)">([^<]+)<', committed)
    assert sorted(placed) == sorted(words.items())
    assert {"No open jobs", "New job"} <= set(words.values())
    (tmp_path / "work").mkdir()
    (tmp_path / listing.PAGE).write_text('<h1 class="x" data-word="none">No open jobs</h1>')
    (tmp_path / precache.WORDS).write_text('export const FIRST = {\n  none: "Nothing yet",\n};\n')
    assert precache.page(Settings(web=tmp_path)) == '<h1 class="x" data-word="none">Nothing yet</h1>'


def test_what_the_page_and_its_first_screen_ask_for_is_kept_from_the_first_load():
    found = listed()
    committed = (places.web() / listing.PAGE).read_text(encoding="utf-8")
    named = set(re.findall(r'(?:href|src)="(/[^"]+\.(?:js|mjs|css|svg|webmanifest))"', committed))
    assert {"/visit.js", "/app.js", "/style/shell.css", "/style/plan.css"} <= named <= set(found["files"])
    files = front.Files(Settings())
    asked: set[str] = set()
    for name in listing.modules(files):
        if name != listing.FIRST:
            path = places.web() / name
            asked |= {
                (path.parent / target).resolve().relative_to(places.web()).as_posix()
                for target in re.findall(r'\bimport\("([^"]+)"\)', path.read_text(encoding="utf-8"))
            }
    # What is new needs another writer, a search many jobs, fetching one by one a large book, the rail a wide one,
    # photos a photo, what takes words out a customer who was erased, putting the start page by a job; the groups of
    # files and of the PC come with their screens.
    after = {
        "book/all.js",
        "book/erasing.js",
        "book/like.js",
        "book/photos.js",
        "book/whole.js",
        "context/files.js",
        "context/pc.js",
        "context/photos.js",
        "screens/jobs-kept.js",
        "screens/jobs-news.js",
        "screens/jobs-search.js",
        "screens/list-rail.js",
        "shop/fetch.js",
        "shop/pc/unsettled.js",
        "work/erased-words.js",
        "work/news.js",
    }
    kept = {name for name in asked if not name.startswith(listing.LATER)} - after
    assert {
        "context/rest.js",
        "screens/jobs-cards.js",
        "screens/jobs-foot.js",
    } <= kept
    assert {f"/{name}" for name in kept} <= set(found["files"])


@pytest.mark.slow
def test_a_check_names_what_is_out_of_date_and_writes_nothing(tmp_path, monkeypatch, capsys):
    web = tmp_path / "web"
    shutil.copytree(places.web(), web, ignore=shutil.ignore_patterns("node_modules"))
    monkeypatch.setattr(places, "web", lambda: web)
    assert precache.main(["--check"]) == 0
    (web / facts.PATH).write_text("changed\n")
    assert precache.main(["--check"]) == 1
    assert facts.PATH in capsys.readouterr().err
    assert (web / facts.PATH).read_text() == "changed\n"
    assert precache.main(["--chek"]) == 2


def test_everything_the_app_needs_offline_is_in_the_list():
    files = listed()["files"]
    assert {"/", "/app.js", "/manifest.webmanifest", "/vendor/micropython.wasm"} <= set(files)
    assert {"/py/source.json", "/model/facts.js"} <= set(files)
    assert "/py/bench.json" in listed()["later"]


def test_what_no_first_plan_needs_comes_after_the_first_load():
    found = listed()
    assert {"/screens/teardown.js", "/screens/settings.js", "/vendor/fflate.mjs"} <= set(found["soon"])
    first = {
        "/screens/ask.js",
        "/screens/plan.js",
        "/screens/plan-folds.js",
        "/model/worker.js",
        "/style/work.css",
    }
    assert first <= set(found["files"])
    assert not set(found["soon"]) & {*found["files"], *found["later"]}


def test_the_worker_its_list_and_the_tools_beside_the_app_are_not_in_the_list():
    files = listed()["files"]
    assert [f for f in files if f.endswith((".md", ".txt", ".br", ".py"))] == []
    assert not {"/sw.js", "/assets.js", "/index.html"} & set(files)


def test_any_change_of_a_file_or_of_the_worker_is_another_version(tmp_path):
    hashes = set()
    for page, worker in (("a", "1"), ("b", "1"), ("a", "2")):
        (tmp_path / "index.html").write_text(page)
        (tmp_path / "sw.js").write_text(worker)
        text = precache.text(Settings(web=tmp_path))
        assert text == precache.text(Settings(web=tmp_path))
        hashes.add(json.loads(text[text.index("{") : text.rindex(";")])["hash"])
    assert len(hashes) == 3


def test_what_only_the_shops_pc_needs_is_kept_later_and_changes_the_version_all_the_same(tmp_path):
    (tmp_path / "screens" / "shop").mkdir(parents=True)
    page = tmp_path / "screens" / "shop" / "proof.js"
    hashes = set()
    for content in ("1", "2"):
        page.write_text(content)
        text = precache.text(Settings(web=tmp_path))
        found = json.loads(text[text.index("{") : text.rindex(";")])
        assert set(found["later"]) == {"/py/bench.json", "/screens/shop/proof.js"}
        assert "/screens/shop/proof.js" not in found["files"]
        hashes.add(found["hash"])
    assert len(hashes) == 2


def test_the_list_reads_files_through_what_serves_them():
    files = front.Files(Settings())
    for path in listed()["files"]:
        assert files.find(path.removeprefix("/")) is not None
