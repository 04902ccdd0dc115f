"""A phone of a shop with a large book holds open jobs and those that somebody opened, each of them whole."""

import json

import pytest
from browser.books import job as season_job

pytestmark = pytest.mark.same_page

LEAP = 30
"""A book with more entries than this is large here."""
OPEN, CLOSED = 2, 6
WHOLE = """
    const all = await base.transact(["jobs"], "readonly", (tx) => tx.store.getAll());
    return all.filter(({whole}) => whole).map(({job}) => job).sort();
"""


def jobs():
    """Two open jobs and six that were handed over long ago, oldest first."""
    closed = [season_job(number, state="closed") for number in range(1, CLOSED + 1)]
    return [*closed, *(season_job(number) for number in range(CLOSED + 1, CLOSED + OPEN + 1))]


@pytest.fixture
def large(shop, gate_to):
    """A shop with a book that is large, its gate and its jobs; jobs worked on last are none but the open ones."""
    gate = gate_to(shop)
    for name, old, new in (
        ("cursor.js", "export const LEAP = 2000;", f"export const LEAP = {LEAP};"),
        ("fetch.js", "const RECENT = 40;", "const RECENT = 1;"),
    ):
        text = (shop.web / "shop" / name).read_text(encoding="utf-8")
        assert old in text
        gate.files[f"/shop/{name}"] = text.replace(old, new).encode()
    made = jobs()
    for one in made:
        told = shop.ask("POST", "/api/entries", {"entries": one.entries})
        assert {row["status"] for row in told["rows"]} == {"stored"}
    return shop, gate, made


@pytest.fixture
def phone(large, phones):
    """A new phone of that shop, after its first round."""
    made = phones(large[1])
    made.pair(large[0])
    told = made.sync()
    assert "error" not in told, told
    return made


def held(phone, job):
    """Ids of the entries of a job that are on the phone."""
    return phone.js("return (await log.entries(arg)).map(({id}) => id);", job.job)


def there(job):
    return [entry["id"] for entry in job.entries]


def test_a_new_phone_gets_the_open_jobs_whole_and_none_of_the_others_by_half(phone, large):
    _, _, made = large
    for one in made[CLOSED:]:
        assert held(phone, one) == there(one)
    assert all(held(phone, one) == [] for one in made[:CLOSED])
    assert phone.js(WHOLE) == sorted(one.job for one in made[CLOSED:])
    # The next round goes on from the end of the book.
    told = phone.sync()
    assert (told["pushed"], told["pulled"]) == (0, 0)
    assert phone.js('return (await base.recall("sync")).after;') == len(large[0].ids())


def test_an_old_job_is_found_at_the_shop_fetched_whole_and_stays_in_step(phone, large):
    shop, _, made = large
    found = phone.js("return fetching.findAtShop(arg);", "job 3")
    assert [row["job"] for row in found["rows"]] == [made[2].job]
    assert phone.js("return fetching.fetchJob(arg);", made[2].job) == "here"
    assert held(phone, made[2]) == there(made[2])
    later = made[2].write("note", {"text": "later"})
    shop.ask("POST", "/api/entries", {"entries": [later]})
    assert phone.sync()["pulled"] == 1
    assert held(phone, made[2]) == there(made[2])
    (own,) = phone.js('return log.append(arg, [["note", {text: "own"}]]);', made[2].job)
    assert phone.sync()["pushed"] == 1
    assert own["id"] in shop.ids()
    assert own["id"] > later["id"]


def test_an_entry_for_a_job_that_is_not_here_brings_all_of_it(phone, large):
    shop, _, made = large
    late = made[1].write("note", {"text": "recheck"})
    begun = season_job(50, state="measuring")
    shop.ask("POST", "/api/entries", {"entries": [late, *begun.entries]})
    phone.sync()
    assert held(phone, made[1]) == there(made[1])
    assert held(phone, begun) == there(begun)


def test_without_the_shop_a_job_that_is_there_is_said_to_be_there_and_not_written_to(phone, large):
    _, gate, made = large
    # A link brings a part of it.
    phone.js('await log.merge(arg, {came: "link"});', made[0].entries[:3])
    gate.mode = "502"
    assert phone.js("return fetching.fetchJob(arg);", made[0].job) == "away"
    assert phone.js("return fetching.findAtShop(arg);", "job 1")["away"]
    told = phone.js('return log.append(arg, [["note", {text: "half"}]]);', made[0].job)
    assert (told["name"], told["code"]) == ("NotKept", "away")
    gate.mode = "open"
    phone.sync()
    assert held(phone, made[0]) == there(made[0])
    assert phone.counts()["waiting"] == 0
    phone.js('await log.append(arg, [["note", {text: "whole"}]]);', made[0].job)


