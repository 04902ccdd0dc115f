/* Ids and stamps of entries. The form of an id: RFC 9562, UUID version 7. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { isId, newId, stamp, stampMs } from "../../web/book/ids.js";
import { forMany } from "./draws.mjs";

test("an id is a UUID of version 7 that tells its writer's clock", () => {
  forMany(200, ({ whole }) => {
    const now = whole(0, 2 ** 48 - 1);
    const id = newId({ now });
    assert.ok(isId(id), id);
    assert.equal(stampMs(id), now);
  });
});

test("an id is never earlier than one its writer has seen in the job", () => {
  const seen = newId({ now: 2_000_000_000_000 });
  assert.equal(stampMs(newId({ after: seen, now: 1_900_000_000_000 })), 2_000_000_000_000);
  assert.equal(stampMs(newId({ after: seen, now: 2_100_000_000_000 })), 2_100_000_000_000);
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
