// Slips of the hand named while a figure is typed: units, a point left out, an arm's way; and what says enough.
import assert from "node:assert/strict";
import { test } from "node:test";
import { saysEnough, slipOf } from "../../web/work/slips.js";
import { useLengths } from "../../web/work/units.js";

const height = (size, others = []) => slipOf({ kind: "body-height", value: size, size, others });
const riding = (value, across) =>
  slipOf({ kind: "riding-angle", value, size: Math.abs(value), others: [across], across });

test("a first height that surprises nobody is no slip, nor is one like those read before", () => {
  for (const size of [110, 152, 240, 420, 700]) assert.equal(height(size), null);
  assert.equal(height(171, [152]), null);
});

test("inches typed as millimetres are named by common sense, and beside what was read", () => {
  assert.deepEqual(height(8.9), { value: 226, question: "8.9 mm: inches?", take: "Use 226 mm" });
  assert.equal(height(8.9, [240]).question, "8.9 mm beside 240 mm: inches?");
});

test("centimetres are told from inches by what the figure would be", () => {
  assert.deepEqual(height(21.4), { value: 214, question: "21.4 mm: centimetres?", take: "Use 214 mm" });
});

test("millimetres typed where inches are asked are named", () => {
  useLengths("in");
  const slip = height(214 * 25.4);
  useLengths("mm");
  assert.equal(slip.value, 214);
  assert.match(slip.question, /millimetres\?$/);
});

test("a figure that no unit explains is left to its bounds", () => {
  assert.equal(height(2900), null);
  assert.equal(height(2900, [240]), null);
});

test("pounds on a scale beside kilograms, and a point left out of an angle", () => {
  const load = slipOf({ kind: "wheel-load", value: 640, size: 640, others: [300] });
  assert.deepEqual([load.value, load.question], [290, "640 kg beside 300 kg: pounds?"]);
  const angle = slipOf({ kind: "riding-angle", value: -96, size: 96, others: [] });
  assert.deepEqual([angle.value, angle.take], [-9.6, "Use 9.6°"]);
});

test("an arm that slopes the other way than its fellow is asked about, nearly level ones are not", () => {
  assert.equal(riding(9.6, -8.1).value, -9.6);
  assert.equal(riding(-9.6, -8.1), null);
  assert.equal(riding(1.5, -2), null);
});

test("a slip put right is no slip again", () => {
  for (const size of [8.9, 21.4, 6.1, 35]) {
    const slip = height(size);
    if (slip) assert.equal(height(slip.value), null);
  }
});

test("a point with a digit after it, or a fraction, is no mere beginning", () => {
  for (const text of ["8.9", "8,9", "8 1/4"]) assert.equal(saysEnough(text), true);
  for (const text of ["", "2", "21", "8."]) assert.equal(saysEnough(text), false);
});
