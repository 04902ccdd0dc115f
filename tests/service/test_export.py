"""GET /api/export and the commands export, import and demo, on real servers and real folders."""

import csv
import gzip
import io
import json

import httpx
import pytest
from book.pages import Page, an_id
from service.shop import shop
from warm import Process, run

from bothends.book import season, simulated
from bothends.book.store import Store, glance
from bothends.service.cli.home import demo_home

CSV = {"Accept": "text/csv"}


def a_job(title="Gannet, Maren"):
    page = Page()
    page.write("job", {"title": title, "owner": "Maren", "car": "Gannet roadster"})
    page.write("target", {"left_mm": 250.0, "right_mm": 250.0})
    page.heights(214.0, 222.0)
    return page.entries


@pytest.fixture
def garage(running, tmp_path):
    with shop(running, tmp_path / "book") as open_shop:
        open_shop.push(*a_job())
        yield open_shop


@pytest.mark.parametrize("table", ["jobs", "readings", "moves", "teardowns"])
def test_a_table_comes_as_csv_and_as_json_with_the_same_headings(garage, table):
    reply = garage.client.get(f"/api/export/{table}", headers=CSV)
    assert reply.headers["content-type"] == "text/csv; header=present; charset=utf-8"
    assert (reply.headers["cache-control"], reply.headers["vary"]) == ("no-store", "Accept")
    heading, *rows = csv.reader(io.StringIO(reply.text, newline=""))
    found = garage.get(f"/api/export/{table}")
    assert [column["name"] for column in found["columns"]] == heading
    assert len(found["rows"]) == len(rows) == {"jobs": 1, "readings": 2, "moves": 0, "teardowns": 1}[table]
    assert found["simulated"] is False


def test_the_whole_book_goes_into_another_shop_by_its_entries(garage, running, tmp_path):
    reply = garage.client.get("/api/export/book")
    assert reply.headers["content-type"].startswith("application/jsonl")
    head, *rows = (json.loads(line) for line in reply.text.splitlines())
    assert (head["format"], head["version"], head["lines"]) == ("bothends-log", 1, 4)
    assert rows == a_job()
    with shop(running, tmp_path / "other") as other:
        assert {row["status"] for row in other.push(*rows)} == {"stored"}
        assert {row["status"] for row in other.push(*rows)} == {"known"}
        assert other.client.get("/api/export/book").text.splitlines()[1:] == reply.text.splitlines()[1:]


def test_export_is_for_paired_devices_and_knows_its_tables(garage):
    for name in ("book", "jobs"):
        assert garage.guest.get(f"/api/export/{name}").json()["code"] == "no-key"
    for address in ("/api/export/varnish", "/api/export/jobs?since=yesterday"):
        problem = garage.client.get(address)
        assert (problem.status_code, problem.json()["code"]) == (400, "bad-parameter")


