"""Search and order of jobs on a device without the shop (web/work/pc/job-order.js) against those of the book."""

import json
import subprocess
from pathlib import Path

import pytest

from book.pages import Page, an_id
from bothends.book import folded, jobs, log
from bothends.book.store import Store

MODULE = Path(__file__).resolve().parents[2] / "web/work/pc/job-order.js"
CARS = ("Gannet roadster", "plover utility", "Knot camper", "gannet coupe", "")
OWNERS = ("Maren", "tove", "Marius", "")
WISHES = ("level, 20 mm up", "50_50 100%", "")
FILTERS = [
    {},
    {"query": "ROADSTER maren"},
    {"query": "0_5 0%"},
    {"query": "%"},
    {"car": "gannet"},
    {"car": "gannet roadster / maren"},
    {"owner": "mar"},
    {"state": "open"},
    {"state": "closed"},
    {"state": "measuring", "owner": "T"},
    {"since": "2026-01-05"},
    {"until": "2026-01-05"},
    {"since": "2026-01-03", "until": "2026-01-09"},
]
SCRIPT = f"""
import fs from "node:fs";
const {{ compared, fits }} = await import({json.dumps(MODULE.as_uri())});
const {{ rows, asked }} = JSON.parse(fs.readFileSync(0, "utf8"));
const order = (one) =>
  rows.filter((row) => fits(row, one)).sort((a, b) => compared(a, b, one)).map(({{ job }}) => job);
process.stdout.write(JSON.stringify(asked.map(order)));
"""


@pytest.fixture
def book(tmp_path):
    """A book of twenty jobs, each a day after the one before; some with heights, some handed over, some alike."""
    with Store(tmp_path) as store:
        for number in range(1, 21):
            page = Page(job=an_id(number), first=1000 * number)
            card = {"car": CARS[number % 5], "owner": OWNERS[number % 4], "wish": WISHES[number % 3]}
            page.write("job", {"title": f"job {number % 7}", **card})
            if number % 3:
                for side, value in (("left", 200.0 + number % 4), ("right", 210.0 - number % 5)):
                    page.write("reading", {"what": "body-height", "side": side, "value": value})
            if number % 6 == 0:
                page.write("close", {})
            for entry in page.entries:
                entry["at"] = f"2026-01-{number:02d}{entry['at'][10:]}"
            store.write(lambda db, p=page: log.append(db, p.entries))
        folded.catch_up(store.read, store.write)
        yield store


def test_a_device_without_the_shop_finds_and_orders_jobs_as_the_book_does(book):
    orders = [{"sort": sort, "order": order} for sort in jobs.SORTS for order in ("up", "down")]
    asked = [{**orders[i % len(orders)], **one} for i, one in enumerate(FILTERS)] + orders
    rows = book.read(lambda db: jobs.listed(db, limit=100))
    done = subprocess.run(
        ["node", "--input-type=module", "-e", SCRIPT],
        input=json.dumps({"rows": rows, "asked": asked}),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    for one, device in zip(asked, json.loads(done.stdout), strict=True):
        how = {name: value for name, value in one.items() if name != "order"}
        found = book.read(
            lambda db, how=how, o=one: jobs.listed(db, **how, down=o["order"] == "down", limit=100)
        )
        assert device == [row["job"] for row in found], one
    assert {len(rows), len(json.loads(done.stdout)[0])} == {20}
