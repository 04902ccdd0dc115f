"""Phones and a real shop: whatever the network does to them, the book and the phones end up with the same entries.

The names say which case of the field's failures each test is.
"""

import json
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from browser.offline.conftest import answer, problem
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

RELEASES = sorted((Path(__file__).parent / "outbox").glob("*.json"))


@pytest.fixture
def own(shop, gate_to, phones):
    """A paired phone, its gate and a shop of its own."""
    gate = gate_to(shop)
    phone = phones(gate)
    phone.device = phone.pair(shop)
    return phone, gate, shop


def test_entries_reach_the_shop_oldest_first_and_the_counts_say_so(own):
    phone, _, shop = own
    made = phone.readings(1, 2, 3)
    assert phone.js("return outbox.waitingSince();") == made[0]["at"]
    assert phone.counts() == {"waiting": 3, "shop": 0, "refused": 0}
    told = phone.sync()
    assert (told["pushed"], told["refused"]) == (3, [])
    assert phone.counts() == {"waiting": 0, "shop": 3, "refused": 0}
    assert shop.entries() == made
    assert phone.page.locator("#count").inner_text() == "3 at the shop"


def test_two_phones_and_the_shop_end_up_with_the_same_entries(own, phones):
    one, gate, shop = own
    two = phones(gate)
    two.pair(shop, "second phone")
    one.readings(1, 2)
    two.readings(3)
    for phone in (one, two, one):
        phone.sync()
    assert one.ids() == two.ids() == sorted(shop.ids())
    assert len(one.ids()) == 3
    assert one.counts() == {"waiting": 0, "shop": 3, "refused": 0}


def test_clock_skew_a_year_ahead_and_back_is_accepted_in_order_with_a_note(own):
    phone, _, shop = own
    phone.readings(1)
    phone.js("bench.now = Date.now; Date.now = () => bench.now() + 366 * 864e5;")
    phone.readings(2)
    told = phone.js("await pace.syncNow(); return pace.status();")
    assert told["state"] == "idle"
    assert re.fullmatch(r"The clock of this phone is 36\d days ahead of the shop's\. .*", told["clock"])
    phone.js("Date.now = bench.now;")
    phone.readings(3)
    told = phone.js("await pace.syncNow(); return pace.status();")
    assert (told["state"], told["clock"]) == ("idle", None)
    entries = shop.entries()
    assert [e["device_seq"] for e in entries] == [1, 2, 3]
    assert [r["value"] for r in phone.js("return fold.sheetOf(JOB);")["sheet"]["readings"]] == [1, 2, 3]
    assert phone.counts() == {"waiting": 0, "shop": 3, "refused": 0}


def test_duplicate_delivery_when_five_replies_are_lost_after_the_commit_stores_one_row(own):
    phone, gate, shop = own
    (made,) = phone.readings(1)
    gate.lose = lambda method, path, status: method == "POST" and path == "/api/entries"
    for _ in range(5):
        assert phone.sync()["code"] == "no-answer"
        assert phone.counts()["waiting"] == 1
    gate.lose = lambda *_: False
    assert phone.sync()["pushed"] == 1
    assert shop.entries() == [made]


def test_out_of_order_arrival_comes_to_the_same_sheet_even_where_a_strike_comes_before_its_target(
    own, phones
):
    phone, gate, shop = own
    one, two = phone.readings(214, 241)
    (strike,) = phone.js('return log.append(JOB, [["strike", {entry: arg}]]);', two["id"])
    for entry in (strike, two, one):
        shop.ask("PUT", f"/api/entries/{entry['id']}", entry)
    other = phones(gate)
    other.pair(shop, "second phone")
    other.sync()
    phone.sync()
    assert shop.ids() == [strike["id"], two["id"], one["id"]]
    first, second = (p.js("return fold.sheetOf(JOB);") for p in (phone, other))
    assert first == second
    assert [row["value"] for row in first["sheet"]["readings"]] == [214]


