/* Adjusters in words, layouts, and the steps of an adjustment: which come, what they turn, what the log gets. */

import assert from "node:assert/strict";
import { test } from "node:test";
import { adjustSteps } from "../../web/work/adjust-steps.js";
import {
  adjusterOf,
  adjustsAlone,
  firstPart,
  mixed,
  sideWords,
  turnsNothing,
  turnWords,
  workName,
} from "../../web/work/adjuster.js";
import { checksOf } from "../../web/work/checks.js";
import { closedCar } from "../../web/work/flow.js";
import { LAYOUTS, layoutBody, layoutOf, layoutWords } from "../../web/work/layouts.js";
import { inPart, promised, stageName } from "../../web/work/promise.js";
import { CAR, isOf } from "../../web/work/questions.js";
import { inDegrees, readingsOf } from "../../web/work/sheet.js";
import { cautionsOf } from "../../web/work/teardown-cautions.js";
import { isDone, stepsOf } from "../../web/work/teardown-steps.js";
import { adjusted } from "../../web/work/teardown-work.js";
import { leftWords, turnRows, unloadWords } from "../../web/work/turn-facts.js";

const FRONT = { sprung: "front", axle: "wishbone", adjuster: { kind: "screw" } };
const NOBODY = { readings: [], moves: [], steps: [], plans: [], teardowns: 0, target: { as: "level" } };
const SCREW = { force_n: 9300, raise_nm: [20, 39], lower_nm: [16, 35], unload_nm: 300, unload_j: 31.4 };
const job = (car, more = {}) => ({ ...NOBODY, car, ...more });
const plan = (left, right, more = {}) => ({
  id: "p1",
  teardown: 1,
  left: { inner: 0, outer: 0, ...left },
  right: { inner: 0, outer: 0, ...right },
  ...more,
});
const keys = (steps) => steps.map(({ key, side }) => `${key}${side ? ` ${side}` : ""}`);

test("turns are said as mixed fractions to a twelfth, with raise or lower and never a sign", () => {
  assert.equal(mixed(27 / 12), "2 1/4");
  assert.deepEqual(
    [1 / 12, 1, -0.5, -2.25, 0].map((turns) => turnWords(turns)),
    ["raise 1/12 turn", "raise 1 turn", "lower 1/2 turn", "lower 2 1/4 turns", "no change"],
  );
  assert.equal(turnWords(1 / 72, "eccentric"), "raise 5°");
  assert.equal(turnWords(-3, "notch"), "lower 3 notches");
  for (let part = 0; part <= 240; part += 1) {
    const text = mixed(part / 12);
    const [whole, fraction] = text.includes("/")
      ? [text.split(" ").at(-2) ?? 0, text.split(" ").at(-1)]
      : [text, "0/1"];
    const [top, bottom] = fraction.split("/").map(Number);
    assert.equal(Math.round((Number(whole) + top / bottom) * 12), part, text);
  }
});

test("what a side turns is told with teeth, degrees and turns as far as each is turned", () => {
  assert.equal(sideWords({ inner: 1, outer: 0, turns: -0.5 }), "inner 1 tooth arm down, lower 1/2 turn");
  assert.equal(sideWords({ inner: null, outer: null, turn_deg: 4, turns: 2 }), "4.0° arm down, raise 2 turns");
  assert.equal(sideWords({ inner: null, outer: null, turn_deg: 4, turns: 2 }, { alone: true }), "raise 2 turns");
  assert.equal(sideWords({ inner: 0, outer: 0, turns: 0 }), "no change");
});

test("an option of screws alone is an adjustment, also while teeth are not counted, and turns something", () => {
  const option = { ends_disturbed: 0, left: { turns: 2, turn_deg: 1.6 }, right: { turns: 0, turn_deg: 0 } };
  assert.equal(adjustsAlone(option), true);
  assert.equal(inDegrees(option), false);
  assert.equal(turnsNothing(option), false);
  assert.equal(workName(option), "adjustment");
  const teeth = { ends_disturbed: 2, left: { turns: 2, turn_deg: 9 }, right: { turns: 0, turn_deg: 0 } };
  assert.deepEqual([adjustsAlone(teeth), inDegrees(teeth), workName(teeth)], [false, true, "teardown"]);
});

