"""The phone's logbook in a real browser: saved means on disk, and every way of failing keeps what was typed."""

import itertools

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

pytestmark = pytest.mark.same_page

DRAWS = itertools.count(1)
FULL = """
    const add = IDBObjectStore.prototype.add;
    IDBObjectStore.prototype.add = function (...given) {
      const made = add.apply(this, given);
      if (this.name === "entries") this.transaction.abort();
      return made;
    };
    window.mend = () => (IDBObjectStore.prototype.add = add);
"""


def test_an_entry_is_there_after_a_reload_once_the_phone_says_saved(phone):
    (made,) = phone.readings(214)
    phone.page.reload()
    phone.page.locator("body[data-ready=yes]").wait_for()
    assert phone.js("return log.entries(JOB);") == [made]
    assert made["schema"] == 1
    assert made["device_seq"] == 1


BEYOND = "06a14142-d400-7000-8000-000000000001"
"""An id stamped in the year 2201."""


def test_a_device_counts_its_entries_and_every_id_sorts_after_all_it_has_seen_of_any_job(phone):
    phone.js("bench.now = Date.now; Date.now = () => bench.now() + 366 * 864e5;")
    early = phone.readings(1, 2)
    phone.js("Date.now = bench.now;")
    (other,) = phone.js('return (await log.begin([["note", {text: "another job"}]])).entries;')
    late = phone.readings(3)
    made = [*early, other, *late]
    assert [e["device_seq"] for e in made] == [1, 2, 3, 4]
    assert [e["id"] for e in made] == sorted(e["id"] for e in made)
    # The stamp of the id alone is ahead: the writer's clock stays its own.
    ahead_ms = phone.js("return ids.stampMs(arg.id) - Date.parse(arg.at);", late[0])
    assert ahead_ms > 360 * 864e5
    (two,) = phone.js('return log.append(JOB, [["note", {text: "a"}], ["note", {text: "b"}]]);')[:1]
    assert two["id"] > late[0]["id"]


def test_ids_come_after_what_arrived_from_elsewhere_and_after_what_another_tab_wrote(phone):
    ahead = "return ids.newId({now: Date.now() + 864e5});"
    (mine,) = phone.readings(1)
    name = phone.js(ahead)
    phone.js('return log.merge([arg], {came: "link"});', {**mine, "id": name, "device": "other"})
    (after,) = phone.readings(2)
    assert after["id"] > name
    tab = phone.open()
    (there,) = phone.readings(3, page=tab)
    (here,) = phone.readings(4)
    assert after["id"] < there["id"] < here["id"]


def test_what_is_stamped_after_the_bound_is_taken_in_from_nowhere_and_ends_no_writing(phone):
    (mine,) = phone.readings(1)
    far = {**mine, "id": BEYOND}
    for came in ("shop", "link", "file"):
        told = phone.js("return log.merge([arg[0]], {came: arg[1]});", [far, came])
        assert told["added"] == []
        assert told["unfit"][0]["why"].startswith("its id is stamped after the year 2200: set the clock")
    text = {"format": "bothends-log", "version": 1, "entries": [mine, far]}
    told = phone.js("return file.imported(JSON.stringify(arg));", text)
    assert (told["known"], [row["index"] for row in told["unfit"]]) == ([mine["id"]], [1])
    told = phone.js("return carry.unpack(carry.pack(arg));", [mine, far])
    assert told["code"] == "not-taken"
    assert "after the year 2200" in told["error"]
    # One that an older app let in stands last in the log; what is written goes on before it.
    phone.js("return base.transact(['entries'], 'readwrite', (tx) => tx.store.add(arg));", far)
    (after,) = phone.readings(2)
    assert mine["id"] < after["id"] < BEYOND