def test_partial_batch_with_row_four_of_ten_invalid_stores_nine_and_parks_one_with_the_reason(own):
    phone, _, shop = own
    made = phone.readings(201, 202, 203, 99999, 205, 206, 207, 208, 209, 210)
    told = phone.sync()
    assert (told["pushed"], told["refused"]) == (9, [made[3]["id"]])
    assert phone.counts() == {"waiting": 0, "shop": 9, "refused": 1}
    assert shop.ids() == [e["id"] for i, e in enumerate(made) if i != 3]
    (parked,) = phone.js("return outbox.refused();")
    assert parked["entry"] == made[3]
    assert parked["why"]["code"] == "out-of-range"
    assert parked["why"]["path"].endswith(".body.value")
    assert "99999" in parked["why"]["detail"]
    # It is asked again only when somebody says so.
    assert phone.sync()["refused"] == []
    phone.js("await outbox.tryAgain();")
    assert phone.sync()["refused"] == [made[3]["id"]]
    assert phone.counts()["refused"] == 1


def test_a_batch_refused_as_a_whole_is_sent_one_by_one_so_that_no_row_jams_the_queue(own):
    phone, gate, shop = own
    made = phone.readings(1, 2, 3)

    def rule(method, path, body):
        if method == "POST" and made[1]["id"].encode() in body:
            return problem("too-large", "larger than this address takes")
        return None

    gate.rule = rule
    told = phone.sync()
    assert (told["pushed"], told["refused"]) == (2, [made[1]["id"]])
    assert shop.ids() == [made[0]["id"], made[2]["id"]]
    assert phone.js("return outbox.refused();")[0]["why"]["code"] == "too-large"


