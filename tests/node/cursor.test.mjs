import assert from "node:assert/strict";
import { test } from "node:test";

import {
  ALL_OF_IT,
  behind,
  beyond,
  furthest,
  holdsSome,
  LEAP,
  mayLeap,
  NOWHERE,
  strange,
} from "../../web/shop/cursor.js";

const id = (/** @type {number} */ n) => `id-${n}`;
/** @returns {any} */
const page = (/** @type {number} */ after, /** @type {number} */ next, more = {}) => ({
  epoch: "one",
  after_id: after ? id(after) : null,
  entries: Array.from({ length: next - after }, (_, i) => ({ id: id(after + 1 + i) })),
  next,
  last: next,
  ...more,
});

test("a place goes from page to page and each fits the next", () => {
  let at = NOWHERE;
  for (const next of [3, 3, 7]) {
    const found = page(at.after, next);
    assert.equal(strange(found, at), false);
    at = behind(found, at);
    assert.deepEqual(at, { epoch: "one", after: next, id: id(next) });
  }
});

test("another record under the number, none, or a book that is too short is another book", () => {
  const at = { epoch: "one", after: 5, id: id(5) };
  assert.equal(strange(page(5, 9, { after_id: id(4) }), at), true);
  assert.equal(strange(page(5, 9, { after_id: null }), at), true);
  assert.equal(strange(page(5, 5, { last: 4 }), at), true);
});

test("a place of an older app, and an older shop, are read on", () => {
  assert.equal(strange(page(5, 9), { epoch: "one", after: 5 }), false);
  assert.equal(behind(page(5, 5), { epoch: "one", after: 5 }).id, id(5));
  const { after_id, ...older } = page(5, 9);
  assert.equal(strange(older, { epoch: "one", after: 5, id: id(5) }), false);
});

test("what was answered for has to come by", () => {
  const rows = /** @type {any[]} */ ([
    { id: id(8), seq: 8, status: "stored" },
    { id: id(6), seq: 6, status: "known" },
    { id: id(9), seq: 9, status: "refused" },
  ]);
  const acked = furthest(rows);
  assert.deepEqual(acked, { id: id(8), seq: 8 });
  const at = beyond({ epoch: "one", after: 5, id: id(5) }, acked);
  assert.ok(at);
  assert.equal(strange(page(5, 7, { last: 9 }), at), false);
  assert.deepEqual(behind(page(5, 7), at).acked, acked);
  assert.equal(strange(page(5, 9), at), false);
  assert.equal(behind(page(5, 9), at).acked, undefined);
  const others = page(5, 9).entries.map((/** @type {{id: string}} */ one) => ({ id: `other ${one.id}` }));
  assert.equal(strange(page(5, 9, { entries: others }), at), true);
  assert.equal(strange(page(5, 6), at), true);
  assert.equal(beyond(at, { id: id(7), seq: 7 }), null);
});

test("a device that has read nothing holds some jobs of a large book, of a shop that can be asked for jobs", () => {
  const large = page(0, 0, { jobs: null, last: LEAP + 1 });
  assert.equal(holdsSome(large, NOWHERE), true);
  assert.equal(holdsSome({ ...large, last: LEAP }, NOWHERE), false);
  assert.equal(holdsSome(large, { epoch: "one", after: 3 }), false);
  const { jobs: _, ...older } = large;
  assert.equal(holdsSome(older, NOWHERE), false);
});

test("who holds some jobs goes on by jobs at the beginning and from far behind, who holds all never", () => {
  const far = page(0, 0, { last: 9 + LEAP });
  assert.equal(mayLeap(far, { epoch: "one", after: 0, some: true }), true);
  assert.equal(mayLeap(far, { epoch: "one", after: 8, some: true }), true);
  assert.equal(mayLeap(far, { epoch: "one", after: 9, some: true }), false);
  assert.equal(mayLeap(far, { epoch: "one", after: 8 }), false);
  assert.equal(mayLeap(far, { epoch: "one", after: 0 }), false);
});

test("a place goes on saying what a device holds and how far it has read the list of the rest", () => {
  const said = { some: true, unlisted: true, rest: ALL_OF_IT };
  const found = behind(page(5, 9), { epoch: "one", after: 5, id: id(5), ...said });
  assert.deepEqual(found, { epoch: "one", after: 9, id: id(9), ...said });
});