def test_a_card_says_what_its_writer_had_of_it(phone):
    write = "return log.append(JOB, arg);"
    (first,) = phone.js(write, [["target", {"left_mm": 250}]])
    car, more, second = phone.js(
        write, [["car", {"arm_mm": 415}], ["car", {"axle": "swing"}], ["target", {"left_mm": 260}]]
    )
    assert [e["saw"] for e in (first, car, more, second)] == [[], [], [car["id"]], [first["id"]]]
    apart = {**first, "id": phone.js("return ids.newId();"), "device": "other", "saw": [first["id"]]}
    phone.js('return log.merge([arg], {came: "link"});', apart)
    (third,) = phone.js(write, [["target", {"left_mm": 270}]])
    assert sorted(third["saw"]) == sorted([second["id"], apart["id"]])
    (reading,) = phone.readings(1)
    assert "saw" not in reading


def test_several_entries_of_one_step_are_kept_together_or_not_at_all(phone):
    phone.js(FULL)
    told = phone.js('return log.append(JOB, [["note", {text: "a"}], ["note", {text: "b"}]]);')
    assert told["code"] == "aborted"
    phone.js("mend();")
    assert phone.js("return log.entries(JOB);") == []
    assert phone.counts() == {"waiting": 0, "shop": 0, "refused": 0}


def test_forced_abort_shows_an_error_and_keeps_what_was_typed(phone):
    phone.js(FULL)
    phone.page.locator("#typed").fill("214")
    phone.page.get_by_role("button", name="Save").click()
    phone.page.get_by_text("This was not kept").wait_for()
    assert phone.page.locator("#typed").input_value() == "214"
    phone.js("mend();")
    phone.page.get_by_role("button", name="Save").click()
    phone.page.get_by_text("Saved on this phone.").wait_for()
    assert [e["body"]["value"] for e in phone.js("return log.entries(JOB);")] == [214]


def test_full_disk_is_said_as_such_and_keeps_what_was_typed(phone):
    session = phone.context.new_cdp_session(phone.page)
    session.send("Storage.overrideQuotaForOrigin", {"origin": phone.gate.address, "quotaSize": 1})
    told = phone.js('return log.append(JOB, [["note", {text: "x".repeat(3e6)}]]);')
    assert (told["name"], told["code"]) == ("NotKept", "full")
    assert "Free some storage" in told["error"]
    phone.page.locator("#typed").fill("215")
    phone.page.get_by_role("button", name="Save").click()
    phone.page.get_by_text("no room left").wait_for()
    assert phone.page.locator("#typed").input_value() == "215"
    session.send("Storage.overrideQuotaForOrigin", {"origin": phone.gate.address})
    phone.page.get_by_role("button", name="Save").click()
    phone.page.get_by_text("Saved on this phone.").wait_for()
    assert [e["body"]["value"] for e in phone.js("return log.everything();")] == [215]


@pytest.mark.fresh_page
def test_connection_closed_underneath_is_opened_again_and_the_next_save_works(phone):
    phone.page.add_init_script("""
        const open = IDBFactory.prototype.open;
        window.opened = [];
        IDBFactory.prototype.open = function (...given) {
          const asked = open.apply(this, given);
          asked.addEventListener("success", () => opened.push(asked.result));
          return asked;
        };
    """)
    phone.page.reload()
    phone.page.locator("body[data-ready=yes]").wait_for()
    phone.readings(1)
    phone.js("opened.at(-1).close();")
    phone.readings(2)
    assert phone.js("return opened.length;") == 2
    assert [e["device_seq"] for e in phone.js("return log.entries(JOB);")] == [1, 2]


def test_a_transaction_lost_with_its_connection_is_tried_once_more_and_kept_once(phone):
    phone.js("""
        const add = IDBObjectStore.prototype.add;
        IDBObjectStore.prototype.add = function (...given) {
          IDBObjectStore.prototype.add = add;
          const made = add.apply(this, given);
          this.transaction.abort();
          return made;
        };
    """)
    phone.readings(7)
    assert [e["body"]["value"] for e in phone.js("return log.everything();")] == [7]
    assert phone.counts() == {"waiting": 1, "shop": 0, "refused": 0}


