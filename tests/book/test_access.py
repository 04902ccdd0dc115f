"""Devices, pairing codes, links: secrets are shown once, kept as hashes, and end when they should."""

from datetime import UTC, datetime, timedelta

import pytest

from book.pages import JOB
from bothends.book import devices, links, secret
from bothends.book.store import BOOK

NOON = datetime(2026, 9, 21, 12, 0, tzinfo=UTC)


def paired(store, name="phone"):
    code, _ = store.write(devices.new_code)
    device, key = store.write(lambda db: devices.pair(db, code, name))
    return device, key


def test_a_code_pairs_one_device_once(store):
    code, expires = store.write(lambda db: devices.new_code(db, moment=NOON))
    assert expires == "2026-09-21T12:10:00Z"
    device, key = store.write(lambda db: devices.pair(db, code, "Tove's phone", moment=NOON))
    assert device["name"] == "Tove's phone"
    assert store.read(lambda db: devices.recognise(db, key))["id"] == device["id"]
    assert store.write(lambda db: devices.pair(db, code, "another", moment=NOON)) is None


def test_a_code_is_good_for_minutes_only(store):
    code, _ = store.write(lambda db: devices.new_code(db, moment=NOON))
    late = NOON + timedelta(minutes=devices.CODE_MINUTES)
    assert store.write(lambda db: devices.pair(db, code, "late", moment=late)) is None


def test_a_code_may_be_typed_in_small_letters_with_a_dash(store):
    code, _ = store.write(devices.new_code)
    typed = f"{code[:4]}-{code[4:]}".lower()
    assert store.write(lambda db: devices.pair(db, typed, "phone")) is not None


def test_a_revoked_device_is_not_recognised_and_stays_listed(store):
    device, key = paired(store)
    assert store.write(lambda db: devices.revoke(db, device["id"]))
    assert store.read(lambda db: devices.recognise(db, key)) is None
    assert store.read(lambda db: devices.since(db, "", 10))[0]["revoked"]
    assert not store.write(lambda db: devices.revoke(db, "nobody"))


@pytest.mark.parametrize("key", ["", ".", "a.b", "nonsense", "x" * 5000, "0a1b2c3d4e5f.", "é.é"])
def test_a_wrong_key_is_nobody(store, key):
    paired(store)
    assert store.read(lambda db: devices.recognise(db, key)) is None


def test_a_key_of_one_device_with_the_name_of_another_is_nobody(store):
    one, key = paired(store, "one")
    other, _ = paired(store, "other")
    assert store.read(lambda db: devices.recognise(db, key.replace(one["id"], other["id"]))) is None


def test_a_visit_is_noted_at_most_hourly(store):
    device, _ = paired(store)
    for minutes, noted in ((0, "12:00"), (30, "12:00"), (90, "13:30")):
        store.write(lambda db, m=minutes: devices.seen(db, device["id"], moment=NOON + timedelta(minutes=m)))
        assert noted in store.read(lambda db: devices.since(db, "", 1))[0]["seen"]


def test_no_secret_is_in_the_file(store, tmp_path):
    code, _ = store.write(devices.new_code)
    unused, _ = store.write(devices.new_code)
    _, key = store.write(lambda db: devices.pair(db, code, "phone"))
    _, token = store.write(lambda db: links.make(db, job=JOB, device="d"))
    store.close()
    content = (tmp_path / BOOK).read_bytes()
    for text in (code, unused, key.split(".")[1], token.split(".")[1]):
        assert text.encode() not in content


def test_a_token_has_at_least_128_random_bits():
    made = [secret.make() for _ in range(100)]
    assert len({m.text for m in made}) == 100
    # 24 bytes in base64 are 32 characters of 6 bits each.
    assert all(len(m.text.split(".")[1]) * 6 >= 128 for m in made)


def test_a_link_ends_by_time_and_by_revoking_and_is_then_gone(store):
    link, token = store.write(lambda db: links.make(db, job=JOB, device="d", days=1, moment=NOON))
    assert link["expires"] == "2026-09-22T12:00:00Z"
    assert store.read(lambda db: links.find(db, token, moment=NOON))["job"] == JOB
    ended = NOON + timedelta(days=1)
    assert store.read(lambda db: links.find(db, token, moment=ended)) == links.GONE
    assert store.write(lambda db: links.revoke(db, token))
    assert store.read(lambda db: links.find(db, token, moment=NOON)) == links.GONE
    assert store.read(lambda db: links.of(db, JOB, "", 10))[0]["revoked"]


def test_a_token_nobody_made_is_not_a_link(store):
    _, token = store.write(lambda db: links.make(db, job=JOB, device="d"))
    for wrong in (token[:-1], token + "x", "nonsense", ""):
        assert store.read(lambda db, w=wrong: links.find(db, w)) is None
