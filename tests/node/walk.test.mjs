/* The teardown of a job's other axle: what of it is in the log, what the model is asked and answers seen from there. */

import assert from "node:assert/strict";
import { test } from "node:test";
import { stagesOf, whereNow } from "../../web/work/flow.js";
import { openOf } from "../../web/work/handover.js";
import { STEPS } from "../../web/work/step-cautions.js";
import { standing } from "../../web/work/standing.js";
import { cautionsOf } from "../../web/work/teardown-cautions.js";
import { ACROSS } from "../../web/work/teardown-order.js";
import { hasBegun, stepsOf, underWayThere } from "../../web/work/teardown-steps.js";
import { keptThere, seenThere } from "../../web/work/there.js";
import {
  answerThere,
  begunElsewhere,
  begunHere,
  begunThere,
  promisedThere,
  requestHere,
  requestThere,
  walkOf,
} from "../../web/work/walk.js";

const PLAN = /** @type {any} */ ({ teardown: 1, left: { inner: 1, outer: -1 }, right: { inner: 0, outer: 0 } });
/** @param {any} of @returns {any} */
const job = (of = {}) => ({
  car: {
    bar: { inner_teeth: 40, outer_teeth: 44 },
    other: { axle: "wishbone", bar: { inner_teeth: 40, outer_teeth: 44 } },
  },
  target: { left_mm: 250, right_mm: 250, other: { left_mm: 300, right_mm: 300 } },
  readings: [],
  moves: [],
  plans: [],
  steps: [],
  conflicts: [],
  other: { readings: [], moves: [] },
  teardowns: 0,
  ...of,
});
/** @param {string} step @param {any} [of] */
const tick = (step, of = {}) => ({ step, done: true, teardown: 1, ...of });

test("a tick there names its axle in the log, and is that axle's own when seen from there", () => {
  const [[kind, body]] = keptThere([["step", tick("stands")]], "front");
  assert.deepEqual([kind, body], ["step", tick("front/stands")]);
  const sheet = job({ steps: [body, tick("eyes"), tick("gauge-zero/body")] });
  assert.deepEqual(
    seenThere(sheet, PLAN).steps.map(({ step }) => step),
    ["stands", "gauge-zero/body"],
  );
  assert.equal(hasBegun(seenThere(sheet, PLAN), PLAN), true);
});

test("how the gauge is used is said of both axles alike", () => {
  const item = /** @type {any} */ (["step", { step: "gauge-zero/body", done: true }]);
  assert.deepEqual(keptThere([item], "front"), [item]);
});

test("a move made there goes by no plan of the log's", () => {
  const [[, body]] = keptThere([["move", { teardown: 1, plan: "none", left: { inner: 1, outer: 0 } }]], "front");
  assert.deepEqual(body, { teardown: 1, left: { inner: 1, outer: 0 }, axle: "front" });
});

test("a job opens at the other axle's steps while they are under way, and no other teardown has begun", () => {
  const sheet = job({ steps: [tick("front/stands")] });
  assert.equal(underWayThere(sheet), 1);
  assert.equal(begunThere(sheet, PLAN), 1);
  assert.equal(begunThere(sheet, null), 1);
  assert.equal(begunHere(sheet), null);
  assert.deepEqual(whereNow({ sheet }).words, ["axle", "propped", "1"]);
});

test("it is under way until the car is down, and no longer once another teardown has its number", () => {
  const turned = job({
    steps: [tick("front/stands")],
    other: { readings: [], moves: [{ teardown: 1 }] },
    teardowns: 1,
  });
  assert.equal(underWayThere(turned), 1);
  assert.equal(underWayThere({ ...turned, steps: [...turned.steps, tick("front/down")] }), null);
  assert.equal(underWayThere({ ...turned, teardowns: 2 }), null);
  assert.equal(underWayThere(job({ steps: [tick("front/stands")], moves: [{ teardown: 1 }], teardowns: 1 })), null);
});

test("card, Log and hand-over name the other axle's teardown that is under way, and lead to it", () => {
  const sheet = job({ steps: [tick("front/stands")] });
  const { words, place, next } = standing({ sheet, stages: [] });
  assert.deepEqual([words, place], ["Front: teardown 1 under way", "front: teardown 1"]);
  assert.deepEqual(next.words, ["axle", "propped", "1"]);
  assert.equal(openOf({ sheet, stages: [] })[0], "Front: teardown 1 is not finished.");
  assert.equal(stagesOf({ sheet, stages: [] }).find(({ state }) => state === "now")?.name, "left");
  const turned = { ...sheet, other: { readings: [], moves: [{ teardown: 1, left: { inner: 1 } }] }, teardowns: 1 };
  assert.equal(stagesOf({ sheet: turned, stages: [] }).find(({ state }) => state === "now")?.name, "right");
  assert.equal(standing({ sheet: { ...sheet, closed: { id: "c" } }, stages: [] }).words, "Handed over");
});

