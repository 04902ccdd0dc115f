/* Lengths in millimetres and inches, and the text of a figure as it is typed. 25.4 mm to the inch: BS 350, ISO 31. */

import assert from "node:assert/strict";
import { afterEach, test } from "node:test";

import { cleaned, magnitude, pressed, textOf } from "../../web/work/typed.js";
import {
  estimateIn,
  estimateOnPaper,
  inUnits,
  inchText,
  length,
  onPaper,
  lengthSpread,
  lengthsIn,
  spans,
  spreadOnPaper,
  stiffnesses,
  toInches,
  toMm,
  turningRates,
  useLengths,
  wordsIn,
} from "../../web/work/units.js";
import { forMany } from "./draws.mjs";

afterEach(() => useLengths("mm"));

test("inches are told to the sixteenth where they are one, else with two decimals", () => {
  assert.deepEqual([209.55, 12.7, 254, 214, -6.35, 0].map(inchText), ["8 1/4", "1/2", "10", "8.43", "−1/4", "0"]);
});

test("an inch there and back is the same length", () => {
  forMany(100, ({ between }) => {
    const mm = between(-3000, 3000);
    assert.ok(Math.abs(toMm(toInches(mm)) - mm) < 1e-9);
  });
});

test("a length is said in the unit chosen alone", () => {
  assert.equal(length(214), "214 mm");
  assert.equal(lengthSpread({ value: 250, sd: 2 }), "250 ± 3 mm");
  assert.equal(wordsIn(" mm")(209.55), "209.55 mm");
  useLengths("in");
  assert.equal(length(214), "8.43 in");
  assert.equal(lengthSpread({ value: 250, sd: 2 }), "9.84 ± 0.13 in");
  assert.equal(wordsIn(" mm")(209.55), "8 1/4 in");
  assert.equal(lengthsIn("assumed 60 ± 20 mm, 230 kg"), "assumed 2.36 ± 0.79 in, 230 kg");
});

test("paper has millimetres beside inches", () => {
  assert.equal(onPaper(214.3, 1), "214.3 mm");
  assert.equal(spreadOnPaper({ value: 250, sd: 2 }), "250 ± 3 mm");
  useLengths("in");
  assert.equal(onPaper(214), "8.43 in (214 mm)");
  assert.equal(spreadOnPaper({ value: 250, sd: 2 }), "9.84 ± 0.13 in (250 ± 3 mm)");
});

test("stiffness, and what turning takes, follow the unit chosen; paper has both", () => {
  // lbf/in in 1 N/mm: NIST SP 811, B.8 (1 lbf/in = 175.1268 N/m); lbf·ft: 1.355818 N·m.
  const tyre = { value: 200, sd: 20 };
  assert.equal(estimateIn(tyre, stiffnesses(), 0), "200 ± 33 N/mm");
  assert.equal(estimateOnPaper({ value: 51, sd: 1 }, turningRates(), 1), "51.0 ± 1.6 N·m per degree");
  assert.equal(estimateIn({ value: 4.25, sd: 0.1 }, spans(), 2), "4.25 ± 0.16 mm");
  useLengths("in");
  assert.equal(estimateIn(tyre, stiffnesses(), 0), "1142 ± 188 lbf/in");
  assert.equal(
    estimateOnPaper({ value: 51, sd: 1 }, turningRates(), 1),
    "37.6 ± 1.2 lbf·ft per degree (51.0 ± 1.6 N·m per degree)",
  );
  assert.equal(estimateIn({ value: 4.25, sd: 0.1 }, spans(), 2), "0.167 ± 0.006 in");
});

test("a request asks for its sentences in the unit chosen and stays as it is in millimetres", () => {
  const request = { car: {}, target: { left_mm: 250, right_mm: 250 }, log: [] };
  assert.equal(inUnits(request), request);
  useLengths("in");
  assert.deepEqual(inUnits(request), { ...request, units: "inch" });
  assert.deepEqual(Object.keys(request), ["car", "target", "log"]);
});

test("only what belongs to a number is kept of what was typed", () => {
  assert.equal(cleaned("2a1,4"), "21.4");
  assert.equal(cleaned(".5"), "0.5");
  assert.equal(cleaned("1.2.3"), "1.23");
  assert.equal(cleaned("3.9", { whole: true }), "39");
  assert.equal(cleaned("8 1/4", { fractions: true }), "8 1/4");
  assert.equal(cleaned("8 1/4"), "814");
});

test("a key adds to the text, replaces a lonely nought, or takes the last away", () => {
  assert.equal(pressed("21", "4"), "214");
  assert.equal(pressed("0", "7"), "7");
  assert.equal(pressed("214", "delete"), "21");
});

test("a figure's magnitude is read, and half a fraction is none", () => {
  assert.equal(magnitude("8 1/4"), 8.25);
  assert.equal(magnitude("3/8"), 0.375);
  for (const text of ["", "8 1", "8 1/", "1/", "1/0"]) assert.equal(magnitude(text), null, text);
});

test("whatever magnitude is written is read the same", () => {
  forMany(300, ({ whole }) => {
    const value = whole(0, 3_000_000) / 1000;
    assert.equal(magnitude(textOf(-value)), value);
  });
});
