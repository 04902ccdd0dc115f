/* What is said of a job's other axle where only the job's own is shown. */

import assert from "node:assert/strict";
import { test } from "node:test";
import { thereWords } from "../../web/work/there-words.js";

/** @param {any} of @returns {any} */
const job = (of = {}) => ({
  car: { other: { sprung: "front" } },
  target: { left_mm: 250, right_mm: 250 },
  readings: [{ what: "body-height", side: "left", value: 214 }],
  moves: [],
  plans: [],
  other: { readings: [], moves: [] },
  teardowns: 0,
  ...of,
});
/** @param {string} side @param {number} value */
const read = (side, value) => ({ what: "body-height", side, value, axle: "front" });

test("of a job of one axle nothing is said", () => assert.equal(thereWords(job({ car: {} })), ""));

test("of the other axle it is said that it is set too, how it was read last and what is wanted of it", () => {
  assert.equal(
    thereWords(job()),
    "The front axle is of this job too. Its ride height is not read. " +
      "What is turned there stands in the app, under Plan and Log.",
  );
  const readings = [read("left", 405), read("right", 415), read("left", 412)];
  const target = { left_mm: 250, right_mm: 250, other: { as: "rise", left_rise_mm: 20, right_rise_mm: 20 } };
  assert.equal(
    thereWords(job({ target, other: { readings, moves: [] } })),
    "The front axle is of this job too. Ride height read last: left 412 mm, right 415 mm. " +
      "Target: Raise both sides by 20 mm. What is turned there stands in the app, under Plan and Log.",
  );
});
