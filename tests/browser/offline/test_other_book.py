"""Another book under the same name: a file copied back by hand keeps its epoch, and no phone may mistake it.

The shop is the real one; the file is copied as a person would, with the server stopped.
"""

import shutil

import pytest

from bothends.book.store import BOOK

pytestmark = pytest.mark.same_page

ALL_THERE = """
    const held = new Set(arg);
    return (await log.everything()).filter(({id}) => !held.has(id)).length;
"""


@pytest.fixture
def two(shop, gate_to, phones):
    """Two paired phones, their gate and their shop."""
    gate = gate_to(shop)
    made = phones(gate), phones(gate)
    for phone, name in zip(made, ("first phone", "second phone"), strict=True):
        phone.pair(shop, name)
    return *made, gate, shop


def copied(shop, target):
    """Copy the book's file by hand."""
    shop.stop()
    shutil.copyfile(shop.data / BOOK, target)
    shop.start()


def copied_back(shop, gate, source):
    """Put the file back by hand: no command, no new epoch."""
    shop.stop()
    for left in shop.data.glob(f"{BOOK}*"):
        left.unlink()
    shutil.copyfile(source, shop.data / BOOK)
    shop.start()
    gate.upstream = shop.address


def moved(shop, gate):
    """The server is at another port now."""
    gate.upstream = shop.address


def test_a_book_copied_back_by_hand_never_leaves_a_phone_saying_that_all_is_in_the_shop(two, tmp_path):
    one, other, gate, shop = two
    one.readings(1, 2)
    for phone in (one, other):
        phone.sync()
    copied(shop, tmp_path / "by-hand.sqlite3")
    moved(shop, gate)
    one.readings(*range(3, 13))
    for phone in (one, other):
        phone.sync()
    epoch = shop.ask("GET", "/api/entries")["epoch"]
    copied_back(shop, gate, tmp_path / "by-hand.sqlite3")
    assert shop.ask("GET", "/api/entries")["epoch"] == epoch
    assert len(shop.ids()) == 2
    # The book grows past every cursor before the phone that has the lost ones comes: numbers alone tell nothing.
    stranger = [
        {**entry, "id": entry["id"][:-4] + f"{number:04x}", "job": entry["id"], "body": {"text": f"{number}"}}
        for number, entry in enumerate([{**shop.entries()[0], "kind": "note"}] * 20)
    ]
    assert {row["status"] for row in shop.ask("POST", "/api/entries", {"entries": stranger})["rows"]} == {
        "stored"
    }
    told = one.sync()
    assert told["pushed"] == 12
    assert one.js(ALL_THERE, shop.ids()) == 0
    assert one.counts()["waiting"] == 0
    other.sync()
    one.sync()
    assert one.ids() == other.ids() == sorted(shop.ids())
    assert one.counts() == other.counts() == {"waiting": 0, "shop": 32, "refused": 0}


def test_what_was_answered_for_just_before_the_network_went_is_not_forgotten_with_the_book(two, tmp_path):
    one, _, gate, shop = two
    one.readings(1, 2)
    one.sync()
    copied(shop, tmp_path / "by-hand.sqlite3")
    moved(shop, gate)
    one.readings(3)
    # The push is answered, the pull after it is not: the cursor still stands before what was pushed.
    gate.rule = lambda method, path, _: (502, {}, b"") if path.startswith("/api/entries?after=") else None
    assert one.sync()["code"] == "server-trouble"
    assert one.counts() == {"waiting": 0, "shop": 3, "refused": 0}
    gate.rule = lambda *_: None
    copied_back(shop, gate, tmp_path / "by-hand.sqlite3")
    assert len(shop.ids()) == 2
    one.sync()
    assert one.js(ALL_THERE, shop.ids()) == 0
    assert one.counts() == {"waiting": 0, "shop": 3, "refused": 0}


def test_the_cursor_of_an_older_app_is_read_on_and_sends_nothing_twice(two, tmp_path):
    one, _, gate, shop = two
    one.readings(1, 2)
    one.sync()
    one.js("""
        const {epoch, after} = await base.recall("sync");
        await base.remember("sync", {epoch, after});
    """)
    told = one.sync()
    assert (told["pushed"], told["pulled"]) == (0, 0)
    # From here on it has the entry it ended at.
    assert one.js('return (await base.recall("sync")).id;') == shop.ids()[-1]
    copied(shop, tmp_path / "by-hand.sqlite3")
    moved(shop, gate)
    assert one.sync()["pushed"] == 0
