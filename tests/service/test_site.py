"""``bothends site``: a public copy for any static host, with nothing of the shop in it."""

import json
import re

import packed
import pytest

import bothends
from bothends.service import precache
from bothends.service.command import main
from bothends.service.http.guard import POLICY
from bothends.service.settings import Settings
from bothends.service.site.listing import hash_of, sum_of
from bothends.service.site.public import MARK, ForeignFolderError, Public, write

pytestmark = pytest.mark.slow


def files_of(folder):
    """Every file below a folder by its path, with its bytes."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture(scope="module", autouse=True)
def stripped_once(tmp_path_factory):
    """What the first copy takes out of the front end's files is kept for the others here: the same bytes again."""
    with pytest.MonkeyPatch.context() as patch:
        packed.keep(tmp_path_factory.mktemp("packed"), patch.setattr)
        yield


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    """A copy as the command writes it."""
    folder = tmp_path_factory.mktemp("public") / "site"
    assert main(["site", str(folder)]) == 0
    return folder


def small(tmp_path, **files):
    """The public copy of a small front end."""
    web = tmp_path / "web"
    for name, text in {"index.html": '<html lang="en">\n<a href="/app.js">', **files}.items():
        path = web / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return Public(Settings(web=web))


@pytest.fixture(scope="module")
def tiny(tmp_path_factory):
    """The public copy of a front end of two files."""
    return small(tmp_path_factory.mktemp("tiny"), **{"app.js": "1;\n"})


def test_the_copys_own_list_has_the_sum_of_every_file_that_it_wrote(copy):
    text = (copy / "assets.js").read_text()
    listed = json.loads(text[text.index("{") : text.rindex(";")])
    sums = {**listed["files"], **listed["soon"], **listed["later"]}
    written = files_of(copy)
    assert {path.removeprefix("/") or "index.html" for path in sums} <= set(written)
    for path, told in sums.items():
        assert told == sum_of(written[path.removeprefix("/") or "index.html"]), path
    unlisted = set(written) - {path.removeprefix("/") or "index.html" for path in sums}
    assert all(
        name in ("sw.js", "assets.js", MARK) or name.endswith((".png", ".txt")) for name in unlisted
    ), unlisted


def test_no_address_in_the_copys_page_and_manifest_leaves_its_folder(copy):
    page = (copy / "index.html").read_text()
    addresses = re.findall(r'(?:href|src)="([^"]*)"', page)
    assert {"./app.js", "./visit.js", "./style/theme.css"} <= set(addresses)
    assert all(address.startswith(("./", "#")) for address in addresses), addresses
    told = json.loads((copy / "manifest.webmanifest").read_text())
    assert (told["start_url"], told["scope"], "id" in told) == ("./", "./", False)
    assert all((copy / icon["src"]).is_file() for icon in told["icons"])


def test_the_copys_page_says_that_no_shop_is_behind_it_and_keeps_the_policy_of_the_shops(copy):
    page = (copy / "index.html").read_text()
    assert f'<html lang="en" data-copy="{bothends.__version__}">' in page
    policy = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)
    assert policy == [POLICY.replace("frame-ancestors 'none'; ", "")]
    # The policy counts for what stands after it only.
    assert page.index("Content-Security-Policy") < page.index("<script")


def test_nothing_of_a_shop_or_of_this_machine_is_in_the_copy(copy, tmp_path):
    again = tmp_path / "elsewhere"
    assert main(["site", str(again)]) == 0
    assert files_of(copy) == files_of(again)
    written = files_of(copy)
    assert not [name for name in written if "demo/" in name or name.endswith((".jsonl", ".sqlite3", ".pem"))]
    told = b"".join(written.values())
    assert str(tmp_path).encode() not in told
    assert str(copy).encode() not in told


def test_a_folder_of_somebody_elses_is_refused_with_the_remedy_and_left_as_it_was(tmp_path, capsys):
    (tmp_path / "mine.txt").write_text("mine")
    assert main(["site", str(tmp_path)]) == 2
    told = capsys.readouterr().err
    assert str(tmp_path) in told
    assert "name a new folder" in told
    assert files_of(tmp_path) == {"mine.txt": b"mine"}


@pytest.mark.parametrize("mark", ["", "{}", '{"format": "another", "files": []}', "[]", '{"format": 1}'])
def test_a_mark_that_is_not_ours_does_not_open_a_folder(tmp_path, tiny, mark):
    (tmp_path / MARK).write_text(mark)
    with pytest.raises(ForeignFolderError):
        write(tmp_path, tiny)
    assert (tmp_path / MARK).read_text() == mark


def test_a_file_in_place_of_the_folder_is_refused(tmp_path, tiny):
    (tmp_path / "site").write_text("a file")
    with pytest.raises(ForeignFolderError):
        write(tmp_path / "site", tiny)


def test_written_again_the_copy_is_renewed_and_what_others_put_beside_it_stays(tmp_path):
    site = tmp_path / "site"
    write(site, small(tmp_path / "one", **{"app.js": "1;\n", "old.js": "2;\n"}))
    (site / "CNAME").write_text("host.example")
    write(site, small(tmp_path / "two", **{"app.js": "3;\n"}))
    found = files_of(site)
    assert found["app.js"] == b"3;\n"
    assert "old.js" not in found
    assert found["CNAME"] == b"host.example"
    assert json.loads(found[MARK])["files"] == sorted(set(found) - {MARK, "CNAME"})


def test_a_copy_that_was_broken_off_is_written_to_its_end_the_next_time(tmp_path, tiny, monkeypatch):
    site, of = tmp_path / "site", tiny
    real = type(site).write_bytes
    count = iter(range(9))

    def write_bytes(path, body):
        if next(count) == 2:
            raise OSError(28, "No space left on device")
        return real(path, body)

    monkeypatch.setattr(type(site), "write_bytes", write_bytes)
    with pytest.raises(OSError, match="No space"):
        write(site, of)
    monkeypatch.undo()
    write(site, of)
    assert set(files_of(site)) == {*of.names(), MARK}


def test_whatever_a_mark_names_nothing_outside_of_its_folder_is_taken_away(tmp_path, tiny):
    (tmp_path / "beside.txt").write_text("stays")
    (tmp_path / "site" / "mine").mkdir(parents=True)
    site, of = tmp_path / "site", tiny
    names = ["../beside.txt", str(tmp_path / "beside.txt"), "..", "", ".", "mine", "../site/gone.js"]
    (site / MARK).write_text(json.dumps({**of.mark(), "files": names}))
    (site / "gone.js").write_text("2;")
    write(site, of)
    assert (tmp_path / "beside.txt").read_text() == "stays"
    assert (site / "mine").is_dir()
    assert not (site / "gone.js").exists()


def test_the_mark_says_of_which_version_of_the_app_the_copy_was_made(copy):
    told = json.loads((copy / MARK).read_text())
    assert (told["version"], told["of"]) == (bothends.__version__, hash_of(precache.text()))
