"""A customer erased in the shop is erased on every phone at its next round, and on none by a link."""

import json

import pytest

from bothends.book import erasures

pytestmark = pytest.mark.same_page

TYPED = """
  const made = await log.append(JOB, arg);
  return made.map(({ id }) => id);
"""
KEPT = "return await log.entries(JOB);"
NAMES = [
    ["job", {"title": "Maren's car", "owner": "Maren", "plate": "AB-12", "car": "Gannet"}],
    ["reading", {"what": "body-height", "side": "left", "value": 214, "method": "Maren's tape"}],
]
FOREIGN = """
  const entries = await log.entries(JOB);
  const { newId } = await import("/book/ids.js");
  const id = newId({ after: entries.at(-1).id });
  const at = "2026-11-02T10:00:00Z";
  const erasure = { schema: 1, id, job: JOB, device: "stranger", at, kind: "erase", body: {} };
  const { preview } = await import("/book/incoming.js");
  const { itemsFor, wordsOn } = await import("/work/incoming-parts.js");
  const [of] = (await preview([...entries, erasure])).looked;
  const words = wordsOn(of.parts);
  const asked = [...words.values()].map(({ word }) => word);
  const told = async (word) => itemsFor(of.parts, wordsOn(of.parts, new Map(of.parts.map(({ id }) => [id, word]))));
  const refused = await log.merge([erasure], { came: "link", then: new Map([[JOB, await told("refuse")]]) });
  const after = (await log.entries(JOB)).map(({ kind }) => kind);
  await log.merge([erasure], { came: "link", then: new Map([[JOB, await told("take")]]) });
  return { asked, refused, after, taken: await log.entries(JOB), name: of.parts[0].changes[0].name };
"""


def words_on(phone):
    """Whether the phone's databases have the name anywhere, or what is typed half."""
    found = phone.js("""
      const names = ["entries", "disputed", "meta", "jobs"];
      const all = await base.transact(names, "readonly", (tx) =>
        Promise.all(names.map((name) => tx.objectStore(name).getAll())));
      return JSON.stringify([all, { ...localStorage }]);
    """)
    return "maren" in found.lower()


def test_two_phones_one_of_them_away_with_a_note_and_the_shop_agree_without_a_word(shop, gate_to, phones):
    gate = gate_to(shop)
    one, two = phones(gate), phones(gate)
    one.pair(shop, "first")
    two.pair(shop, "second")
    one.js(TYPED, NAMES)
    one.sync()
    two.sync()
    for phone in (one, two):
        # The start page as it was drawn last has a card of it.
        phone.js("localStorage.setItem('bothends/start', JSON.stringify(['b', {}, 'Maren']));")
    assert words_on(two)
    (job,) = {entry["job"] for entry in shop.entries()}
    (late,) = two.js(TYPED, [["note", {"text": "Maren rang"}]])
    shop.ask("POST", "/api/erasures", {"jobs": [job], "cars": {job: "Gannet"}})
    one.sync()
    assert not words_on(one)
    assert words_on(two)
    two.sync()
    assert not words_on(two)
    one.sync()
    kept = {json.dumps(phone.js(KEPT), sort_keys=True) for phone in (one, two)}
    assert len(kept) == 1
    note = next(entry for entry in json.loads(kept.pop()) if entry["id"] == late)
    assert (note["body"], note["erased"]) == ({"text": ""}, True)
    assert "Maren" not in json.dumps(shop.entries())
    sheet = one.js("return (await fold.sheetOf(JOB)).sheet;")
    assert (sheet["owner"], sheet["car_name"], sheet["readings"][0]["value"]) == ("", "Gannet", 214)
    assert sheet["erased"]["at"]
    # What is typed in knowledge of it is a new fact, everywhere.
    two.js(TYPED, [["note", {"text": "new owner"}]])
    two.sync()
    one.sync()
    for phone in (one, two):
        assert [e["body"].get("text") for e in phone.js(KEPT) if e["kind"] == "note"] == ["", "new owner"]
    assert one.counts()["refused"] == two.counts()["refused"] == 0


def test_old_contents_that_come_again_by_a_link_or_a_restored_book_change_nothing(
    shop, gate_to, phones, tmp_path
):
    gate = gate_to(shop)
    phone = phones(gate)
    phone.pair(shop)
    phone.js(TYPED, NAMES)
    phone.sync()
    before = phone.js(KEPT)
    shop.copy(tmp_path / "copy.sqlite3")
    shop.ask("POST", "/api/erasures", {"jobs": [before[0]["job"]]})
    phone.sync()
    told = phone.js('return log.merge(arg, { came: "link" });', before)
    assert (len(told["known"]), told["disputed"], told["added"]) == (2, [], [])
    assert not words_on(phone)
    shop.restore(tmp_path / "copy.sqlite3")
    gate.upstream = shop.address
    assert "Maren" not in json.dumps(shop.entries())
    assert phone.sync()["refused"] == []
    assert not words_on(phone)
    assert {entry["device"] for entry in erasures.read(shop.data)} != set()


def test_an_erasure_in_a_link_is_asked_about_let_go_where_refused_and_written_anew_where_taken(phone):
    phone.js(TYPED, NAMES)
    found = phone.js(FOREIGN)
    assert found["asked"] == [None]
    assert found["name"] == "The customer"
    assert found["after"] == ["job", "reading"]
    assert [entry["kind"] for entry in found["taken"]] == ["job", "reading", "erase"]
    assert found["taken"][-1]["device"] != "stranger"
    assert found["taken"][-1]["body"] == {"entries": 2}
    assert not words_on(phone)


