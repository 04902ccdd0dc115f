// What comes next on the phone: questions of the closed car, "not now", where a job opens, what a question brings.
import assert from "node:assert/strict";
import { test } from "node:test";
import {
  closedCar,
  laterItem,
  onward,
  open,
  readFirst,
  stagesOf,
  whereNow,
  worthOf,
  zeroItem,
  zeroOf,
} from "../../web/work/flow.js";

const sheet = (more = {}) => ({
  teardowns: 0,
  readings: [],
  moves: [],
  steps: [],
  plans: [],
  car: {},
  target: { as: "level", rise_mm: 100 },
  ...more,
});
const height = (side, value) => ({ what: "body-height", side, value, teardown: 0 });
const words = (route) => route.words.join("/");
const step = ([, body]) => body;

test("a closed car is asked heights, lever, gauge, riding angles and boards, and nothing of the bar", () => {
  assert.deepEqual(closedCar(sheet()).map(words), [
    "read/body-height/left",
    "read/body-height/right",
    "ask/car.arm_mm",
    "zero",
    "read/riding-angle/left",
    "read/riding-angle/right",
    "pose/board/left",
    "pose/board/right",
  ]);
});

test("a question put off is passed over and nothing else is", () => {
  const steps = [step(laterItem(sheet(), "car.arm_mm"))];
  const put = sheet({ steps, readings: [height("left", 168), height("right", 197)] });
  assert.equal(words(onward(put, ["read", "body-height", "right"])), "zero");
  assert.ok(!open(put).some((each) => each.key === "car.arm_mm"));
});

test("a step taken back asks the question again", () => {
  const put = { ...step(laterItem(sheet(), "car.arm_mm")), done: false };
  assert.ok(open(sheet({ steps: [put] })).some((each) => each.key === "car.arm_mm"));
});

test("the gauge's use is what was last said, else that of the last angle, else unknown", () => {
  assert.equal(zeroOf(sheet()), null);
  const read = [{ what: "riding-angle", side: "left", value: 3, datum: 1 }];
  assert.equal(zeroOf(sheet({ readings: read })), "datum");
  assert.equal(zeroOf(sheet({ readings: read, steps: [step(zeroItem("body"))] })), "body");
});

test("a job opens at its target, then at the first open question, then at the plan", () => {
  assert.equal(words(whereNow({ sheet: sheet({ target: {} }), stages: [] })), "target");
  assert.equal(words(whereNow({ sheet: sheet(), stages: [] })), "read/body-height/left");
  const all = closedCar(sheet()).map((each) => step(laterItem(sheet(), each.key, each.side)));
  assert.equal(words(whereNow({ sheet: sheet({ steps: all }), stages: [] })), "plan");
});

test("after a teardown a job opens on the ground, and handed over at its hand-over", () => {
  const turned = sheet({ teardowns: 1, moves: [{ teardown: 1, left: { inner: 1, outer: 0 } }] });
  assert.equal(words(whereNow({ sheet: turned, stages: [] })), "ground/1");
  assert.equal(words(whereNow({ sheet: { ...turned, closed: {} }, stages: [] })), "close");
});

test("what a question brings is the answer's own, by test and side, and never less than the chance now", () => {
  const answer = {
    options: [{ odds: 0.36 }],
    measure_next: [
      { what: "board-test", side: "right", odds_after: 0.58, minutes: 10 },
      { what: "arm-length", side: "both", odds_after: 0.3, minutes: 3 },
    ],
  };
  assert.deepEqual(worthOf(answer, { key: "board-test", side: "right" }), { from: 0.36, to: 0.58, minutes: 10 });
  assert.deepEqual(worthOf(answer, { key: "car.arm_mm" }), { from: 0.36, to: 0.36, minutes: 3 });
  assert.equal(worthOf(answer, { key: "riding-angle", side: "left" }), null);
  assert.equal(readFirst(answer).what, "board-test");
  assert.equal(worthOf(null, { key: "riding-angle" }), null);
});

test("of six stages those before the one in hand are done", () => {
  const states = stagesOf({ sheet: sheet(), stages: [] }).map((each) => each.state);
  assert.deepEqual(states, ["now", "open", "open", "open", "open", "open"]);
});