def test_an_answer_about_the_way_keeps_everything_waiting_and_names_the_reason(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    phone.readings(1, 2)
    ways = {"no-key": "key-refused", "bad-code": "not-allowed", "not-found": "no-book", "too-slow": "busy",
            "wrong-host": "not-ours", "too-often": "busy", "internal-error": "server-trouble",
            "busy": "busy", "no-book": "no-book", "no-room": "server-trouble"}  # fmt: skip
    for said, code in ways.items():
        reply = problem(said)
        gate.rule = lambda method, *_, reply=reply: reply if method == "POST" else None
        told = phone.js("await pace.syncNow(); return pace.status();")
        assert (said, told["code"]) == (said, code)
        assert told["text"]
        assert phone.counts() == {"waiting": 2, "shop": 0, "refused": 0}
    gate.rule = lambda *_: None
    assert phone.sync()["pushed"] == 2


def test_refused_broken_and_foreign_servers_keep_everything_waiting_and_name_the_reason(
    phone, gate, shop_of_all
):
    phone.pair(shop_of_all)
    phone.readings(1)
    for mode, code in (("502", "server-trouble"), ("sign-in", "not-ours")):
        gate.mode = mode
        assert phone.sync()["code"] == code
    gate.mode = "open"
    gate.down()
    assert phone.sync()["code"] == "no-answer"
    phone.context.set_offline(True)
    assert phone.sync()["code"] == "no-answer"
    assert phone.counts() == {"waiting": 1, "shop": 0, "refused": 0}
    phone.context.set_offline(False)
    gate.up()
    assert phone.sync()["pushed"] == 1


def test_a_hanging_server_is_given_up_and_entering_does_not_wait_for_it(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    phone.readings(1)
    # The patience is a matter of the clock; here it is over at once.
    phone.js("""
        const timeout = AbortSignal.timeout;
        AbortSignal.timeout = (ms) => { bench.patience = ms; return timeout.call(AbortSignal, 300); };
        bench.mend = () => (AbortSignal.timeout = timeout);
    """)
    gate.mode = "hang"
    told = phone.js("""
        const going = sync.round().catch((error) => error.code);
        await log.append(JOB, [["note", {text: "meanwhile"}]]);
        return [bench.patience, await going];
    """)
    assert told[1] == "took-too-long"
    assert told[0] <= 60_000
    assert phone.counts()["waiting"] == 2
    gate.mode = "open"
    gate.release()
    phone.js("bench.mend();")
    assert phone.sync()["pushed"] == 2


@pytest.mark.long("batches that shrink until one passes, before a proxy that takes less: test_strangers.py")
def test_a_slow_network_gets_smaller_batches_until_one_passes(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    phone.readings(*range(1, 41))
    sizes = []

    def rule(method, path, body):
        if method == "POST" and path == "/api/entries":
            sizes.append(len(json.loads(body)["entries"]))
            if sizes[-1] > 10:
                return answer(504, {})
        return None

    gate.rule = rule
    phone.js("""
        const fetched = window.fetch;
        window.fetch = async (...given) => {
            const reply = await fetched(...given);
            if (reply.status === 504) throw new DOMException("late", "TimeoutError");
            return reply;
        };
    """)
    while phone.counts()["waiting"]:
        told = phone.sync()
        assert told.get("code", "took-too-long") == "took-too-long"
        assert len(sizes) < 20
    assert sizes[0] == 40
    assert phone.counts()["shop"] >= 40


def test_server_restored_from_a_backup_gets_every_entry_back(own, phones, tmp_path):
    one, gate, shop = own
    two = phones(gate)
    two.pair(shop, "second phone")
    one.readings(1, 2)
    one.sync()
    shop.copy(tmp_path / "copy.sqlite3")
    one.readings(3)
    two.readings(4)
    for phone in (one, two, one):
        phone.sync()
    before = sorted(shop.ids())
    assert len(before) == 4
    shop.restore(tmp_path / "copy.sqlite3")
    gate.upstream = shop.address
    assert len(shop.ids()) == 2
    one.readings(5)
    for phone in (two, one, two):
        assert "code" not in phone.sync()
    assert sorted(shop.ids()) == one.ids() == two.ids()
    assert set(before) < set(shop.ids())
    assert one.counts() == two.counts() == {"waiting": 0, "shop": 5, "refused": 0}


@pytest.mark.long("the same with a real book put back by hand: test_other_book.py")
def test_a_restored_book_that_kept_its_epoch_is_noticed_by_its_smaller_numbers(own):
    phone, gate, shop = own
    phone.readings(1, 2)
    phone.sync()
    gate.rule = lambda method, path, _: (
        answer(200, {"epoch": epoch, "entries": [], "next": 2, "last": 1})
        if path.startswith("/api/entries?after=2")
        else None
    )
    epoch = shop.ask("GET", "/api/entries")["epoch"]
    told = phone.sync()
    assert told["pushed"] == 2
    assert len(shop.ids()) == 2


def test_eviction_brings_acknowledged_history_back_under_a_new_device_id(own):
    phone, gate, shop = own
    made = phone.readings(1, 2)
    phone.sync()
    phone.page.goto("about:blank")
    session = phone.context.new_cdp_session(phone.page)
    session.send("Storage.clearDataForOrigin", {"origin": gate.address, "storageTypes": "all"})
    phone.page.goto(f"{gate.address}/bench.html")
    phone.page.locator("body[data-ready=yes]").wait_for()
    assert phone.ids() == []
    assert phone.sync()["code"] == "not-paired"
    phone.pair(shop, "the same phone again")
    assert phone.sync()["pulled"] == 2
    assert phone.js("return log.entries(JOB);") == made
    (later,) = phone.readings(3)
    assert later["device"] != made[0]["device"]
    assert later["device_seq"] == 1
    phone.sync()
    assert shop.ids() == [*[e["id"] for e in made], later["id"]]


def test_two_pages_save_and_sync_together_and_the_shop_gets_each_entry_once(own):
    phone, _, shop = own
    other = phone.open()
    work = """(arg) => { const {log, sync, JOB} = bench; window.work = (async () => {
        for (let i = 0; i < 10; i += 1) {
            await log.append(JOB, [["note", {text: arg + i}]]);
            if (i % 3 === 0) await sync.round();
        }
        await sync.round();
    })(); }"""
    phone.page.evaluate(work, "a")
    other.evaluate(work, "b")
    for page in (phone.page, other):
        page.evaluate("() => work.then(() => null)")
    phone.sync()
    ids = shop.ids()
    assert len(ids) == len(set(ids)) == 20
    assert phone.ids() == sorted(ids)
    assert phone.counts() == {"waiting": 0, "shop": 20, "refused": 0}


@pytest.mark.long("two contents under one id on three phones: test_strangers.py")
def test_the_same_id_with_other_content_is_parked_and_both_are_shown(own):
    phone, _, shop = own
    (made,) = phone.readings(214)
    theirs = {**made, "body": {**made["body"], "value": 241.0}}
    shop.ask("PUT", f"/api/entries/{made['id']}", theirs)
    told = phone.sync()
    assert told["refused"] == [made["id"]]
    (parked,) = phone.js("return outbox.refused(JOB);")
    assert parked["why"]["code"] == "other-content"
    assert parked["entry"]["body"]["value"] == 214
    assert [other["body"]["value"] for other in parked["others"]] == [241]
    phone.sync()
    assert len(phone.js("return log.disputed(JOB);")) == 1
    assert phone.counts() == {"waiting": 0, "shop": 0, "refused": 1}


def test_two_corrections_made_offline_survive_sync_both_ways_and_are_both_shown(own, phones):
    one, gate, shop = own
    two = phones(gate)
    two.pair(shop, "second phone")
    (wrong,) = one.readings(241)
    one.sync()
    two.sync()
    correct = """
        const body = {what: "body-height", side: "left", value: arg.value, corrects: arg.id};
        return log.append(JOB, [["reading", body]]);
    """
    one.js(correct, {"value": 214, "id": wrong["id"]})
    two.js(correct, {"value": 215, "id": wrong["id"]})
    for phone in (one, two, one):
        phone.sync()
    sheets = [phone.js("return fold.sheetOf(JOB);")["sheet"] for phone in (one, two)]
    assert sheets[0] == sheets[1]
    (conflict,) = sheets[0]["conflicts"]
    assert len(conflict["entries"]) == 2


def test_a_revoked_key_sends_nothing_deletes_nothing_and_all_can_be_exported(own):
    phone, _, shop = own
    phone.readings(1)
    phone.sync()
    shop.revoke(phone.device)
    phone.readings(2)
    told = phone.js("await pace.syncNow(); return pace.status();")
    assert (told["state"], told["code"]) == ("stopped", "key-refused")
    assert phone.counts() == {"waiting": 1, "shop": 1, "refused": 0}
    assert len(shop.ids()) == 1
    assert phone.js("return file.exported();")["entries"] == 2
    phone.pair(shop, "paired again")
    assert phone.sync()["pushed"] == 1


def test_a_wrong_pairing_code_is_told_in_the_shops_words(phone):
    told = phone.js('return pairing.pair("AAAA-AAAA", "phone");')
    assert told["name"] == "Trouble"
    assert "pairing code" in told["error"]
    assert phone.js("return device.access();") is None


def test_tries_become_rarer_and_a_named_wait_is_kept(phone):
    waits = phone.js("return [1, 2, 3, 4, 8, 30].map((n) => pace.waitS(n, {random: 0.5}));")
    assert waits == [5, 10, 20, 40, 300, 300]
    spread = phone.js("return [0, 0.999].map((random) => pace.waitS(3, {random}));")
    assert spread[0] < 20 < spread[1]
    assert phone.js("return pace.waitS(1, {retry_after_s: 77});") == 77


@pytest.mark.fresh_page
def test_a_phone_left_alone_keeps_in_step_by_itself_and_does_not_hammer(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    gate.down()
    phone.page.clock.install()
    phone.js("bench.stop = pace.startSync();")
    phone.page.wait_for_function("() => bench.pace.status().code === 'no-answer'")
    # Entries made while a try is being waited for do not bring it forward.
    gate.up()
    gate.seen.clear()
    phone.readings(1, 2, 3)
    before = phone.js("return pace.status();")
    phone.page.clock.run_for(1000)
    assert phone.js("return pace.status();") == before
    assert before["state"] == "waiting"
    assert gate.seen == []
    phone.page.clock.run_for(10_000)
    phone.page.wait_for_function("() => bench.pace.status().state === 'idle'")
    assert phone.counts()["waiting"] == 0
    # In step, an entry goes soon.
    phone.readings(4)
    phone.page.clock.run_for(1000)
    expect(phone.page.locator("#count")).not_to_contain_text("on this phone only")
    posts = [1 for method, path in gate.seen if (method, path) == ("POST", "/api/entries")]
    assert len(posts) == 2
    phone.js("bench.stop();")


def test_a_returning_network_is_tried_at_once(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    phone.context.set_offline(True)
    phone.js("bench.stop = pace.startSync();")
    phone.page.wait_for_function("() => bench.pace.status().code === 'no-answer'")
    phone.readings(1)
    phone.context.set_offline(False)
    phone.page.wait_for_function("() => bench.pace.status().state === 'idle' && bench.pace.status().ok_at")
    assert phone.counts() == {"waiting": 0, **{k: v for k, v in phone.counts().items() if k != "waiting"}}
    phone.js("bench.stop();")


@pytest.mark.long("that a phone left alone keeps in step, and that a returning network is tried at once")
def test_a_page_that_comes_back_into_view_fetches_what_came_meanwhile_but_not_in_a_hurry(own, phones):
    phone, gate, shop = own
    phone.js("bench.stop = pace.startSync();")
    phone.page.wait_for_function("() => bench.pace.status().ok_at")
    other = phones(gate)
    other.pair(shop, "other")
    other.readings(214)
    assert other.sync()["pushed"] == 1
    come_back = "() => document.dispatchEvent(new Event('visibilitychange'))"
    before = phone.js("return pace.status().ok_at;")
    phone.page.evaluate(come_back)
    assert phone.js("return pace.status().ok_at;") == before
    assert phone.ids() == []
    # Half a minute later; the next round by itself would come after a whole one.
    phone.page.evaluate("""() => {
        const now = performance.now.bind(performance);
        performance.now = () => now() + 30_000;
    }""")
    phone.page.evaluate(come_back)
    phone.page.wait_for_function("() => bench.log.everything().then((all) => all.length === 1)")


@pytest.mark.parametrize("path", RELEASES, ids=lambda path: path.stem)
def test_an_outbox_left_by_an_old_release_is_sent_whole_to_todays_shop(own, path):
    phone, gate, shop = own
    kept = json.loads(path.read_text(encoding="utf-8"))
    phone.page.goto(f"{gate.address}/manifest.webmanifest")
    session = phone.context.new_cdp_session(phone.page)
    session.send("Storage.clearDataForOrigin", {"origin": gate.address, "storageTypes": "all"})
    phone.page.evaluate(
        """(kept) => new Promise((done, fail) => {
            const asked = indexedDB.open("bothends", kept.version);
            asked.onerror = fail;
            asked.onupgradeneeded = () => {
                for (const [name, {key, indexes}] of Object.entries(kept.stores)) {
                    const store = asked.result.createObjectStore(name, key ? {keyPath: key} : {});
                    for (const [index, path] of Object.entries(indexes)) store.createIndex(index, path);
                }
            };
            asked.onsuccess = () => {
                const db = asked.result;
                const tx = db.transaction(Object.keys(kept.stores), "readwrite");
                for (const [name, {key, rows}] of Object.entries(kept.stores)) {
                    const store = tx.objectStore(name);
                    for (const row of rows) key ? store.add(row) : store.add(row[1], row[0]);
                }
                tx.oncomplete = () => { db.close(); done(null); };
            };
        })""",
        kept,
    )
    phone.page.goto(f"{gate.address}/bench.html")
    phone.page.locator("body[data-ready=yes]").wait_for()
    entries = kept["stores"]["entries"]["rows"]
    assert phone.counts()["waiting"] == len(entries)
    shelves = phone.js("return shelf.shelves({open: 9, closed: 9});")
    assert {row["job"] for row in shelves["open"]["rows"]} == {entry["job"] for entry in entries}
    phone.pair(shop)
    told = phone.sync()
    assert (told["pushed"], told["refused"]) == (len(entries), [])
    key = lambda entry: entry["id"]  # noqa: E731
    assert sorted(shop.entries(), key=key) == sorted(entries, key=key)
    (later,) = phone.readings(9)
    assert later["device"] == dict(kept["stores"]["meta"]["rows"])["device"]["id"]
    assert later["device_seq"] == dict(kept["stores"]["meta"]["rows"])["device"]["seq"] + 1


def test_there_is_an_outbox_of_every_release_that_is_replayed():
    assert [path.stem for path in RELEASES] == ["1"]
    for path in RELEASES:
        made = json.loads(path.read_text(encoding="utf-8"))["made"]
        assert datetime.fromisoformat(made) < datetime.now(UTC).replace(year=9999)
