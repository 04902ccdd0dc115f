"""A job in a link, and the log in a file: there and back between phones; nothing is lost.

The form of a link and every way to spoil one are tested without a browser, in tests/node/carry.test.mjs.
"""

import json
import re

import pytest

pytestmark = pytest.mark.same_page

JOB = "0198c000-0000-7000-8000-0000000000aa"
READ = """
    const {job, entries} = carry.unpack(arg);
    return {job, entries, told: await log.merge(entries, {came: 'link'})};
"""


@pytest.fixture
def link(phone):
    """A link with three entries, and the entries."""
    made = phone.readings(214, 215, 216.5)
    return phone.js("return carry.linkOf(await log.entries(JOB));"), made


def test_a_job_goes_out_by_link_and_new_readings_come_back_the_same_way(phones, gate, phone, link):
    address, made = link
    home = phones(gate)
    told = home.js(READ, address)
    assert told["told"]["added"] == [e["id"] for e in made]
    assert home.js(READ, address)["told"]["added"] == []
    (extra,) = home.readings(217)
    back = home.js("return carry.linkOf(await log.entries(JOB));")
    assert phone.js(READ, back)["told"]["added"] == [extra["id"]]
    assert phone.ids() == home.ids()
    assert home.counts() == {"waiting": 4, "shop": 0, "refused": 0}


def test_reading_a_link_keeps_nothing_by_itself_and_says_what_keeping_would_add(phones, gate, phone, link):
    home = phones(gate)
    look = """
        const { preview } = await import('/book/incoming.js');
        const { told, fresh, more, looked } = await preview(carry.unpack(arg).entries);
        return { ...told, fresh, more, looked: looked.length };
    """
    none = {"unfit": 0, "disputed": 0, "more": 0, "looked": 0}
    assert home.js(look, link[0]) == {"added": 3, "known": 0, "fresh": 1, **none}
    assert home.ids() == []
    assert phone.js(look, link[0]) == {"added": 0, "known": 3, "fresh": 0, **none}


def test_a_job_of_more_records_than_one_may_have_is_refused_before_anything_is_worked_out(phone):
    told = phone.js(
        """
        const { preview } = await import('/book/incoming.js');
        const { PER_JOB } = await import('/model/facts.js');
        const { newId } = await import('/book/ids.js');
        const one = { schema: 1, job: JOB, device: 'd', at: '2026-11-02T10:00:00Z', kind: 'note' };
        const rows = [];
        for (let id = null; rows.length <= PER_JOB; ) {
            id = newId({ after: id });
            rows.push({ ...one, id, body: { text: 'x' } });
        }
        return preview(rows);
        """
    )
    assert (told["name"], told["code"]) == ("IncomingError", "full")
    assert "10000 records" in told["error"]
    assert phone.ids() == []


def test_what_takes_without_end_to_work_out_is_given_up_and_the_model_answers_again(phone):
    told = phone.js(
        """
        const fold = await import('/book/fold.js');
        const made = await log.append(JOB, [['reading', {what: 'body-height', side: 'left', value: 214}]]);
        const late = await fold.foldWithin([{ job: JOB, entries: made }], 0);
        const [again] = await fold.fold([{ job: JOB, entries: made }]);
        return [late, again.sheet.readings.length];
        """
    )
    assert told == [None, 1]


def test_a_spoilt_link_is_told_in_clear_words_and_nothing_changes(phone, link):
    address, made = link
    told = phone.js(READ, address[:-9])
    assert (told["name"], told["code"]) == ("LinkError", "cut-off")
    assert told["error"].endswith((".", ")"))
    assert phone.ids() == sorted(e["id"] for e in made)


@pytest.fixture
def exported(phone):
    """A file with two jobs and a disputed entry, and its entries."""
    made = phone.readings(214, 215)
    phone.js('await log.begin([["job", {title: "Plover utility, Ben"}]]);')
    theirs = {**made[0], "body": {**made[0]["body"], "value": 241}}
    phone.js("await log.merge(arg, {came: 'file'});", [theirs])
    return phone.js("return file.exported();"), theirs


def test_an_exported_log_is_imported_once_elsewhere(phones, gate, phone, exported):
    found, theirs = exported
    log = json.loads(found["text"])
    assert (log["format"], log["version"], found["entries"]) == ("bothends-log", 1, 3)
    assert re.fullmatch(r"bothends-log-\d{4}-\d\d-\d\d\.json", found["name"])
    other = phones(gate)
    told = other.js("return file.imported(arg);", found["text"])
    assert (len(told["added"]), told["disputed"], told["unfit"]) == (3, [theirs["id"]], [])
    again = other.js("return file.imported(arg);", found["text"])
    assert (again["added"], len(again["known"])) == ([], 3)
    assert other.ids() == phone.ids()
    assert [row["entry"] for row in other.js("return log.disputed();")] == [theirs]


def test_after_an_eviction_the_exported_file_brings_everything_back_once_and_goes_to_the_shop(
    phones, gate, phone, exported, shop_of_all
):
    text = exported[0]["text"]
    phone.pair(shop_of_all)
    phone.sync()
    # The shop's key stays on the phone.
    assert phone.js("return (await file.exported()).text.includes((await device.access()).key);") is False
    empty = phones(gate)
    empty.js("await file.imported(arg); await file.imported(arg);", text)
    empty.pair(shop_of_all)
    told = empty.sync()
    assert (told["pushed"], told["refused"]) == (3, [])
    assert empty.counts()["waiting"] == 0


def test_one_job_can_be_exported_alone_as_a_download(phone, exported):
    with phone.page.expect_download() as waiting:
        phone.js("file.download(await file.exported(JOB));")
    log = json.loads(waiting.value.path().read_text(encoding="utf-8"))
    assert {entry["job"] for entry in log["entries"]} == {JOB}
    assert re.fullmatch(r"bothends-job-[0-9a-f]{6}-\d{4}-\d\d-\d\d\.json", waiting.value.suggested_filename)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-ours"),
        ("null", "not-ours"),
        ('{"format": "bothends-log", "version": 1}', "not-ours"),
        ('{"format": "another", "version": 1, "entries": []}', "not-ours"),
        ('{"format": "bothends-log", "version": 2, "entries": []}', "newer"),
    ],
)
def test_a_file_that_is_not_a_log_is_refused_in_clear_words(phone, text, code):
    told = phone.js("return file.imported(arg);", text)
    assert (told["name"], told["code"]) == ("FileError", code)


def test_a_file_with_a_bad_row_brings_the_good_ones_and_names_the_bad(phone, exported):
    log = json.loads(exported[0]["text"])
    log["entries"].insert(1, {"id": "nonsense"})
    told = phone.js("return file.imported(arg);", json.dumps(log))
    assert told["unfit"] == [{"index": 1, "why": "its id is not one of ours"}]
    assert len(told["known"]) == 3
