"""A refusal is the shop's only where it is the shop's: nobody else's answer parks an entry or stops a phone.

Strangers are sign-in pages of networks, proxies and other programs that answer in the shop's place, with whatever
status and JSON they like.
"""

import json

import pytest
from browser.offline.conftest import answer, problem

from bothends.service.http.problems import CODES, MEDIA_TYPE

pytestmark = pytest.mark.same_page

HTML = (b"<h1>Welcome to the harbour's network</h1>", "text/html")
STRANGE = (b'{"error": "not signed in", "login": "/portal"}', "application/json")
IMITATED = (b'{"code": "out-of-range", "status": 400, "detail": "bad"}', "application/json")
UNKNOWN = (b'{"code": "E-1207", "detail": "policy"}', MEDIA_TYPE)
OTHERWISE = (b'{"code": "other-content", "detail": "of another status"}', MEDIA_TYPE)
NO_OBJECT = (b'["refused"]', MEDIA_TYPE)
CONSTRUCTED = (b'{"code": "constructor", "detail": "a name that every object has"}', MEDIA_TYPE)
BODIES = (HTML, STRANGE, IMITATED, UNKNOWN, OTHERWISE, NO_OBJECT, CONSTRUCTED)
STATUSES = (200, 302, 400, 401, 403, 404, 405, 413, 422, 451, 500, 502, 503, 511)


def answers(every):
    """Every answer that a stranger gives here, or of each status two bodies: then each body comes four times."""
    for at, status in enumerate(STATUSES):
        for body, kind in BODIES if every else (BODIES[at % 7], BODIES[(at + 1 + at // 7) % 7]):
            headers = {"Content-Type": kind} | ({"Location": "/portal"} if status == 302 else {})
            yield status, headers, body
    rows = [{"index": number, "status": "refused", "code": "portal"} for number in range(2)]
    yield answer(200, {"rows": [], "epoch": "x"})
    yield answer(200, {"rows": [None, 7], "epoch": "x"})
    yield answer(200, {"entries": [], "next": 0, "last": 0})
    yield answer(200, {"rows": rows})


def test_no_strangers_answer_parks_an_entry_stops_the_phone_or_says_that_its_key_is_refused(
    phone, gate, shop_of_all, long
):
    phone.pair(shop_of_all)
    phone.readings(1, 2)
    tried = 0
    for strange in answers(long):
        gate.rule = lambda *_, strange=strange: strange
        told = phone.js("await pace.syncNow(); return pace.status();")
        assert told["state"] == "waiting", strange
        assert told["code"] not in ("key-refused", "not-allowed", "no-book"), strange
        assert phone.counts() == {"waiting": 2, "shop": 0, "refused": 0}, strange
        tried += 1
    assert tried == len(STATUSES) * (len(BODIES) if long else 2) + 4
    gate.rule = lambda *_: None
    assert phone.sync()["pushed"] == 2


def test_every_code_of_the_servers_is_told_from_a_strangers(phone, gate, shop_of_all):
    phone.pair(shop_of_all)
    told = phone.js("return (await import('/shop/codes.js')).CODES;")
    assert told == {code: status for code, (status, _) in CODES.items()}
    (made,) = phone.readings(1)
    for code in ("other-content", "unfit", "too-large"):
        gate.rule = lambda method, *_, code=code: problem(code, "words") if method == "POST" else None
        assert phone.sync()["refused"] == [made["id"]]
        assert phone.js("return outbox.refused();")[0]["why"]["code"] == code
        phone.js("await outbox.tryAgain();")


def test_a_reason_that_only_a_newer_shop_knows_parks_nothing_and_holds_nothing_else_up(own_shop):
    phone, gate, shop = own_shop
    made = phone.readings(*range(1, 151))
    newer = {entry["id"] for entry in made[:120]}

    def rule(method, path, body):
        if method != "POST" or path != "/api/entries":
            return None
        entries = json.loads(body)["entries"]
        good = [entry for entry in entries if entry["id"] not in newer]
        rows = iter(shop.ask("POST", "/api/entries", {"entries": good})["rows"])
        said = [
            {"index": i, "status": "refused", "id": entry["id"], "code": "varnish-wet"}
            if entry["id"] in newer
            else {**next(rows), "index": i}
            for i, entry in enumerate(entries)
        ]
        return answer(200, {"epoch": shop.ask("GET", "/api/entries?limit=1")["epoch"], "rows": said})

    gate.rule = rule
    assert phone.sync()["code"] == "not-understood"
    assert phone.counts() == {"waiting": 120, "shop": 30, "refused": 0}
    gate.rule = lambda *_: None
    assert phone.sync()["pushed"] == 120


def test_a_proxy_that_takes_less_at_once_than_the_shop_never_keeps_the_queue_for_ever(own_shop):
    phone, gate, shop = own_shop
    phone.readings(*range(1, 41))
    gate.rule = lambda method, path, body: (
        (413, {"Content-Type": "text/html"}, b"<h1>413</h1>")
        if method == "POST" and len(json.loads(body)["entries"]) > 3
        else None
    )
    for _ in range(20):
        before = phone.counts()["waiting"]
        if not before:
            break
        phone.sync()
        # Batches shrink first; from then on every round gets something through.
        assert before == 40 or phone.counts()["waiting"] < before
    assert phone.counts() == {"waiting": 0, "shop": 40, "refused": 0}
    assert len(shop.ids()) == 40


def test_two_contents_under_one_id_are_never_shown_on_one_device_only(own_shop, phones):
    one, gate, shop = own_shop
    two, third = phones(gate), phones(gate)
    two.pair(shop, "second phone")
    third.pair(shop, "third phone")
    (made,) = one.readings(214)
    theirs = {**made, "body": {**made["body"], "value": 241.0}}
    # A log that was carried over and altered on the way: the same id, another figure.
    two.js('return log.merge([arg], {came: "file"});', theirs)
    one.sync()
    assert two.sync()["refused"] == [made["id"]]
    for phone in (one, third, one, third):
        phone.sync()
    for phone, mine, others in ((one, 214, [241]), (two, 241, [214]), (third, 214, [241])):
        (row,) = phone.js("return log.disputed(JOB);")
        assert (row["mine"]["body"]["value"], [row["entry"]["body"]["value"]]) == (mine, others)
    assert [row["came"] for row in one.js("return log.disputed(JOB);")] == ["device"]
    assert one.counts() == {"waiting": 0, "shop": 1, "refused": 0}
    assert shop.entries() == [made]


@pytest.fixture
def own_shop(shop, gate_to, phones):
    """A paired phone, its gate and a shop of its own."""
    gate = gate_to(shop)
    phone = phones(gate)
    phone.pair(shop)
    return phone, gate, shop