test("a plan of screws alone keeps turns, what is left and torque, and no degrees", () => {
  const side = (turns) => ({
    inner: null,
    outer: null,
    turn_deg: turns,
    turns,
    raise_turns_left: 4,
    lower_turns_left: null,
    screw: SCREW,
    rise_mm: { value: 1, sd: 1 },
  });
  const option = { label: "screws alone", ends_disturbed: 0, odds: 0.5, left: side(2), right: side(0), lean_mm: {} };
  const now = { left: { hanging_deg: {} }, right: { hanging_deg: {} } };
  const kept = promised({ option, answer: { options: [option], now, target: {} }, target: {}, teardown: 1 });
  assert.deepEqual([kept.left.inner, kept.left.turns, kept.left.raise_turns_left], [0, 2, 4]);
  assert.equal("turn_deg" in kept.left || "turns" in kept.right || "lower_turns_left" in kept.left, false);
  assert.equal(stageName({ plans: [{ ...kept, id: "p" }], moves: [] }, 1), "adjustment 1");
});

test("the layout of today says nothing of the car, and every other is known again by what it says", () => {
  assert.deepEqual(LAYOUTS[0].car, {});
  for (const { key, car, words } of LAYOUTS) {
    assert.equal(layoutOf(car)?.key, key);
    assert.equal(layoutWords(car), words);
  }
  assert.equal(adjusterOf({}), null);
  assert.equal(layoutWords({ adjuster: { kind: "notch" } }), "Rear, notches");
});

test("another layout takes back what the one before said, and leaves the arms of a rear axle", () => {
  assert.deepEqual(layoutBody("rear", FRONT), { sprung: null, axle: null, adjuster: { kind: null } });
  assert.deepEqual(layoutBody("rear", { axle: "swing" }), {});
  assert.deepEqual(layoutBody("front-screw", { axle: "swing" }), FRONT);
});

test("the way to the first plan of a screw asks heights, lever and pitch, and of splines what it asked before", () => {
  const asked = (car) => closedCar(job(car)).map(({ key }) => key);
  const heights = ["body-height", "body-height"];
  assert.deepEqual(asked(FRONT), [...heights, "car.adjuster.lever_mm", "car.adjuster.pitch_mm"]);
  assert.deepEqual(asked({ adjuster: { kind: "notch", shared: true } }), heights);
  assert.equal(asked({}).length, 8);
  assert.equal(asked({ adjuster: { kind: "eccentric" } }).length, 8);
});

test("the car's table asks of an adjuster only what its kind has", () => {
  const of = (car) => CAR.filter((question) => isOf(question, car)).map(({ key }) => key);
  assert.equal(
    of({}).some((key) => key.startsWith("car.adjuster")),
    false,
  );
  assert.equal(of(FRONT).includes("car.adjuster.pitch_mm"), true);
  assert.equal(of(FRONT).includes("car.adjuster.throw_mm"), false);
  assert.equal(of({ adjuster: { kind: "eccentric" } }).includes("car.adjuster.at_deg.left"), true);
});

test("an adjustment goes from the anti-roll link to the short drive, wheel by wheel, and two thirds come first", () => {
  const steps = adjustSteps(plan({ turns: 6 }, { turns: -0.5 }), job(FRONT));
  assert.deepEqual(keys(steps), [
    "adjust-ready",
    "link-off",
    "wheels-hang",
    "eyes",
    "thread-clean left",
    "adjust left",
    "lock-nut left",
    "thread-clean right",
    "adjust right",
    "lock-nut right",
    "down",
    "drive",
  ]);
  assert.deepEqual(
    steps.filter(({ adjust }) => adjust).map(({ name }) => name),
    ["Raise 4 turns", "Lower 1/2 turn"],
  );
  const later = job(FRONT, { moves: [{ teardown: 1, left: { turns: 4 } }] });
  const again = adjustSteps(plan({ turns: 6 }, {}, { teardown: 2 }), later);
  assert.equal(again.find(({ adjust }) => adjust)?.name, "Raise 6 turns");
});