def test_a_disk_without_room_is_told(garage, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("bothends.service.api.export.tempfile.TemporaryFile", full)
    reply = garage.client.get("/api/export/jobs")
    assert (reply.status_code, reply.json()["code"]) == (507, "no-room")


def test_health_says_whether_the_book_is_simulated(garage):
    assert garage.guest.get("/api/health").json()["simulated"] is False
    garage.store.write(simulated.mark)
    assert garage.guest.get("/api/health").json()["simulated"] is True
    assert garage.get("/api/export/jobs")["simulated"] is True


@pytest.mark.slow
def test_the_commands_work_beside_a_running_server(serve, tmp_path):
    server = serve("--demo", "--no-browser", "--data", str(tmp_path / "book"))
    data = ("--data", tmp_path / "book")
    done = run("export", tmp_path / "out", *data, anew=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "book.jsonl", "jobs.csv", "jobs.json", "moves.csv", "moves.json", "readings.csv", "readings.json",
        "teardowns.csv", "teardowns.json",
    ]  # fmt: skip
    assert len((tmp_path / "out" / "jobs.csv").read_text().splitlines()) == 1 + 4
    again = run("export", tmp_path / "out", *data)
    assert (again.returncode, "there already" in again.stderr) == (2, True)

    assert run("export", tmp_path / "book.jsonl.gz", *data).returncode == 0
    packed = gzip.decompress((tmp_path / "book.jsonl.gz").read_bytes()).splitlines()
    assert packed[1:] == (tmp_path / "out" / "book.jsonl").read_bytes().splitlines()[1:]
    one = run("export", tmp_path / "heights.csv", "--table", "readings", "--until", "2026-03-31", *data)
    assert (one.returncode, one.stderr) == (0, "")
    assert b"body_height_mm" in (tmp_path / "heights.csv").read_bytes()
    assert run("export", tmp_path / "some.csv", *data).returncode == 2
    assert run("export", tmp_path / "some.ods", *data).returncode == 2

    known = run("import", tmp_path / "book.jsonl.gz", *data, anew=True)
    assert (known.returncode, f"0 records new, {len(packed) - 1} known" in known.stdout) == (0, True)
    (tmp_path / "more.json").write_text(
        json.dumps({"format": "bothends-log", "version": 1, "entries": [*a_job("Knot"), {"id": "x"}]})
    )
    more = run("import", tmp_path / "more.json", *data)
    assert (more.returncode, "4 records new, 0 known already, 1 refused" in more.stdout) == (1, True)
    assert "line 5" in more.stderr
    (code,) = [line.split()[2].rstrip(":") for line in server.said.splitlines() if "Pairing code" in line]
    reply = httpx.post(f"{server.address}/api/devices", json={"code": code, "name": "pc"}, trust_env=False)
    key = {"Authorization": f"Bearer {reply.json()['key']}"}
    found = httpx.get(f"{server.address}/api/jobs?query=knot", headers=key, trust_env=False).json()["jobs"]
    assert "Knot" in [job["title"] for job in found]


@pytest.mark.slow
def test_commands_without_a_book_or_a_file_say_what_to_do(tmp_path):
    done = run("export", tmp_path / "out", "--data", tmp_path / "none")
    assert (done.returncode, "no shop database" in done.stderr) == (2, True)
    done = run("import", tmp_path / "none.jsonl", "--data", tmp_path / "book")
    assert (done.returncode, "none.jsonl" in done.stderr) == (1, True)
    (tmp_path / "list.csv").write_text("id,title\n")
    done = run("import", tmp_path / "list.csv", "--data", tmp_path / "book")
    assert (done.returncode, "not an export of this program" in done.stderr) == (2, True)
    assert "Traceback" not in done.stderr


def start_demo(data):
    """``bothends demo`` until it says where it is, and its health; then stopped."""
    with Process(["demo", "--http", "--port", "0", "--no-browser", "--data", str(data)]) as demo:
        try:
            address = next(word for line in demo.stdout for word in line.split() if word.startswith("http"))
            return httpx.get(f"{address.rstrip('.')}api/health", trust_env=False).json()
        finally:
            demo.terminate()


@pytest.mark.slow
def test_demo_serves_the_season_from_a_folder_of_its_own_twice_the_same(tmp_path):
    assert start_demo(tmp_path / "demo")["simulated"] is True
    count = len(season.entries())
    assert glance(tmp_path / "demo", lambda db: db["entries"].count) == count
    assert start_demo(tmp_path / "demo")["simulated"] is True
    assert glance(tmp_path / "demo", lambda db: db["entries"].count) == count


@pytest.mark.slow
def test_demo_refuses_a_book_with_other_content_and_leaves_it_alone(tmp_path):
    with Store(tmp_path / "own") as own:
        own.write(lambda db: season.log.append(db, [Page(job=an_id(3)).reading(1.0)]))
    done = run("demo", "--http", "--no-browser", "--data", tmp_path / "own")
    assert (done.returncode, "another folder" in done.stderr) == (2, True)
    assert glance(tmp_path / "own", lambda db: (db["entries"].count, simulated.marked(db))) == (1, False)


@pytest.mark.slow
def test_demo_never_takes_the_user_s_own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    done = run("demo", "--http", "--no-browser", "--data", tmp_path / "bothends")
    assert (done.returncode, "another folder" in done.stderr) == (2, True)
    assert not (tmp_path / "bothends").exists()
    assert demo_home(tmp_path / "bothends") == tmp_path / "bothends-demo"
