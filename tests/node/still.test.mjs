// Whether something that was read can be read again, and what is asked after a choice.
import assert from "node:assert/strict";
import { test } from "node:test";
import { past } from "../../web/work/still.js";
import { unsureReadings, unsureSentence } from "../../web/work/unsure.js";

const EMPTY = { readings: [], moves: [], plans: [], steps: [], car: {}, closed: null, teardowns: 0 };
const sheet = (more = {}) => ({ ...EMPTY, ...more });
const height = (id, teardown = 0, more = {}) => ({
  id,
  root: id,
  what: "body-height",
  side: "left",
  value: 214,
  teardown,
  ...more,
});
const hanging = (id, teardown = 0, more = {}) => height(id, teardown, { what: "hanging-angle", value: 3.1, ...more });
const turned = { teardowns: 1, moves: [{ id: "m", teardown: 1, left: { inner: -3, outer: 4 } }] };

test("a height can be read again until teeth are turned or the car is handed over", () => {
  assert.equal(past(sheet(), height("a")), "");
  assert.equal(past(sheet(turned), height("a")), "Teeth were turned since");
  assert.equal(past(sheet(turned), height("a", 1)), "");
  assert.equal(past(sheet({ ...turned, closed: { id: "c" } }), height("a", 1)), "The car was handed over");
});

test("an arm as found hangs free until its side is turned", () => {
  assert.equal(past(sheet(), hanging("a")), "");
  assert.equal(past(sheet(turned), hanging("a")), "Teeth were turned since");
});

test("an arm read after its teeth were turned cannot be read again once it is on its stop, or the car stood", () => {
  assert.equal(past(sheet(turned), hanging("a", 1)), "");
  const up = [{ step: "arm-up", side: "left", teardown: 1, done: true }];
  assert.equal(past(sheet({ ...turned, steps: up }), hanging("a", 1)), "The bar is loaded again");
  assert.equal(past(sheet({ ...turned, steps: up }), hanging("a", 1, { side: "right" })), "");
  const stood = sheet({ ...turned, readings: [hanging("a", 1), height("b", 1)] });
  assert.equal(past(stood, hanging("a", 1)), "The bar is loaded again");
  for (const what of ["riding-angle", "hub-to-body", "bump-gap", "damper-length"]) {
    const on = sheet({ ...turned, readings: [hanging("a", 1), height("b", 1, { what })] });
    assert.equal(past(on, hanging("a", 1)), "The bar is loaded again", what);
  }
  // A bolt is as long whether the wheel hangs or not.
  const bolt = sheet({ ...turned, readings: [hanging("a", 1), height("b", 1, { what: "bolt-length" })] });
  assert.equal(past(bolt, hanging("a", 1)), "");
});

test("a recheck can be read again until a later one", () => {
  const first = height("a", 1, { after_km: 300 });
  assert.equal(past(sheet({ ...turned, closed: { id: "c" }, readings: [first] }), first), "");
  const both = [first, height("b", 1, { after_km: 900 })];
  assert.equal(past(sheet({ ...turned, closed: { id: "c" }, readings: both }), first), "The car was driven since");
});

test("after a choice it is said what was chosen and what the device had, and each answer writes one entry", () => {
  const said = (value) => ({ entry: "e", value, at: "", device: "d", writer: null });
  const asked = {
    choice: "settle",
    kind: "move",
    field: "",
    teardown: 1,
    device: "d",
    kept: said([-3, 4, 0, 0]),
    lost: said([-3, 5, 0, 0]),
    readings: ["a", "gone"],
  };
  const words = unsureSentence(asked);
  assert.match(words, /outer 4 teeth arm down; right: no change” was chosen/);
  assert.match(words, /had “left: inner 3 teeth arm up, outer 5 teeth arm down/);
  const [one, ...rest] = unsureReadings(asked, sheet({ ...turned, readings: [height("a", 1)] }));
  assert.deepEqual(rest, []);
  assert.deepEqual(one.holds[0].slice(0, 1), ["note"]);
  assert.deepEqual([one.holds[0][1].about, one.holds[0][1].checked], ["a", "settle"]);
  assert.equal(one.remove[0][1].entry, "a");
  assert.equal(one.past, "");
});