PHOTO = """
  const { keepPhoto } = await import("/book/photos.js");
  const sha256 = await keepPhoto(new TextEncoder().encode(arg.bytes));
  const body = { sha256, bytes: 20, width: 4, height: 3, shows: "other", words: "Maren" };
  for (const job of arg.jobs) await log.append(job, [["photo", body]]);
  return sha256;
"""
PHOTOS = """
  const { keptPhotos, photoBytes } = await import("/book/photos.js");
  const rows = await keptPhotos();
  const there = await Promise.all(arg.map(photoBytes));
  return [rows.map(({ sha256 }) => sha256).sort(), there.map((bytes) => bytes !== null)];
"""
DRAFT = """
  const drafts = await import("/book/drafts.js");
  drafts.keep(arg, "about", { owner: "Maren" });
  drafts.keep(arg, "note", "Maren rang");
"""
OTHER = "0198c000-0000-7000-8000-0000000000bb"


@pytest.mark.parametrize(
    "way", ["by the shop", pytest.param("on this phone", marks=pytest.mark.long("an erasure by the shop"))]
)
def test_with_the_words_go_bytes_of_photos_and_what_is_typed_half(shop, gate_to, phones, way):
    phone = phones(gate_to(shop))
    phone.pair(shop)
    entries = phone.js(TYPED, NAMES)
    (job,) = phone.js("return log.jobs();")
    own = phone.js(PHOTO, {"bytes": "of her plate", "jobs": [job]})
    both = phone.js(PHOTO, {"bytes": "of two jobs", "jobs": [job, OTHER]})
    phone.js(DRAFT, job)
    phone.js('(await import("/book/drafts.js")).keep(arg, "about", { owner: "Ben" });', OTHER)
    phone.sync()
    if way == "by the shop":
        shop.ask("POST", "/api/erasures", {"jobs": [job]})
        phone.sync()
    else:
        phone.js('await log.append(arg, [["erase", {}]]);', job)
    assert phone.js(PHOTOS, [own, both]) == [[both], [False, True]]
    assert phone.js("return Object.keys(localStorage).filter((key) => key.includes('/draft/'));") == [
        f"bothends/draft/{OTHER}/about"
    ]
    # The other job has the second photo too, and its own words.
    assert [e["body"]["words"] for e in phone.js("return log.entries(arg);", OTHER)] == ["Maren"]
    phone.js('await log.append(arg, [["erase", {}]]);', OTHER)
    assert phone.js(PHOTOS, [own, both]) == [[], [False, False]]
    assert not words_on(phone)
    assert entries[0] in {entry["id"] for entry in phone.js(KEPT)}


def test_what_a_page_left_undone_after_an_erasure_the_next_one_does(phone):
    phone.js(TYPED, NAMES)
    own = phone.js(PHOTO, {"bytes": "of her plate", "jobs": [phone.js("return JOB;")]})
    phone.js("""
      const { eraseIn } = await import("/book/erasing.js");
      const stores = ["entries", "marks", "disputed", "meta", "jobs"];
      const erasure = { id: ids.newId(), job: JOB, body: {} };
      await base.transact(stores, "readwrite", (tx) => eraseIn(tx, erasure));
    """)
    assert phone.js(PHOTOS, [own])[1] == [True]
    phone.page.reload()
    phone.page.locator("body[data-ready]").wait_for()
    phone.js(TYPED, [["note", {"text": "new owner"}]])
    assert phone.js(PHOTOS, [own])[1] == [False]


def test_a_key_made_of_the_customers_name_goes_from_other_jobs_on_the_phone_too(shop, gate_to, phones):
    gate = gate_to(shop)
    one, two = phones(gate), phones(gate)
    one.pair(shop, "first")
    two.pair(shop, "second")
    one.js(TYPED, NAMES)
    key = "gannet / maren"
    sold = [["job", {"car": "Gannet", "owner": "Ben", "by_name": False, "car_id": key}]]
    one.js("return log.append(arg[0], arg[1]);", [OTHER, sold])
    one.sync()
    two.sync()
    (job,) = {entry["job"] for entry in shop.entries()} - {OTHER}
    two.js("return log.append(arg[0], arg[1]);", [OTHER, [["job", {"wish": "low", "car_id": key}]]])
    shop.ask("POST", "/api/erasures", {"jobs": [job], "cars": {job: "Gannet"}})
    two.sync()
    one.sync()
    for phone in (one, two):
        assert not words_on(phone)
        assert phone.counts()["refused"] == 0
        sheet = phone.js("return (await fold.sheetOf(arg)).sheet;", OTHER)
        assert (sheet["owner"], sheet["wish"], sheet["erased"]) == ("Ben", "low", None)
        assert phone.js("return log.disputed();") == []
    (hers,) = one.js("return [(await fold.sheetOf(arg)).sheet.about.car_id];", job)
    assert one.js("return (await fold.sheetOf(arg)).sheet.about.car_id;", OTHER) == hers
    assert len({json.dumps(p.js("return log.entries(arg);", OTHER), sort_keys=True) for p in (one, two)}) == 1