def test_an_entry_that_was_kept_although_its_connection_was_lost_before_it_said_so_is_kept_once(phone):
    phone.js("""
        const listen = IDBTransaction.prototype.addEventListener;
        let lost = null;
        IDBTransaction.prototype.addEventListener = function (type, ...given) {
          if (this.mode === "readwrite" && this.objectStoreNames.contains("entries")) lost ??= this;
          if (this !== lost) return listen.call(this, type, ...given);
          // What completes looks aborted.
          if (type !== "complete") listen.call(this, type === "abort" ? "complete" : type, ...given);
        };
    """)
    (made,) = phone.readings(7)
    assert phone.js("return log.everything();") == [made]
    assert phone.counts() == {"waiting": 1, "shop": 0, "refused": 0}


def test_merge_by_id_takes_the_same_entry_once_and_keeps_another_content_beside_it(phone):
    (made,) = phone.readings(214)
    theirs = {**made, "body": {**made["body"], "value": 241}}
    spaced = {name: made[name] for name in reversed(list(made))}
    told = phone.js('return log.merge(arg, {came: "file"});', [spaced, theirs, theirs, {"id": "nonsense"}])
    assert told["added"] == []
    assert told["known"] == [made["id"]]
    assert told["disputed"] == [made["id"]] * 2
    assert told["unfit"] == [{"index": 3, "why": "its id is not one of ours"}]
    assert phone.js("return log.entries(JOB);") == [made]
    (row,) = phone.js("return log.disputed(JOB);")
    assert (row["mine"], row["entry"]) == (made, theirs)


def test_fields_and_kinds_of_a_newer_app_are_kept_as_they_came(phone):
    newer = {
        "id": "0198c000-0000-7000-8000-000000000001", "job": "0198c000-0000-7000-8000-0000000000ab", "device": "d",
        "at": "2027-01-01T08:00:00+01:00", "kind": "weather", "schema": 9, "body": {"rain": [1, None, {"x": 0.1}]},
        "mood": "good",
    }  # fmt: skip
    phone.js('return log.merge(arg, {came: "link"});', [newer])
    assert phone.js("return log.entries(arg);", newer["job"]) == [newer]
    assert phone.js("return log.jobs();") == [newer["job"]]


def test_two_pages_save_at_once_and_the_log_is_the_union_with_each_entry_once(phone):
    other = phone.open()
    code = """
        await Promise.all(Array.from({length: 30}, (_, i) => log.append(JOB, [["note", {text: arg + i}]])));
        return null;
    """
    wrapped = f"(arg) => {{ const {{log, JOB}} = bench; window.work = (async () => {{ {code} }})(); }}"
    phone.page.evaluate(wrapped, "a")
    other.evaluate(wrapped, "b")
    for page in (phone.page, other):
        page.evaluate("() => work")
    found = phone.js("return log.entries(JOB);")
    assert sorted(e["device_seq"] for e in found) == list(range(1, 61))
    assert len({e["id"] for e in found}) == 60
    assert {e["body"]["text"][0] for e in found} == {"a", "b"}


def test_a_page_draws_again_when_another_page_has_saved(phone):
    other = phone.open()
    phone.readings(1, 2)
    other.get_by_text("2 on this phone only").wait_for()


@pytest.mark.fresh_page
def test_blocked_upgrade_says_to_close_the_other_tab_and_goes_on_with_the_data_intact(phones, gate):
    phone = phones(gate)
    made = phone.readings(1, 2)
    # A tab of another program version that does not let go.
    holding = phone.open()
    holding.evaluate("""() => new Promise((done) => {
        const asked = indexedDB.open("bothends");
        asked.onsuccess = () => done(window.held = asked.result) ;
    }).then(() => null)""")
    gate.files["/book/base.js"] = newer_base(phone)
    phone.page.goto(f"{gate.address}/bench.html")
    phone.page.get_by_text("Close the other tab").wait_for()
    holding.close()
    phone.page.locator("body[data-ready=yes]").wait_for()
    assert phone.page.locator("#notice").inner_text() == ""
    assert phone.ids() == sorted(e["id"] for e in made)
    phone.readings(3)


