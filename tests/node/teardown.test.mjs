// The steps of a teardown: their order, which are done, where a job opens, what a tick writes.
import assert from "node:assert/strict";
import { test } from "node:test";
import { planFor } from "../../web/work/promise.js";
import { isDone, lastTicked, placeOf, progress, sidesOf, stepsOf, underWay } from "../../web/work/teardown-steps.js";
import { lookTaken, tick, untick } from "../../web/work/teardown-work.js";

const BAR = { inner_teeth: 40, outer_teeth: 44, diameter_mm: 22, length_mm: 600 };
const PLAN = { id: "p1", teardown: 1, odds: 0.71, left: { inner: -3, outer: 4 }, right: { inner: 5, outer: -5 } };
const DEGREES = { id: "p1", teardown: 1, odds: 0.5, left: { turn_deg: 14 }, right: { turn_deg: 11 } };
const sheet = (more = {}) => ({
  teardowns: 0,
  readings: [],
  moves: [],
  steps: [],
  plans: [PLAN],
  car: { bar: BAR },
  target: {},
  ...more,
});
const ticked = (...names) =>
  names.map((name) => {
    const [side, key] = name.includes("/") ? name.split("/") : [null, name];
    return { step: key, done: true, teardown: 1, ...(side ? { side } : {}) };
  });
const name = (step) => (step.side ? `${step.side}/${step.key}` : step.key);
const of = (side, ...keys) => keys.map((key) => `${side}/${key}`);
const hanging = (side, teardown = 0) => ({ what: "hanging-angle", side, value: 5, teardown });
const next = (all) => {
  const plan = planFor(all, 1);
  const { steps, next: at } = progress(all, plan);
  return steps[at] ? name(steps[at]) : "end";
};
const OLD_APART = ["wheel-off", "bolts-out", "arm-down", "cover-off"];

test("the cover is off before the arm leaves its stop, and the plan is looked at before a tooth is turned", () => {
  assert.deepEqual(stepsOf(PLAN, sheet()).map(name), [
    "stands",
    "eyes",
    ...of("left", "wheel-off", "bolts-out", "cover-off", "arm-down", "found", "count", "caliper", "look"),
    ...of("left", "turn-inner", "turn-outer", "read", "arm-up", "cover-on", "bolts-in", "wheel-on"),
    ...of("right", "wheel-off", "bolts-out", "cover-off", "arm-down", "found", "look"),
    ...of("right", "turn-inner", "turn-outer", "read", "arm-up", "cover-on", "bolts-in", "wheel-on"),
    "down",
  ]);
});

test("arms across the car have no cover over the arm and no stop in the housing", () => {
  const words = stepsOf(PLAN, sheet({ car: { bar: BAR, axle: "wishbone", sprung: "front" } }))
    .map((step) => `${step.name} ${step.text ?? ""}`)
    .join(" ");
  assert.match(words, /anchor’s cover off.*ball joint/);
  assert.doesNotMatch(words, /housing|arm-to-axle|hand-brake|its stop/);
});

test("what is known of the bar is not asked, and a hanging angle read before is not read again", () => {
  const all = sheet({ readings: [hanging("left")], steps: ticked("stands", "eyes", ...of("left", ...OLD_APART)) });
  assert.equal(next(all), "left/look");
  const less = sheet({ ...all, car: {}, readings: [] });
  assert.equal(next(less), "left/found");
  assert.equal(next({ ...less, readings: [hanging("left")] }), "left/count");
  assert.equal(
    next({ ...less, readings: [hanging("left")], car: { bar: { inner_teeth: 40, outer_teeth: 44 } } }),
    "left/caliper",
  );
});

test("a reading of the car as it is now is not one of how this teardown found it", () => {
  const all = sheet({ readings: [hanging("left", 1)] });
  assert.ok(
    !isDone(
      all,
      PLAN,
      stepsOf(PLAN, all).find((step) => step.key === "found"),
    ),
  );
});

test("a step is told with the whole, which is about so many while the teeth are not counted", () => {
  const all = stepsOf(PLAN, sheet()).length;
  assert.equal(placeOf(sheet(), PLAN, 6), `step 7 of ${all}`);
  assert.equal(placeOf(sheet({ car: {} }), DEGREES, 6), `step 7 of about ${all}`);
  const held = sheet({ car: { held: { left: ["inner"] } } });
  assert.equal(placeOf(held, DEGREES, 6), `step 7 of about ${all - 1}`);
  const one = { ...DEGREES, right: { turn_deg: 0 } };
  assert.equal(placeOf(sheet(), one, 6), `step 7 of about ${stepsOf({ ...PLAN, right: {} }, sheet()).length}`);
});

test("a plan in degrees goes as far as the look on its first side", () => {
  const all = sheet({ plans: [DEGREES], car: {} });
  assert.equal(name(stepsOf(DEGREES, all).at(-1)), "left/look");
});

test("a plan in degrees begun by the older order opens where its work stands, and its ticks stay", () => {
  const old = ticked("stands", "eyes", ...of("left", ...OLD_APART), ...of("right", ...OLD_APART));
  const all = sheet({ plans: [DEGREES], car: {}, steps: old });
  assert.equal(underWay(all), 1);
  assert.equal(next(all), "left/found");
  // The look wrote the plan in teeth, of the same teardown.
  const whole = { ...all, plans: [DEGREES, { ...PLAN, id: "p2" }], car: { bar: BAR }, readings: [hanging("left")] };
  assert.equal(next(whole), "left/look");
  const looked = { ...whole, steps: [...old, ...ticked("left/look")] };
  assert.equal(next(looked), "left/turn-inner");
  const steps = progress(looked, planFor(looked, 1));
  assert.ok(steps.done[steps.steps.findIndex((step) => name(step) === "right/cover-off")]);
});