test("a rear axle is not asked for an anti-roll link unless it has a bar", () => {
  const rear = { adjuster: { kind: "screw" } };
  assert.equal(keys(adjustSteps(plan({ turns: 1 }, {}), job(rear))).includes("link-off"), false);
  assert.equal(
    keys(adjustSteps(plan({ turns: 1 }, {}), job({ ...rear, anti_roll_n_per_mm: 4 }))).includes("link-off"),
    true,
  );
});

test("a first part is two thirds to a quarter of a turn, nothing of a notch or an eccentric", () => {
  assert.equal(firstPart(7.25, { kind: "screw", first: true }), 4.75);
  assert.equal(firstPart(-7.25, { kind: "screw", first: true }), -4.75);
  assert.equal(firstPart(7.25, { kind: "screw", first: false }), 7.25);
  assert.equal(firstPart(3, { kind: "notch", first: true }), 3);
});

test("where the screw is at the other side the step says so, by the wheel", () => {
  const across = { ...FRONT, adjuster: { kind: "screw", across: true } };
  const steps = adjustSteps(plan({ turns: 1 }, {}), job(across)).filter(({ side }) => side);
  assert.deepEqual(
    steps.map(({ key }) => key),
    ["thread-clean", "adjust", "lock-nut"],
  );
  for (const { text } of steps) assert.match(text ?? "", /^The left wheel’s screw is at the right side of the car\./);
  assert.equal(steps[1].drawn, "across");
});

test("one adjuster for both wheels is one step, and both wheels' turns go into the log", () => {
  const sheet = job({ sprung: "front", axle: "beam", adjuster: { kind: "notch", shared: true } });
  const both = plan({ turns: 2 }, { turns: 2 });
  const steps = adjustSteps(both, sheet).filter(({ adjust }) => adjust);
  assert.deepEqual([steps.length, steps[0].side, steps[0].name], [1, null, "Raise 2 notches"]);
  const [kind, body] = adjusted(sheet, both, steps[0].adjust, 2);
  assert.equal(kind, "move");
  assert.deepEqual(
    [body.left, body.right],
    [
      { inner: 0, outer: 0, turns: 2 },
      { inner: 0, outer: 0, turns: 2 },
    ],
  );
});

test("an eccentric beside teeth is centred before them, and set from its middle before the arm is read", () => {
  const sheet = job({
    adjuster: { kind: "eccentric", at_deg: { left: 30 } },
    bar: { inner_teeth: 40, outer_teeth: 44 },
  });
  const steps = stepsOf(plan({ inner: 1, turns: -1 / 24 }, {}), sheet);
  const order = keys(steps);
  assert.ok(order.indexOf("centre left") < order.indexOf("turn-inner left"));
  // The plan's hanging angle is with both: an arm read between them would look like a tooth out.
  const set = ["turn-inner left", "adjust left", "clamp left", "read left", "arm-up left"];
  assert.deepEqual(
    order.filter((key) => set.includes(key)),
    set,
  );
  assert.equal(order.at(-1), "down");
  assert.equal(steps.find(({ adjust }) => adjust)?.name, "Raise 15° from its middle");
});

test("a side that is only adjusted is so after the other side's teeth, once the car has stood on them", () => {
  const sheet = job({ adjuster: { kind: "screw" }, bar: { inner_teeth: 30, outer_teeth: 30 } });
  const order = keys(stepsOf(plan({ inner: 1, turns: -11 }, { turns: 2 }), sheet));
  assert.ok(order.indexOf("turn-inner left") < order.indexOf("thread-clean left"));
  assert.ok(order.indexOf("adjust left") < order.indexOf("read left"));
  assert.ok(order.indexOf("down") < order.indexOf("drive"));
  assert.ok(order.indexOf("drive") < order.indexOf("adjust right"));
  assert.equal(order.filter((key) => key.startsWith("adjust ")).length, 2);
});

