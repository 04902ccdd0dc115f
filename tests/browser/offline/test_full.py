"""A phone whose storage is full, by the browser's own quota: readings go on, photos at the shop make room."""

QUOTA = 3_600_000
"""Room for eleven photos, [bytes]; set before anything is written, for a browser looks seldom."""
KEEP = """
  const { keepPhoto } = await import("/book/photos.js");
  const names = [];
  for (const state of arg) {
    const bytes = new Uint8Array(300_000);
    for (let i = 0; i < bytes.length; i += 50_000) crypto.getRandomValues(bytes.subarray(i, i + 50_000));
    names.push(await keepPhoto(bytes, state));
  }
  return names;
"""
KEPT = """
  const { keptPhotos, photoBytes } = await import("/book/photos.js");
  const rows = await keptPhotos();
  const whole = await Promise.all(rows.map(async ({ sha256 }) => (await photoBytes(sha256))?.length === 300_000));
  return rows.flatMap(({ sha256, state }, i) => (whole[i] ? [[sha256, state]] : []));
"""
ROOM = "base.roomBy(async () => (await import('/book/photos.js')).freed());"
WORDS = "return (await log.append(JOB, [['note', { text: 'x'.repeat(arg) }]])).length;"


def full(phones, gate):
    phone = phones(gate)
    session = phone.context.new_cdp_session(phone.page)
    session.send("Storage.overrideQuotaForOrigin", {"origin": gate.address, "quotaSize": QUOTA})
    # As the app does.
    phone.js(ROOM)
    return phone


def test_a_photo_takes_the_place_of_the_oldest_at_the_shop_and_says_so_where_all_wait(shop, gate_to, phones):
    phone = full(phones, gate_to(shop))
    at_shop = phone.js(KEEP, ["shop"] * 4)
    waiting = phone.js(KEEP, ["waiting"] * 6)
    told = None
    for _ in range(8):
        told = phone.js(KEEP, ["waiting"])
        if "error" in told:
            break
        waiting += told
        kept = phone.js(KEPT)
        assert [name for name, state in kept if state == "waiting"] == waiting
        left = [name for name, state in kept if state == "shop"]
        assert left == at_shop[len(at_shop) - len(left) :], "the oldest go first"
    assert told["code"] == "full"
    assert told["error"].startswith("This phone has no room left for a photo. Readings go on.")
    assert phone.js(KEPT) == [[name, "waiting"] for name in waiting]
    phone.readings(214.0)
    assert phone.counts()["waiting"] == 1


def test_records_push_out_photos_that_the_shop_has_and_never_one_that_it_lacks(shop, gate_to, phones):
    phone = full(phones, gate_to(shop))
    waiting = phone.js(KEEP, ["waiting"] * 2)
    phone.js(KEEP, ["shop"] * 8)
    assert phone.js(WORDS, 1_000_000) == 1
    assert phone.js(KEPT) == [[name, "waiting"] for name in waiting]
    # Where nothing is left to make room, what is too large is refused in words, and the next reading is kept.
    told = phone.js(WORDS, 3_000_000)
    assert (told["name"], told["code"]) == ("NotKept", "full")
    assert phone.js(KEPT) == [[name, "waiting"] for name in waiting]
    (reading,) = phone.readings(215.0)
    assert reading["id"] in phone.ids()
