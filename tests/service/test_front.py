"""Files over HTTP: the page, its parts, the model's source; updates arrive, and nothing else gets out."""

import gzip
import os
import threading

import brotli
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.service.app import create_app
from bothends.service.settings import Settings
from bothends.service.site import places
from bothends.service.site.static_files import StaticFiles, beside


@pytest.fixture
def web(tmp_path):
    """A small front end beside a file that is none of its business."""
    folder = tmp_path / "web"
    (folder / "parts").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><title>Jobs</title>")
    (folder / "parts" / "arm.js").write_text("export const arm = 1;\n" * 100)
    (folder / "notes.docx").write_text("not for the web")
    (folder / "types.d.ts").write_text("export type Arm = number;\n")
    (folder / ".hidden.js").write_text("no")
    (tmp_path / "secret.json").write_text("{}")
    return folder


@pytest.fixture
def site(running, web):
    """A client of a server of that front end."""
    with running(create_app(Settings(web=web))) as client:
        yield client


def test_the_page_is_at_the_root(site):
    reply = site.get("/")
    assert reply.headers["content-type"] == "text/html; charset=utf-8"
    assert reply.text == site.get("/index.html").text == "<!doctype html><title>Jobs</title>"
    assert site.head("/").status_code == 200


@pytest.mark.parametrize("coding", ["br", "gzip"])
def test_a_part_is_served_with_its_type_and_packed_where_wanted(site, web, coding):
    reply = site.get("/parts/arm.js", headers={"accept-encoding": coding})
    assert reply.headers["content-type"] == "text/javascript; charset=utf-8"
    assert reply.headers["content-encoding"] == coding
    assert reply.headers["vary"] == "Accept-Encoding"
    plain = site.get("/parts/arm.js", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    # The client unpacks: what it has is the file.
    assert reply.content == plain.content == (web / "parts" / "arm.js").read_bytes()
    assert reply.headers["etag"] != plain.headers["etag"]


def test_of_two_codings_the_smaller_is_sent(site):
    reply = site.get("/parts/arm.js", headers={"accept-encoding": "gzip, deflate, br, zstd"})
    assert reply.headers["content-encoding"] == "br"


def test_the_packed_form_beside_a_large_file_is_that_very_file():
    for ready in places.web().rglob("*.br"):
        assert brotli.decompress(ready.read_bytes()) == ready.with_suffix("").read_bytes()
        assert StaticFiles(places.web()).get(ready.relative_to(places.web()).as_posix()) is None


def test_an_update_arrives_at_the_next_load_and_nothing_is_sent_twice(site, web):
    first = site.get("/")
    assert first.headers["cache-control"] == "no-cache"
    again = site.get("/", headers={"if-none-match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    (web / "index.html").write_text("<!doctype html><title>New</title>")
    os.utime(web / "index.html", ns=(1, 1))
    update = site.get("/", headers={"if-none-match": first.headers["etag"]})
    assert update.status_code == 200
    assert "New" in update.text


@pytest.mark.parametrize(
    "address",
    ["/../secret.json", "/%2e%2e/secret.json", "/parts/..%2f..%2fsecret.json", "/parts%5c..%5c..%5csecret.json",
     "//secret.json", "/notes.docx", "/types.d.ts", "/.hidden.js", "/parts", "/parts/", "/index.html/",
     "/C:/secret.json", "/py/model/../../service/app.py", "/py/model/%2e%2e%2f__init__.py",
     "/py/model/__pycache__/solve.py"],
)  # fmt: skip
def test_nothing_outside_the_front_end_is_served(site, address):
    # Sent raw: a client of good manners would tidy the path before sending.
    assert site.get(site.base_url.copy_with(raw_path=address.encode())).status_code == 404


def test_the_models_source_is_served_as_it_is(site):
    for name in sorted(p.name for p in places.MODEL.glob("*.py")):
        reply = site.get(f"/py/model/{name}")
        assert reply.headers["content-type"] == "text/x-python; charset=utf-8"
        assert reply.content == (places.MODEL / name).read_bytes()


def test_a_link_out_of_the_folder_is_not_followed(web):
    (web / "out.json").symlink_to(web.parent / "secret.json")
    assert StaticFiles(web).get("out.json") is None


@pytest.mark.slow
@given(st.text(max_size=30))
def test_no_name_leads_out_of_the_folder(name):
    path = StaticFiles(places.MODEL).find(name)
    assert path is None or path.is_relative_to(places.MODEL)


def test_who_asks_first_waits_for_no_small_packing_and_has_the_file_still_once_it_is_packed_small(site):
    ask = {"accept-encoding": "br"}
    first = site.get("/parts/arm.js", headers=ask)
    # Whatever is to be done beside is done in its turn.
    done = threading.Event()
    beside(done.set)
    assert done.wait(60)
    small = site.get("/parts/arm.js", headers=ask)
    assert small.headers["etag"] != first.headers["etag"]
    assert small.content == first.content
    for etag in (first.headers["etag"], small.headers["etag"]):
        assert site.get("/parts/arm.js", headers={**ask, "if-none-match": etag}).status_code == 304


def test_packing_is_the_same_every_time(web):
    files = StaticFiles(web)
    asset = files.get("parts/arm.js")
    assert brotli.decompress(asset.packed("br")) == asset.body
    assert gzip.decompress(asset.packed("gzip")) == asset.body
    assert asset.coded("identity")[:2] == ("", asset.body)
    assert files.get("parts/arm.js") is asset
