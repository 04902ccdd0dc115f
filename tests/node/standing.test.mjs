// Where a job stands, in words, and the target as its card says it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { standing } from "../../web/work/standing.js";
import { targetWords } from "../../web/work/target-words.js";

const LEVEL = { left_mm: 250, right_mm: 250, tolerance_mm: 5, lean_mm: 5 };
const sheet = (more = {}) => ({
  teardowns: 0,
  state: "measuring",
  readings: [],
  moves: [],
  steps: [],
  plans: [],
  car: {},
  target: LEVEL,
  closed: null,
  ...more,
});
const height = (side, value, teardown = 0) => ({ what: "body-height", side, value, teardown });
const READ = [height("left", 214), height("right", 222)];
const later = ["car.arm_mm", "gauge-zero"].map((key) => ({ step: `not-now/${key}`, done: true, teardown: 0 }));
const put = ["riding-angle", "board-test"].flatMap((key) =>
  ["left", "right"].map((side) => ({ step: `not-now/${key}`, side, done: true, teardown: 0 })),
);
const stage = (left_mm, right_mm, hit) => ({
  teardown: 1,
  after_km: null,
  reached: { left_mm, right_mm, lean_mm: left_mm - right_mm },
  target: LEVEL,
  hit,
});
const words = (more, stages = []) => standing({ sheet: sheet(more), stages }).words.replaceAll("\u00a0", " ");

test("a job without a target says that it is not chosen", () => {
  assert.equal(words({ target: {} }), "Target not chosen");
});

test("what a plan cannot do without is counted, one and several", () => {
  assert.equal(words({ target: { as: "level" } }), "2 answers still needed");
  assert.equal(words({ target: { as: "level" }, readings: READ.slice(1) }), "1 answer still needed");
});

test("a plan is ready once its heights are read, and more answers may sharpen it", () => {
  assert.equal(words({ target: { as: "level" }, readings: READ }), "Plan ready; 6 more answers sharpen it");
  assert.equal(words({ target: { as: "level" }, readings: READ, steps: [...later, ...put] }), "Plan ready");
});

test("a job goes on where the flow says, not at the plan, as long as something is asked", () => {
  const found = standing({ sheet: sheet({ readings: READ.slice(0, 1) }), stages: [] });
  assert.equal(found.next.words.join("/"), "read/body-height/right");
  assert.equal(found.done, false);
});

const PLAN = {
  id: "p",
  teardown: 1,
  label: "both ends",
  left: { inner: -3, outer: 4, lift: null, lift_now: null },
  right: { inner: 5, outer: -5, lift: null, lift_now: null },
};

test("a teardown under way is told by its side, its step of how many and what is done there", () => {
  const first = words({ readings: READ, plans: [PLAN] });
  assert.match(first, /^Teardown 1, step 1 of \d+: /);
  const keys = ["stands", "eyes"].map((step) => ({ step, done: true, teardown: 1 }));
  const found = standing({ sheet: sheet({ readings: READ, plans: [PLAN], steps: keys }), stages: [] });
  assert.match(found.words, /^Left side, step 3 of \d+: /);
  assert.equal(found.place, "left side");
  assert.equal(found.next.words.join("/"), "propped/1");
});

test("a tooth to be turned is told by its end and its teeth", () => {
  const apart = [
    ["wheel-off", "bolts-out", "arm-down", "cover-off", "found", "count", "caliper", "look"],
    ["stands", "eyes"],
  ];
  const steps = [
    ...apart[0].map((step) => ({ step, side: "left", done: true, teardown: 1 })),
    ...apart[1].map((step) => ({ step, done: true, teardown: 1 })),
  ];
  assert.match(words({ readings: READ, plans: [PLAN], steps }), /^Left side, step \d+ of \d+: inner end, 3 teeth /);
});

test("after a teardown heights are asked for, then the verdict stands", () => {
  const torn = { teardowns: 1, moves: [{ teardown: 1, left: {}, right: {} }] };
  assert.equal(words(torn, [stage(null, null, null)]), "Teardown 1 done: measure heights");
  assert.equal(words(torn, [stage(251, 250, true)]), "On target: hand over");
  assert.equal(words(torn, [stage(242, 249, false)]), "Off target: left 8 mm low");
  assert.equal(words(torn, [stage(254, 246, false)]), "Off target: lean off by 8 mm");
});

test("a job handed over says so and opens at its hand-over", () => {
  const found = standing({ sheet: sheet({ closed: { at: "2026-01-01T00:00:00Z" } }), stages: [] });
  assert.deepEqual([found.words, found.next.words.join("/"), found.done], ["Handed over", "close", true]);
});

test("a card says the target in one short sentence, in each of its forms", () => {
  assert.deepEqual(
    [
      {},
      LEVEL,
      { left_mm: 250, right_mm: 255 },
      { as: "level" },
      { as: "level", rise_mm: 40 },
      { as: "level", at: "lower", rise_mm: -10 },
      { as: "rise", left_rise_mm: 20, right_rise_mm: 20 },
      { as: "rise", left_rise_mm: 0, right_rise_mm: -5 },
    ].map(targetWords),
    [
      "",
      "Level at 250 mm",
      "Left 250 mm, right 255 mm",
      "Level, at the higher side",
      "Raise by 40 mm, level",
      "Lower by 10 mm, level",
      "Raise both sides by 20 mm",
      "Lower the right side by 5 mm",
    ],
  );
});