test("turns are added to the teeth of a teardown, and only then is the eccentric's step done", () => {
  const sheet = job(
    { adjuster: { kind: "eccentric" } },
    { moves: [{ id: "m", teardown: 1, left: { inner: 1, outer: 0 } }] },
  );
  const both = plan({ inner: 1, turns: 0.25 }, {});
  const step = stepsOf(both, sheet).find(({ adjust }) => adjust);
  assert.equal(isDone(sheet, both, step), false);
  const [, body] = adjusted(sheet, both, step.adjust, 0.25);
  assert.deepEqual([body.left, body.corrects], [{ inner: 1, outer: 0, turns: 0.25 }, "m"]);
  assert.equal(isDone({ ...sheet, moves: [{ id: "n", ...body }] }, both, step), true);
});

test("a part of the turns of a plan is told from other turns", () => {
  const told = (turns) =>
    inPart({ plans: [plan({ turns: 6 }, {})], moves: [{ teardown: 1, plan: "p1", left: { turns } }] }, 1);
  assert.deepEqual([told(4), told(6), told(7), told(-1)], [true, false, false, false]);
});

test("before a screw is undone the torque and energy still in the bar are said, or that nobody knows", () => {
  const text = (screw) => cautionsOf({ key: "thread-clean", screw })[0].text;
  assert.match(text(SCREW), /up to 300 N·m, 31 J\. Undone/);
  assert.match(text({ ...SCREW, unload_nm: 0 }), /^No load is expected/);
  assert.match(text(null), /^The screw's lever is loaded\. Undone/);
  assert.equal(unloadWords(null), null);
});

test("what is said of a lever and its bolt is said of a screw alone", () => {
  const text = (kind) => cautionsOf({ key: "adjust", adjust: { kind } })[0].text;
  assert.match(text("screw"), /lever wound too far bends its bolt/);
  for (const kind of ["eccentric", "notch"]) assert.match(text(kind), /^Set too far, it takes the damper/);
});

test("a plan says height a turn, torque to raise and to lower of the harder side, and what is left", () => {
  const option = {
    mm_per_turn: 5.66,
    left: { screw: SCREW },
    right: { screw: { ...SCREW, force_n: 1, raise_nm: [1, 2] } },
  };
  assert.deepEqual(
    turnRows(option, "screw").map(({ value }) => value),
    ["5.7 mm", "20 to 39 N·m", "16 to 35 N·m"],
  );
  assert.equal(
    leftWords({ raise_turns_left: 9.5, lower_turns_left: 12 }, "screw"),
    "Left after it: 9 1/2 to raise, 12 to lower",
  );
  assert.equal(leftWords({ raise_turns_left: null, lower_turns_left: null }, "screw"), "");
  // An eccentric never goes round: so many millimetres a turn would be read as what it can do.
  assert.deepEqual(turnRows({ mm_per_turn: 90, left: {}, right: {} }, "eccentric"), [
    { name: "Height per 10°, near its middle", value: "2.5 mm" },
  ]);
});

test("hand-over of a front job asks for link, pivots and lock nuts, of a rear one for what it asked before", () => {
  const asked = (sheet) => checksOf(sheet).map(([key]) => key);
  const front = asked(job(FRONT, { moves: [{ teardown: 1, left: { turns: 1 } }] }));
  assert.deepEqual(front.slice(0, 4), ["handover-locked", "handover-link", "handover-pivots", "handover-joints"]);
  assert.equal(asked(job({}, { moves: [{ teardown: 1, left: { inner: 1 } }] })).length, 7);
});

test("a reading without an axle is of the job's own, whichever that is", () => {
  const readings = [
    { what: "wheel-load", side: "left", value: 300 },
    { what: "wheel-load", side: "left", value: 200, axle: "rear" },
  ];
  const of = (axle) => readingsOf(job(FRONT, { readings }), { what: "wheel-load", axle }).map(({ value }) => value);
  assert.deepEqual([of(undefined), of("rear")], [[300], [200]]);
});