test("an adjuster still to be turned once the car is down keeps it under way, wherever that is asked", () => {
  const screw = { kind: "screw", end: "inner" };
  const car = { ...job().car, adjuster: screw, other: { ...job().car.other, adjuster: { ...screw, shared: true } } };
  const turned = { inner: 1, outer: 0, turns: 2 };
  const plan = /** @type {any} */ ({ teardown: 1, left: turned, right: turned });
  const moves = [{ teardown: 1, left: { inner: 1, outer: 0 }, right: { inner: 1, outer: 0 } }];
  const steps = stepsOf(plan, seenThere(job({ car }), plan));
  const down = steps.findIndex(({ key }) => key === "down");
  const ticks = steps.slice(0, down + 1).map(({ key, side }) => tick(`front/${key}`, side ? { side } : {}));
  const sheet = job({ car, steps: ticks, other: { readings: [], moves }, teardowns: 1 });
  const ctx = (/** @type {any} */ kept) => /** @type {any} */ ({ job: "j", sheet, drafts: { draft: () => kept } });
  assert.ok(steps.length > down + 1);
  assert.deepEqual([begunElsewhere(ctx(null)), begunElsewhere(ctx(plan))], [null, 1]);
  assert.deepEqual(walkOf(ctx(plan)), { number: 1, name: "Front: teardown 1" });
  assert.deepEqual(whereNow({ sheet, walk: walkOf(ctx(plan)) }).words, ["axle", "propped", "1"]);
});

test("the steps of arms across the car have cautions of their own, which there are", () => {
  const said = Object.entries(ACROSS).flatMap(([key, { caution }]) => (caution ? [[key, caution]] : []));
  assert.ok(said.length);
  for (const [, caution] of said) assert.ok(STEPS[caution].length, caution);
  const steps = stepsOf(PLAN, seenThere(job(), PLAN));
  const down = /** @type {any} */ (steps.find(({ key }) => key === "arm-down"));
  const [{ word, text }] = cautionsOf(down);
  assert.equal(word, "WARNING");
  assert.ok(!text.includes("off the stop"));
});

test("no step of a wishbone speaks of a stop that its arm rests on, at whichever axle it is", () => {
  const rear = job({ car: { ...job().car, axle: "wishbone" } });
  const lift = { torque_nm: 300, energy_j: 40, force_n: 800 };
  const side = { inner: 1, outer: -1, lift, lift_now: lift };
  const plan = /** @type {any} */ ({ teardown: 1, left: side, right: side });
  const said = (/** @type {any} */ sheet) =>
    stepsOf(plan, sheet).flatMap((step) => [step.name, step.text, ...cautionsOf(step).map(({ text }) => text)]);
  const ofStop = /\b(its|the|onto|arm) stop\b/;
  for (const sheet of [rear, seenThere(job(), plan)])
    assert.deepEqual(
      said(sheet).filter((text) => ofStop.test(text ?? "")),
      [],
    );
  assert.ok(said(job()).some((text) => ofStop.test(text ?? "")));
});

const REQUEST = /** @type {any} */ ({
  car: { arm_mm: 415, other: { arm_mm: 380 } },
  target: { left_mm: 250, right_mm: 250, other: { left_mm: 300, right_mm: 300 } },
  log: [
    { kind: "reading", what: "body-height", side: "left", value: 214 },
    { kind: "move", teardown: 1, axle: "front", left: { inner: 1, outer: 0 } },
  ],
});

test("a request is turned over and back: held ends and a move made of it are of the other axle", () => {
  const seen = /** @type {any} */ (requestThere(REQUEST));
  assert.equal(seen.car.sprung, "front");
  assert.equal(seen.car.arm_mm, 380);
  assert.deepEqual(seen.target, REQUEST.target.other);
  const asked = {
    ...seen,
    car: { ...seen.car, held: { left: ["inner"] } },
    log: [seen.log[0], { kind: "move", teardown: 1, left: { inner: 2, outer: 0 } }],
  };
  const own = /** @type {any} */ (requestHere(asked, REQUEST));
  assert.deepEqual(own.car, { arm_mm: 415, other: { arm_mm: 380, held: { left: ["inner"] } } });
  assert.deepEqual(own.target, REQUEST.target);
  assert.deepEqual(
    own.log.map((/** @type {any} */ { axle }) => axle),
    ["rear", "front"],
  );
});

const side = (/** @type {number} */ inner) => ({
  inner,
  outer: 0,
  turn_deg: 9 * inner,
  body_height_mm: { value: 300, sd: 2 },
  rise_mm: { value: 9, sd: 2 },
  hanging_deg: 12,
  riding_deg: -4,
  lift: null,
});
const option = (/** @type {number} */ inner) => ({
  label: "both ends",
  odds: 0.6,
  left: side(inner),
  right: side(0),
  lean_mm: { value: 0, sd: 3 },
  ends_disturbed: inner ? 1 : 0,
  stopped_by: [],
  cautions: [],
});
const stands = { left: { value: 297, sd: 3 }, right: { value: 298, sd: 3 }, lean_mm: { value: -1, sd: 3 } };
const now = { hanging_deg: { value: 3, sd: 0.4 } };
const ANSWER = /** @type {any} */ ({
  options: [option(2)],
  now: {},
  target: {},
  both: {
    axle: "front",
    first: "front",
    options: [option(1), option(0)],
    now: { left: now, right: now },
    target: { as: "heights", left_mm: 300, right_mm: 300 },
    meanwhile: { front: stands, rear: null },
  },
});

test("the plan there promises the heights at which that axle stands until the other one is set too", () => {
  assert.equal(answerThere(ANSWER).options, ANSWER.both.options);
  const plan = promisedThere(ANSWER, job());
  assert.deepEqual([plan.teardown, plan.left.inner], [1, 1]);
  assert.deepEqual(plan.left.body_height_mm, stands.left);
  const alone = { ...ANSWER, options: [option(0)] };
  assert.deepEqual(promisedThere(alone, job()).left.body_height_mm, { value: 300, sd: 2 });
});
