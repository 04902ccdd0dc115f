/* What the bar says of the shop, and when it says nothing. */

import assert from "node:assert/strict";
import { test } from "node:test";
import { shopMark } from "../../web/work/shop-mark.js";

const WELL = { state: "idle", code: null, text: "" };
const AWAY = { state: "waiting", code: "no-answer", text: "The shop's server cannot be reached." };
const OVER = { state: "stopped", code: "key-refused", text: "" };
const BUSY = { state: "working", code: null, text: "" };
const counts = (waiting = 0, refused = 0) => ({ waiting, shop: 9, refused });
const mark = (status, all, more = {}) => shopMark({ status, all, paired: true, ...more });

test("nothing is said where all is well, and nothing of what has just been entered", () => {
  assert.equal(mark(WELL, counts()), null);
  assert.equal(mark(AWAY, counts()), null);
  assert.equal(mark(WELL, counts(2)), null);
  assert.equal(mark(BUSY, counts(2)), null);
});

test("nothing is said where there is no shop, whatever is on the device", () => {
  for (const status of [WELL, AWAY, OVER, { state: "stopped", code: "not-paired", text: "" }])
    assert.equal(mark(status, counts(3, 2), { paired: false }), null);
});

test("what is not at the shop is counted as long as the shop does not answer, and leads to what can be done", () => {
  const said = mark(AWAY, counts(3));
  assert.equal(said.words, "3 not synced");
  assert.match(said.more, /^3 not synced\. The shop's server cannot be reached\. /);
  assert.equal(said.href, "#/settings");
});

test("access that has ended is said with its remedy and what is not synced, before anything else", () => {
  const said = mark(OVER, counts(2, 1));
  assert.deepEqual([said.words, said.remedy, said.href], ["Access ended", "pair again", "#/pair"]);
  assert.match(said.more, /Everything entered is kept here\. 2 not synced\.$/);
  assert.match(mark(OVER, counts()).more, /kept here\.$/);
});

test("a try that is under way changes nothing of what was said; one that went well does", () => {
  for (const [status, all] of [
    [AWAY, counts(3)],
    [OVER, counts(1)],
  ]) {
    const was = mark(status, all);
    assert.equal(mark(BUSY, all, { was }).words, was.words);
    assert.equal(mark(WELL, counts(), { was }), null);
  }
  // Nothing is left to wait for, though the try is not over.
  assert.equal(mark(BUSY, counts(), { was: mark(AWAY, counts(3)) }), null);
});

test("what the shop has refused is said where nothing waits", () => {
  const said = mark(WELL, counts(0, 2));
  assert.deepEqual([said.words, said.href], ["2 refused", "#/refused"]);
  assert.equal(mark(AWAY, counts(1, 2)).words, "1 not synced");
});
