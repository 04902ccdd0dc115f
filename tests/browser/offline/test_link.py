"""A job in a link, and the log in a file: there and back, in any order, spoilt in every way; nothing is lost."""

import base64
import json
import re
import zlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

JOB = "0198c000-0000-7000-8000-0000000000aa"
FORM = re.compile(r"#job=(\d+)\.([0-9a-f]{8})\.([0-9a-z]+)\.([\w-]+)$")
READ = """
    const {job, entries} = carry.unpack(arg);
    return {job, entries, told: await log.merge(entries, {came: 'link'})};
"""


def b64(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def base36(number: int) -> str:
    digits = "0123456789abcdefghijklmnopqrstuvwxyz"
    return (base36(number // 36) if number >= 36 else "") + digits[number % 36]


def packed(plain: bytes, version: int = 1) -> str:
    """A fragment as the form is documented, made independently: raw deflate and CRC-32 of RFC 1951 and 1952."""
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    data = squeeze.compress(plain) + squeeze.flush()
    text = b64(data)
    return f"#job={version}.{zlib.crc32(data):08x}.{base36(len(text))}.{text}"


@pytest.fixture
def link(phone):
    """A link with three entries, and the entries."""
    made = phone.readings(214, 215, 216.5)
    return phone.js("return carry.linkOf(await log.entries(JOB));"), made


def test_a_link_holds_the_job_in_the_fragment_in_its_documented_form(phone, link):
    address, made = link
    assert address.startswith(f"{phone.gate.address}/#job=1.")
    _, total, length, text = FORM.search(address).groups()
    data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    assert (int(length, 36), f"{zlib.crc32(data):08x}") == (len(text), total)
    held = json.loads(zlib.decompress(data, -15))
    assert held == {"job": JOB, "entries": [{k: v for k, v in e.items() if k != "job"} for e in made]}


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
    compare = "return log.compare(carry.unpack(arg).entries);"
    assert home.js(compare, link[0]) == {"added": 3, "known": 0, "disputed": 0, "unfit": 0}
    assert home.ids() == []
    assert phone.js(compare, link[0]) == {"added": 0, "known": 3, "disputed": 0, "unfit": 0}


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (lambda link: link[:-9], "cut-off"),
        (lambda link: link[: link.index("#job=") + 9], "cut-off"),
        (lambda link: link[:-9] + "AAAA" + link[-5:], "damaged"),
        (lambda link: link.replace("#job=1.", "#job=1.0"), "damaged"),
        (lambda link: link.replace("#job=1.", "#job=2."), "newer"),
        (lambda link: link.replace("#job=", "#jab="), "not-a-link"),
        (lambda link: link.split("#")[0], "not-a-link"),
    ],
)
def test_a_spoilt_link_is_told_in_clear_words_and_nothing_changes(phone, link, spoil, code):
    address, made = link
    told = phone.js(READ, spoil(address))
    assert (told["name"], told["code"]) == ("LinkError", code)
    assert told["error"].endswith((".", ")"))
    assert phone.ids() == sorted(e["id"] for e in made)


def test_a_link_broken_into_lines_with_a_full_stop_behind_it_is_still_read(phone, link):
    address, made = link
    broken = "\n".join(address[i : i + 60] for i in range(0, len(address), 60)) + "."
    assert phone.js(READ, broken)["told"]["known"] == [e["id"] for e in made]


@pytest.mark.parametrize(
    ("plain", "code"),
    [
        (b"not json", "damaged"),
        (b"[]", "damaged"),
        (b'{"job": "x", "entries": [{}]}', "damaged"),
        (json.dumps({"job": JOB, "entries": []}).encode(), "damaged"),
        (json.dumps({"job": JOB, "entries": [{"id": "x"}]}).encode(), "damaged"),
        (b'{"job": "' + b" " * (2 * 1024 * 1024) + b'"}', "too-large"),
    ],
    ids=["no JSON", "no job", "no id", "no entries", "unfit entry", "two megabytes and more"],
)
def test_a_sound_link_with_unsound_content_is_refused(phone, plain, code):
    assert phone.js(READ, packed(plain))["code"] == code


def test_a_small_link_that_would_unpack_to_a_hundred_megabytes_is_stopped_at_the_limit(phone):
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    data = b"".join(squeeze.compress(bytes(1 << 20)) for _ in range(100)) + squeeze.flush()
    assert len(data) < 110_000
    text = b64(data)
    bomb = f"#job=1.{zlib.crc32(data):08x}.{base36(len(text))}.{text}"
    # Count what is really unpacked, by the arrays it is gathered in.
    told = phone.js(
        """
        let bytes = 0;
        const Made = Uint8Array;
        window.Uint8Array = new Proxy(Made, {construct: (made, given) => {
            if (typeof given[0] === "number") bytes += given[0];
            return Reflect.construct(made, given);
        }});
        try { carry.unpack(arg); }
        catch (error) { return [error.code, bytes]; }
        finally { window.Uint8Array = Made; }
        """,
        bomb,
    )
    assert told[0] == "too-large"
    assert told[1] < 16e6


def test_a_job_too_large_for_a_link_is_told_to_go_as_a_file(phone):
    big = {
        "schema": 1,
        "id": JOB,
        "job": JOB,
        "device": "d",
        "at": "",
        "kind": "note",
        "body": {"text": "x" * 3_000_000},
    }
    told = phone.js("return carry.pack([arg]);", big)
    assert told["code"] == "too-long"
    assert "file" in told["error"]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(-1e15, 1e15) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip
BODIES = st.lists(st.dictionaries(st.text(), JSON, max_size=4), min_size=1, max_size=6)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(bodies=BODIES)
def test_whatever_is_packed_is_unpacked_the_same(phone, bodies):
    entries = [
        {"schema": 1, "id": f"0198c000-0000-7000-8000-{i:012x}", "job": JOB, "device": "d", "kind": "note",
         "at": "2027-01-01T08:00:00Z", "body": body}
        for i, body in enumerate(bodies)
    ]  # fmt: skip
    told = phone.js(
        "return JSON.stringify(carry.unpack(carry.pack(JSON.parse(arg))).entries);", json.dumps(entries)
    )
    assert json.loads(told) == json.loads(json.dumps(entries))


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
