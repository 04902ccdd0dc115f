// The last look at the plan before a tooth is turned: what is asked, what is said, what is written.
import assert from "node:assert/strict";
import { test } from "node:test";
import { keptRequest, lookBody, looked, lookRequest, openSides } from "../../web/work/look.js";

const PLAN = {
  id: "p1",
  teardown: 1,
  label: "both ends",
  odds: 0.71,
  left: { inner: -3, outer: 4 },
  right: { inner: 5, outer: -5 },
};
const DEGREES = { id: "p1", teardown: 1, odds: 0.5, left: { turn_deg: 14 }, right: { turn_deg: 11 } };
const sheet = (more = {}) => ({ readings: [], moves: [], steps: [], plans: [PLAN], car: {}, ...more });
const MOVED = sheet({ moves: [{ id: "m1", teardown: 1, left: { inner: -3, outer: 4 } }] });
const REQUEST = {
  car: { arm_mm: 415, held: { right: ["outer"] } },
  target: { left_mm: 250, right_mm: 250 },
  log: [{ kind: "reading", what: "hanging-angle", side: "left", value: 3, teardown: 0 }],
};
const WITH_MOVE = {
  ...REQUEST,
  log: [...REQUEST.log, { kind: "move", teardown: 1, left: { inner: -3, outer: 4 }, right: { inner: 0, outer: 0 } }],
};
const side = (inner, outer) => ({
  inner,
  outer,
  turn_deg: 9 * inner + (360 / 44) * outer,
  hanging_deg: 8,
  riding_deg: -4,
  rise_mm: { value: 30, sd: 2 },
  lift: {},
});
const option = (odds, left, right, more = {}) => ({
  label: "both ends",
  odds,
  stopped_by: [],
  ends_disturbed: [...left, ...right].filter(Boolean).length,
  lean_mm: { value: 0, sd: 1 },
  cautions: [],
  left: side(...left),
  right: side(...right),
  ...more,
});
const estimate = { hanging_deg: { value: 3, sd: 0.1 } };
const answer = (...options) => ({
  options,
  now: { left: estimate, right: estimate },
  target: { left_mm: 250, right_mm: 250 },
  doubts: [],
});
const still = (odds) => answer(option(odds, [0, 0], [0, 0]));

test("with no tooth turned the sheet's own request is asked, and its plan as if it were turned and held", () => {
  assert.equal(lookRequest(REQUEST, sheet(), PLAN), REQUEST);
  const kept = keptRequest(REQUEST, sheet(), PLAN);
  assert.deepEqual(kept.log.at(-1), { kind: "move", teardown: 1, left: PLAN.left, right: PLAN.right });
  assert.deepEqual(kept.car.held, { left: ["inner", "outer"], right: ["inner", "outer"] });
  assert.equal(keptRequest(REQUEST, sheet(), DEGREES), null);
});

test("with one side turned only the other is planned, and ends held by the car stay held", () => {
  assert.deepEqual(openSides(MOVED, PLAN), ["right"]);
  const asked = lookRequest(WITH_MOVE, MOVED, PLAN);
  assert.deepEqual(asked.car.held, { left: ["inner", "outer"], right: ["outer"] });
  assert.deepEqual(asked.log.at(-1), {
    kind: "move",
    teardown: 1,
    left: { inner: -3, outer: 4 },
    right: { inner: 0, outer: 0 },
  });
  assert.equal(asked.log.filter((row) => row.kind === "move").length, 1);
});

test("a side with one end ticked is no longer open, and counts as turned by its plan", () => {
  const ticked = sheet({ steps: [{ step: "turn-inner", side: "left", teardown: 1, done: true }] });
  assert.deepEqual(openSides(ticked, PLAN), ["right"]);
  assert.deepEqual(lookRequest(REQUEST, ticked, PLAN).log.at(-1).left, { inner: -3, outer: 4 });
});

test("the same teeth are a plan that stays", () => {
  const found = looked({
    answer: answer(option(0.74, [-3, 4], [5, -5])),
    kept: still(0.74),
    sheet: sheet(),
    plan: PLAN,
    side: "left",
  });
  assert.equal(found.state, "stays");
  assert.equal(found.chance, "74 in 100");
  assert.deepEqual(found.lines, ["Inner end: 3 teeth arm up, as planned", "Outer end: 4 teeth arm down, as planned"]);
});

