/* Ids and stamps of entries. The form of an id: RFC 9562, UUID version 7. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { LAST_ID, isId, newId, stamp, stampMs, tooLate } from "../../web/book/ids.js";
import { LAST_STAMP_MS } from "../../web/model/facts.js";
import { forMany } from "./draws.mjs";

test("an id is a UUID of version 7 that tells its writer's clock", () => {
  forMany(200, ({ whole }) => {
    const now = whole(0, LAST_STAMP_MS);
    const id = newId({ now });
    assert.ok(isId(id), id);
    assert.equal(stampMs(id), now);
  });
});

test("an id is a millisecond after the last stamp its writer has seen, where its clock is not later", () => {
  const seen = newId({ now: 2_000_000_000_000 });
  for (const now of [1_900_000_000_000, 2_000_000_000_000])
    assert.equal(stampMs(newId({ after: seen, now })), 2_000_000_000_001);
  assert.equal(stampMs(newId({ after: seen, now: 2_100_000_000_000 })), 2_100_000_000_000);
});

test("whatever the clocks and whoever saw whom, an id sorts after all that its writer had seen", () => {
  forMany(300, ({ whole }) => {
    const skews = [whole(-1e12, 1e12), whole(-600_000, 600_000), 0];
    /** The greatest id that each of three writers has seen. */
    const seen = [null, null, null];
    for (let i = 0; i < 30; i += 1) {
      const writer = whole(0, 2);
      if (whole(0, 2) === 0) {
        // Told by another one.
        const from = whole(0, 2);
        if (seen[from] && !(seen[writer] > seen[from])) seen[writer] = seen[from];
        continue;
      }
      const id = newId({ after: seen[writer], now: 1_800_000_000_000 + i + skews[writer] });
      assert.ok(seen[writer] === null || id > seen[writer], `${id} after ${seen[writer]}`);
      assert.equal(tooLate("id", id), "");
      seen[writer] = id;
    }
  });
});

test("nothing ends all writing: a clock beyond the bound is none, and at the bound ids go on", () => {
  const seen = newId({ now: 1_800_000_000_000 });
  assert.equal(stampMs(newId({ after: seen, now: LAST_STAMP_MS + 1 })), 1_800_000_000_001);
  const last = newId({ now: LAST_STAMP_MS });
  assert.equal(stampMs(newId({ after: last, now: 1_800_000_000_000 })), LAST_STAMP_MS);
});

test("an id beyond the bound is told from the last one, with its field, the bound and what to do", () => {
  const last = "06a14142-d3ff-7fff-bfff-ffffffffffff";
  const beyond = "06a14142-d400-7000-8000-000000000000";
  assert.deepEqual([tooLate("id", last), last < LAST_ID, beyond < LAST_ID], ["", true, false]);
  assert.match(tooLate("job", beyond), /^its job is stamped after the year 2200: set the clock of the device/);
});

test("an id has one spelling", () => {
  const id = "0198c000-0000-7000-8000-0000000000aa";
  assert.equal(isId(id), true);
  for (const other of [id.toUpperCase(), `{${id}}`, id.replace("-7", "-4"), id.slice(1), "", null, 7])
    assert.equal(isId(other), false);
});

test("a stamp is RFC 3339 with the phone's own offset, in summer and in winter", () => {
  assert.equal(stamp(new Date("2027-07-01T10:00:00Z")), "2027-07-01T12:00:00+02:00");
  assert.equal(stamp(new Date("2027-01-01T00:30:00Z")), "2027-01-01T01:30:00+01:00");
});
