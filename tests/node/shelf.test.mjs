// On which shelf a job stands, how a line of the shop's list looks as a card, what is said of a part.
import assert from "node:assert/strict";
import { test } from "node:test";
import { restAfter } from "../../web/shop/cursor.js";
import { cardOfLine, lastOf } from "../../web/work/card-line.js";
import { holdingWords, lackWords, movingWords, partWords, unreadWords } from "../../web/work/holding-words.js";

// The channel to other pages would keep this process open.
delete (/** @type {any} */ (globalThis).BroadcastChannel);
const { shelfOf } = await import("../../web/book/shelf.js");

/** @type {any} */
const LINE = {
  job: "019aa000-0000-7000-8000-000000000001",
  title: "Gannet roadster, Tove",
  car: "Gannet roadster",
  owner: "Tove",
  wish: "level it",
  state: "planned",
  target_left_mm: 250,
  target_right_mm: 250,
  hidden: false,
  last_at: "2026-03-04T10:00:00Z",
};

test("a job that is hidden stands with the hidden ones, whether it was handed over or not", () => {
  assert.equal(shelfOf({ done: false, hidden: false }), "open");
  assert.equal(shelfOf({ done: true, hidden: false }), "closed");
  assert.equal(shelfOf({ done: false, hidden: true }), "hidden");
  assert.equal(shelfOf({ done: true, hidden: true }), "hidden");
});

test("the card of a line says what the list knows: name, target, where the job stands and where it goes on", () => {
  const card = cardOfLine(LINE);
  assert.match(card.name, /Gannet roadster/);
  assert.match(card.target, /250/);
  assert.equal(card.stands, "Plan ready");
  assert.deepEqual(card.next, { words: ["plan"], query: {} });
  assert.equal(card.done, false);
  assert.equal(cardOfLine({ ...LINE, state: "closed" }).done, true);
  assert.equal(cardOfLine({ ...LINE, hidden: true }).hidden, true);
});

test("a line without a target says what was asked; a state of another version is being measured", () => {
  const card = cardOfLine({ ...LINE, target_left_mm: null, state: "of another version" });
  assert.equal(card.target, "level it");
  assert.equal(card.stands, "Measuring");
});

test("lines are ordered as ids are, by when they were worked on; one that does not say so by its job", () => {
  const at = (/** @type {string | null} */ last_at) => lastOf({ job: LINE.job, last_at: /** @type {any} */ (last_at) });
  assert.ok(at("2026-03-04T10:00:00Z") < at("2026-03-04T10:00:01Z"));
  assert.ok(at("1999-03-04T10:00:00Z") < at("2026-03-04T10:00:00Z"));
  assert.equal(at(null), LINE.job);
  assert.equal(at("yesterday"), LINE.job);
  const ms = Date.parse("2026-03-04T10:00:00Z");
  assert.equal(parseInt(at("2026-03-04T10:00:00Z").replace("-", ""), 16), ms);
});

test("the list of the rest is read to its end, then the list of those hidden", () => {
  /** @type {any} */
  const page = { next: 40 };
  assert.deepEqual(restAfter({ state: "", after: 0 }, page), { state: "", after: 40 });
  assert.deepEqual(restAfter({ state: "", after: 40 }, { ...page, next: null }), { state: "hidden", after: 0 });
  assert.equal(restAfter({ state: "hidden", after: 0 }, { ...page, next: null }).ended, true);
});

test("a device that holds some jobs says how many of how many, as far as that is known", () => {
  const held = { here: 240, of: 10000, asked: false };
  assert.match(holdingWords(held), /^This phone holds 240 of 10,000 jobs\./);
  assert.match(holdingWords({ ...held, of: null }), /^This phone holds 240 of the shop’s jobs\./);
  assert.match(
    lackWords({ ...held, of: null }),
    /^This phone holds 240 of the shop’s jobs\. The others are at the shop/,
  );
  assert.match(
    lackWords({ ...held, then: true }),
    /^This phone holds 240 of the shop’s jobs \(10,000 when it was last asked\)\. The others/,
  );
  assert.match(movingWords(held), /^240 of 10,000 jobs are on this phone and go along\. The others come from the shop/);
  assert.equal(unreadWords(1), "1 job is still to be read.");
  assert.equal(partWords(held), "240 of 10,000 jobs are on this phone; the shop’s export has all.");
});
