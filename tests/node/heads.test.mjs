/* What a writer has in front of it of a card: the entries that no other one there has seen. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { headsOf } from "../../web/book/heads.js";
import { MOST_SEEN } from "../../web/model/facts.js";

const idOf = (n) => `0198c000-${String(n).padStart(4, "0")}-7000-8000-000000000000`;
const entry = (n, saw, kind = "target") => ({ id: idOf(n), kind, body: {}, ...(saw ? { saw: saw.map(idOf) } : {}) });

test("those that nobody has seen stand side by side", () => {
  assert.deepEqual(headsOf([], "target"), []);
  assert.deepEqual(headsOf([entry(1, []), entry(2, [1])], "target"), [idOf(2)]);
  assert.deepEqual(headsOf([entry(1, []), entry(2, [1]), entry(3, [1])], "target"), [idOf(2), idOf(3)]);
  assert.deepEqual(headsOf([entry(1, []), entry(2, [1]), entry(3, [1]), entry(4, [2, 3])], "target"), [idOf(4)]);
});

test("one that does not say what it saw has seen all before it", () => {
  assert.deepEqual(headsOf([entry(1, []), entry(2, []), entry(3)], "target"), [idOf(3)]);
  assert.deepEqual(headsOf([entry(1, []), entry(2), entry(3, [1])], "target"), [idOf(2), idOf(3)]);
});

test("other cards and what is beyond the bound count for nothing", () => {
  const beyond = { id: "06a14142-d400-7000-8000-000000000000", kind: "target", body: {} };
  assert.deepEqual(headsOf([entry(1, []), entry(2, [], "car"), beyond], "target"), [idOf(1)]);
});

test("no more are named than an entry may name, the latest of them", () => {
  const many = Array.from({ length: MOST_SEEN + 5 }, (_, n) => entry(n, []));
  assert.deepEqual(
    headsOf(many, "target"),
    many.slice(5).map(({ id }) => id),
  );
});
