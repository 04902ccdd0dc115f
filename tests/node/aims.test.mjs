// The five ways to say a target, and the entries they come to.
import assert from "node:assert/strict";
import { test } from "node:test";
import { askedOf, extrasOf, targetBody } from "../../web/work/aims.js";

const asks = [
  [
    { as: "raise", left: 100, right: 100 },
    { as: "level", at: "higher", rise_mm: 100 },
  ],
  [
    { as: "lower", left: 30, right: 30 },
    { as: "level", at: "lower", rise_mm: -30 },
  ],
  [
    { as: "raise", left: 20, right: 20, sides: "alike" },
    { as: "rise", left_rise_mm: 20, right_rise_mm: 20 },
  ],
  [
    { as: "lower", left: 20, right: 20, sides: "left" },
    { as: "rise", left_rise_mm: -20, right_rise_mm: 0 },
  ],
  [
    { as: "raise", left: 20, right: 20, sides: "right" },
    { as: "rise", left_rise_mm: 0, right_rise_mm: 20 },
  ],
  [
    { as: "level", left: 0, right: 0, at: "mean" },
    { as: "level", at: "mean", rise_mm: 0 },
  ],
  [
    { as: "height", left: 250, right: 252 },
    { left_mm: 250, right_mm: 252 },
  ],
  [
    { as: "angle", left: 17.5, right: 17 },
    { as: "hanging-angle", left_deg: 17.5, right_deg: 17 },
  ],
];

test("each way to ask for a target comes to its form", () => {
  for (const [asked, body] of asks) assert.deepEqual(targetBody(asked), body);
});

test("a target on the sheet is opened as it was asked for", () => {
  for (const [asked, body] of asks) {
    const back = askedOf(body);
    for (const name of ["as", "left", "right"]) assert.equal(back[name], asked[name]);
    assert.deepEqual(targetBody(back), body);
  }
  assert.equal(askedOf({}), null);
});

test("tolerances of another form do not go along, and what is as usual is left out", () => {
  const extras = { tolerance_mm: 8, tolerance_deg: 0.5, ballast_left_kg: 75, measured: null };
  assert.deepEqual(targetBody({ as: "height", left: 1, right: 2 }, extras), {
    left_mm: 1,
    right_mm: 2,
    tolerance_mm: 8,
    ballast_left_kg: 75,
  });
  assert.equal(targetBody({ as: "angle", left: 1, right: 2 }, extras).tolerance_mm, undefined);
  assert.deepEqual(extrasOf({ left_mm: 1, tolerance_mm: 8 }), { tolerance_mm: 8 });
});