@pytest.mark.parametrize(
    "leaps", [False, pytest.param(True, marks=pytest.mark.long("an erasure that is read in its turn"))]
)
def test_the_card_of_a_job_that_is_not_here_loses_its_words_when_its_customer_is_erased(large, phones, leaps):
    shop, gate, made = large
    cut = phones(gate)
    cut.pair(shop)
    job = made[CLOSED].job
    gate.rule = lambda _, path, __: (502, {}, b"") if "&job=" in path else None
    cut.sync()
    cards = "return (await base.transact(['jobs'], 'readonly', (tx) => tx.store.get(arg)))?.card ?? null;"
    assert cut.js(cards, job)["text"].strip()
    if leaps:
        # Handed over and out of the shop's list meanwhile, and more came than a phone reads through.
        shop.ask("POST", "/api/entries", {"entries": [made[CLOSED].write("close", {"text": ""})]})
    shop.ask("POST", "/api/erasures", {"jobs": [job]})
    if leaps:
        later = [entry for number in range(70, 75) for entry in season_job(number, state="closed").entries]
        assert len(later) > LEAP
        shop.ask("POST", "/api/entries", {"entries": later})
    cut.sync()
    left = cut.js(cards, job)
    assert left is None or not left["text"].strip(), left
    gate.rule = lambda *_: None
    cut.sync()
    assert not (cut.js("return (await fold.sheetOf(arg)).sheet.owner;", job))


def test_a_fetch_that_is_cut_off_goes_on_with_the_next_round(large, phones):
    shop, gate, made = large
    cut = phones(gate)
    cut.pair(shop)
    gate.rule = lambda _, path, __: (502, {}, b"") if "&job=" in path else None
    assert cut.sync()["code"] == "server-trouble"
    # Their cards stand already.
    rows = cut.js("return shelf.shelves({open: 9, closed: 9});")["open"]["rows"]
    assert [row["card"]["name"] for row in rows if row["card"]]
    assert cut.js(WHOLE) == []
    gate.rule = lambda *_: None
    cut.sync()
    assert cut.js(WHOLE) == sorted(one.job for one in made[CLOSED:])


def test_a_phone_with_some_jobs_sends_all_it_has_to_another_book_and_holds_its_jobs_whole(phone, large):
    shop, gate, made = large
    phone.js("return fetching.fetchJob(arg);", made[0].job)
    (own,) = phone.readings(7)
    phone.sync()
    kept = {one.job: held(phone, one) for one in (made[0], *made[CLOSED:])}
    shop.stop()
    for left in shop.data.glob("book.sqlite3*"):
        left.unlink()
    # Another book, by the same devices.
    again = type(shop)(shop.data.parent, shop.web)
    try:
        gate.upstream = again.address
        other = season_job(60, state="closed")
        for one in (*made[1:4], other):
            again.ask("POST", "/api/entries", {"entries": one.entries})
        phone.pair(again)
        phone.sync()
        assert phone.counts()["waiting"] == 0
        known = set(again.ids())
        assert own["id"] in known
        for job, entries in kept.items():
            assert set(entries) <= known
            assert phone.js("return (await log.entries(arg)).map(({id}) => id);", job) == entries
        assert held(phone, other) in ([], there(other))
    finally:
        again.stop()
        shop.start()


def test_of_a_shop_of_before_a_phone_holds_everything(large, phones):
    shop, gate, made = large

    def older(method, path, body):
        if method != "GET" or not path.startswith("/api/entries?"):
            return None
        page = shop.ask("GET", path)
        page.pop("jobs")
        return 200, {"Content-Type": "application/json"}, json.dumps(page).encode()

    gate.rule = older
    phone = phones(gate)
    phone.pair(shop)
    phone.sync()
    assert phone.ids() == sorted(shop.ids())
    assert phone.js(WHOLE) == sorted(one.job for one in made)


ALL = """
    await resting.fetchRest();
    for (let at = await base.recall("sync"); at.some; at = await base.recall("sync"))
      await new Promise((done) => setTimeout(done, 20));
    return base.recall("sync");
"""


def test_a_device_that_is_to_hold_all_ends_up_with_every_job_whole_and_goes_on_so(phone, large):
    shop, _, made = large
    hidden = season_job(70, state="closed")
    hidden.write("job", {"hidden": True})
    # Not told by a round yet: the list of the rest has it, and so has the feed.
    shop.ask("POST", "/api/entries", {"entries": hidden.entries})
    before = phone.js("return resting.holding();")
    assert (before["here"], before["of"], before["asked"]) == (OPEN, len(made) + 1, False)
    place = phone.js(ALL)
    assert "rest" not in place
    for one in (*made, hidden):
        assert held(phone, one) == there(one)
    assert phone.js("return resting.holding();") is None
    later = made[0].write("note", {"text": "later"})
    shop.ask("POST", "/api/entries", {"entries": [later]})
    phone.sync()
    assert phone.ids() == sorted(shop.ids())