test("another tooth for next to nothing is no change, and the plan that is written says the teeth of the plan", () => {
  const all = answer(option(0.75, [-4, 4], [5, -5]), option(0, [0, 0], [0, 0]));
  const found = looked({ answer: all, kept: still(0.74), sheet: sheet(), plan: PLAN, side: "left" });
  assert.equal(found.state, "stays");
  const body = lookBody({
    answer: all,
    look: found,
    sheet: sheet(),
    plan: PLAN,
    target: { left_mm: 250, right_mm: 250 },
  });
  assert.deepEqual(
    [body.left.inner, body.left.outer, body.right.inner, body.right.outer, body.odds],
    [-3, 4, 5, -5, 0.74],
  );
});

test("a better tooth is said beside the planned one, with both chances", () => {
  const found = looked({
    answer: answer(option(0.88, [-4, 4], [4, -5])),
    kept: still(0.71),
    sheet: sheet(),
    plan: PLAN,
    side: "left",
  });
  assert.equal(found.state, "changes");
  assert.equal(found.chance, "71 → 88 in 100");
  assert.deepEqual(found.lines, [
    "Inner end: 4 rather than 3 teeth arm up",
    "Outer end: 4 teeth arm down, as planned",
    "The right side changes too.",
  ]);
});

test("a simpler way that was chosen is kept to while it costs no more than twenty in a hundred", () => {
  const outer = { ...PLAN, label: "outer ends only", left: { inner: 0, outer: 1 }, right: { inner: 0, outer: 1 } };
  const asked = (odds) =>
    looked({
      answer: answer(option(0.8, [-3, 4], [5, -5]), option(odds, [0, 2], [0, 1], { label: "outer ends only" })),
      kept: still(0.5),
      sheet: sheet(),
      plan: outer,
      side: "left",
    });
  assert.deepEqual(asked(0.65).option.left.outer, 2);
  assert.deepEqual(asked(0.55).option.left.inner, -3);
});

test("a plan in degrees becomes one in whole teeth, beside the degrees that were planned", () => {
  const found = looked({
    answer: answer(option(0.8, [2, 0], [0, 1])),
    kept: null,
    sheet: sheet(),
    plan: DEGREES,
    side: "left",
  });
  assert.equal(found.state, "counted");
  assert.equal(found.chance, "50 → 80 in 100");
  assert.deepEqual(found.lines, [
    "Inner end: 2 teeth arm down",
    "That is 18.0° arm down; planned were 14.0° arm down.",
  ]);
});

test("a side that no longer needs turning says so", () => {
  const found = looked({
    answer: answer(option(0.9, [0, 0], [5, -5])),
    kept: still(0.6),
    sheet: sheet(),
    plan: PLAN,
    side: "left",
  });
  assert.equal(found.state, "leave");
});

test("a doubted reading or a forbidden plan is no plan to turn by", () => {
  const doubt = { ...answer(option(0.9, [0, 0], [5, -5])), withheld: true, doubts: [{ text: "Left reads high." }] };
  assert.equal(looked({ answer: doubt, kept: null, sheet: sheet(), plan: PLAN, side: "left" }).state, "doubt");
  const no = answer(option(0.9, [-4, 4], [5, -5], { stopped_by: ["Past its stop by 3°."] }));
  const found = looked({ answer: no, kept: still(0.6), sheet: sheet(), plan: PLAN, side: "left" });
  assert.deepEqual([found.state, found.lines, found.option], ["forbidden", ["Past its stop by 3°."], null]);
});

test("the plan written for the second side has the first side's teeth as they were turned", () => {
  const all = answer(option(0.9, [0, 0], [6, -6], { label: "right side only" }));
  const found = looked({ answer: all, kept: still(0.6), sheet: MOVED, plan: PLAN, side: "right" });
  const body = lookBody({ answer: all, look: found, sheet: MOVED, plan: PLAN, target: {} });
  assert.deepEqual([body.left.inner, body.left.outer, body.right.inner, body.right.outer], [-3, 4, 6, -6]);
});