test("a job of the older order whose count was its last step goes on at what the free arm shows", () => {
  const old = ticked("stands", "eyes", ...of("left", ...OLD_APART), ...of("right", ...OLD_APART), "count");
  const all = sheet({ plans: [DEGREES], steps: old });
  assert.equal(next(all), "left/found");
  assert.equal(underWay(all), 1);
});

test("a job of the older order opens at the first step not done in the new one", () => {
  const down = sheet({ steps: ticked("stands", "eyes", ...of("left", "wheel-off", "bolts-out", "arm-down")) });
  assert.equal(next(down), "left/cover-off");
  const turned = ticked("stands", "eyes", ...of("left", ...OLD_APART, "turn-inner"));
  assert.equal(next(sheet({ steps: turned, car: { bar: { inner_teeth: 40, outer_teeth: 44 } } })), "left/turn-outer");
});

test("a teardown finished by the older order is not under way", () => {
  const sides = ["left", "right"].flatMap((side) =>
    of(side, ...OLD_APART, "turn-inner", "turn-outer", "read", "arm-up", "cover-on", "bolts-in", "wheel-on"),
  );
  const move = { teardown: 1, plan: "p1", left: PLAN.left, right: PLAN.right };
  const steps = ticked("stands", "eyes", ...sides, "down");
  assert.equal(underWay(sheet({ steps, moves: [move], teardowns: 1, car: {} })), null);
});

test("a side that was begun is finished even where the new plan turns none of its teeth", () => {
  const plan = { ...PLAN, left: { inner: 0, outer: 0 } };
  const all = sheet({ plans: [plan], steps: ticked("stands", "left/wheel-off") });
  assert.deepEqual(sidesOf(plan, all), ["left", "right"]);
  const left = stepsOf(plan, all)
    .filter((step) => step.side === "left")
    .map((step) => step.key);
  assert.ok(left.includes("arm-up") && !left.includes("read") && !left.some((key) => key.startsWith("turn")));
  assert.deepEqual(sidesOf(plan, sheet()), ["right"]);
});

test("while the second side is not turned its own last plan counts, afterwards the one that the move names", () => {
  const second = { ...PLAN, id: "p2", right: { inner: 6, outer: -6 } };
  const move = { teardown: 1, plan: "p1", left: PLAN.left };
  const all = sheet({ plans: [PLAN, second], moves: [move], teardowns: 1 });
  assert.equal(planFor(all, 1).id, "p2");
  assert.equal(planFor({ ...all, moves: [{ ...move, right: PLAN.right }] }, 1).id, "p1");
});

/** What a screen is given, as far as ticking needs it: what is saved joins the sheet. */
function bench(all) {
  const ctx = {
    sheet: all,
    saved: [],
    async save(items) {
      this.saved.push(...items);
      for (const [kind, body] of items) {
        if (kind === "plan") this.sheet.plans.push({ ...body, id: `p${this.sheet.plans.length + 1}` });
        if (kind === "step") this.sheet.steps.push(body);
        if (kind === "move") this.sheet.moves = [{ ...body, id: "m1" }];
      }
      return true;
    },
  };
  return ctx;
}
const stepOf = (ctx, wanted) => {
  const plan = planFor(ctx.sheet, 1);
  return [plan, stepsOf(plan, ctx.sheet).find((step) => name(step) === wanted)];
};

test("the last end of a side writes its teeth, and taking it back takes them out", async () => {
  const ctx = bench(sheet({ steps: ticked("left/turn-inner") }));
  await tick(ctx, ...stepOf(ctx, "left/turn-outer"));
  assert.deepEqual(ctx.saved.at(-1), ["move", { teardown: 1, plan: "p1", left: { inner: -3, outer: 4 } }]);
  assert.equal(name(lastTicked(ctx.sheet, PLAN)), "left/turn-outer");
  await untick(ctx, ...stepOf(ctx, "left/turn-outer"));
  assert.deepEqual(
    ctx.saved.slice(-2).map(([kind]) => kind),
    ["strike", "step"],
  );
});

test("the look writes its plan once and ticks its step", async () => {
  const ctx = bench(sheet());
  const body = { ...PLAN, odds: 0.88, target: {}, left: { inner: -4, outer: 4 } };
  delete body.id;
  await lookTaken(ctx, ...stepOf(ctx, "left/look"), body);
  assert.deepEqual(
    ctx.saved.map(([kind]) => kind),
    ["plan", "step"],
  );
  await lookTaken(ctx, ...stepOf(ctx, "left/look"), body);
  assert.deepEqual(
    ctx.saved.map(([kind]) => kind),
    ["plan", "step", "step"],
  );
});

test("a look that turns none of the second side's teeth makes the move name its plan", async () => {
  const move = { id: "m1", teardown: 1, plan: "p1", left: PLAN.left };
  const ctx = bench(sheet({ moves: [move], teardowns: 1, steps: ticked("right/wheel-off") }));
  const body = { ...PLAN, odds: 0.9, target: {}, right: { inner: 0, outer: 0 } };
  delete body.id;
  await lookTaken(ctx, ...stepOf(ctx, "right/look"), body);
  const [kind, last] = ctx.saved.at(-1);
  assert.deepEqual([kind, last.plan, last.right], ["move", "p2", undefined]);
});
