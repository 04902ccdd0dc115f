/* Numbers as people read them. The expected texts were written by hand from the module's own promises. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { angle, inHundred, plain, short, spread, teeth, turn, turns } from "../../web/work/numbers.js";

test("a number below nought has a true minus sign, and what rounds to nought has none", () => {
  assert.equal(plain(-3.14), "−3.1");
  assert.equal(plain(-0.04), "0.0");
  assert.equal(plain(2.5, 0), "3");
});

test("a number has no more decimals than it needs", () => {
  assert.deepEqual(
    [250, 8.25, 0.1 + 0.2, 1 / 3].map((value) => short(value)),
    ["250", "8.25", "0.3", "0.333"],
  );
  assert.equal(short(1 / 3, 1), "0.3");
});

test("an angle says which way the arm went, unless it reads nought", () => {
  assert.equal(angle(3.14), "3.1° arm down");
  assert.equal(angle(-3.14), "3.1° arm up");
  assert.equal(angle(0.04), "0.0°");
});

test("an estimate is never without the range that holds 90 in 100", () => {
  assert.equal(spread({ value: 249.9, sd: 2.4 }, "mm"), "250 ± 4 mm");
  assert.equal(spread({ value: -0.62, sd: 0.21 }, "°", 1), "−0.6 ± 0.3 °");
});

test("teeth are counted in the singular and the plural, either way, and none is no change", () => {
  assert.deepEqual([-3, 1, 0].map(teeth), ["3 teeth arm up", "1 tooth arm down", "no change"]);
});

test("uncounted teeth are a turn in degrees", () => {
  assert.deepEqual([5.73, -5.73, 0.04].map(turn), ["5.7° arm down", "5.7° arm up", "no change"]);
  assert.equal(turns({ inner: null, outer: null, turn_deg: 5.73 }), "5.7° arm down");
  assert.equal(turns({ inner: null, outer: null, turn_deg: 0 }, "stays"), "stays");
});

test("a side's turns name each end that is turned", () => {
  assert.equal(turns({ inner: -3, outer: 4 }), "inner 3 teeth arm up, outer 4 teeth arm down");
  assert.equal(turns({ inner: 0, outer: 1 }), "outer 1 tooth arm down");
  assert.equal(turns({ inner: 0, outer: 0 }), "no change");
});

test("odds are never rounded to certainty", () => {
  assert.deepEqual([0.91, 0.001, 0.999, 0, 1].map(inHundred), [
    "91 in 100",
    "under 1 in 100",
    "over 99 in 100",
    "0 in 100",
    "100 in 100",
  ]);
});