@pytest.mark.fresh_page
def test_an_older_page_lets_go_when_a_newer_one_opens_and_says_to_reload(phones, gate):
    phone = phones(gate)
    phone.readings(1)
    gate.files["/book/base.js"] = newer_base(phone)
    newer = phone.open()
    phone.page.get_by_text("Reload this page").wait_for()
    phone.page.locator("#typed").fill("214")
    phone.page.get_by_role("button", name="Save").click()
    phone.page.locator("#said", has_text="A newer version").wait_for()
    assert phone.page.locator("#typed").input_value() == "214"
    assert newer.evaluate("() => bench.log.everything().then((all) => all.length)") == 1


def newer_base(phone) -> bytes:
    """base.js with the next version of the database."""
    text = phone.page.evaluate("() => fetch('/book/base.js').then((reply) => reply.text())")
    assert "const VERSION = 2;" in text
    return text.replace("const VERSION = 2;", "const VERSION = 3;").encode()


@pytest.mark.fresh_page
def test_a_browser_that_keeps_nothing_says_so_at_the_entry(phones, gate):
    phone = phones(gate)
    phone.page.add_init_script("""
        IDBFactory.prototype.open = () => { throw new DOMException("storage is off", "SecurityError"); };
    """)
    phone.page.reload()
    phone.page.locator("body[data-ready=no]").wait_for()
    phone.page.locator("#typed").fill("214")
    phone.page.get_by_role("button", name="Save").click()
    phone.page.locator("#said", has_text="keeps nothing here").wait_for()
    assert phone.page.locator("#typed").input_value() == "214"


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_order_any_chunks_and_any_repetition_come_to_the_same_log(phone, data):
    draws = next(DRAWS)
    job = f"0198c000-0000-7000-8000-{draws:012x}"
    entries = [
        {"schema": 1, "id": f"0198c0{i:02x}-0000-7000-8000-{draws:012x}", "job": job, "device": "d", "kind": "note",
         "device_seq": i, "at": "2027-01-01T08:00:00Z", "body": {"text": str(i)}}
        for i in range(8)
    ]  # fmt: skip
    order = data.draw(st.permutations([*range(8), *range(8)]))
    cut = data.draw(st.integers(1, 15))
    chunks = [[entries[i] for i in order[:cut]], [entries[i] for i in order[cut:]]]
    told = phone.js("return Promise.all(arg.map((rows) => log.merge(rows, {came: 'link'})));", chunks)
    assert sum(len(one["added"]) for one in told) == 8
    assert phone.js("return log.entries(arg);", job) == entries
    assert phone.js("return outbox.counts(arg);", job) == {"waiting": 8, "shop": 0, "refused": 0}


@pytest.mark.parametrize("granted", [True, False])
def test_the_browser_is_asked_to_keep_the_log_and_its_answer_is_told(phone, granted):
    phone.js(
        "navigator.storage.persist = async () => arg; navigator.storage.persisted = async () => false;",
        granted,
    )
    told = phone.js("return device.askToKeep();")
    assert told["kept"] is granted
    assert ("until you delete it" in told["text"]) is granted
    assert told["room_bytes"] > 0


def test_what_a_job_comes_to_is_worked_out_by_the_sheets_own_files(phone):
    phone.js(
        'await log.append(JOB, [["job", {title: "Gannet, Maren"}], ["target", {left_mm: 250, right_mm: 250}]]);'
    )
    made = phone.readings(214, 216)
    phone.js('await log.append(JOB, [["strike", {entry: arg}]]);', made[1]["id"])
    told = phone.js("return fold.sheetOf(JOB);")
    assert told["sheet"]["title"] == "Gannet, Maren"
    assert [row["value"] for row in told["sheet"]["readings"]] == [214]
    assert told["request"]["request"]["target"] == {"left_mm": 250, "right_mm": 250}
    assert told["request"]["ids"] == [made[0]["id"]]
