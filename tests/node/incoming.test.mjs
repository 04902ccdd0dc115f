// What a link or a file would do to a job that is here.
import assert from "node:assert/strict";
import { test } from "node:test";
import { changesOf } from "../../web/work/incoming.js";

const AT = { at: "2026-11-02T10:00:00Z", device: "d" };
const EMPTY = {
  title: "Gannet, Maren",
  target: {},
  car: {},
  about: {},
  known: {},
  readings: [],
  moves: [],
  steps: [],
  notes: [],
  plans: [],
  conflicts: [],
  closed: null,
};
const sheet = (more = {}) => ({ ...EMPTY, ...more });
const height = (root, value, more = {}) => ({
  id: root,
  root,
  what: "body-height",
  side: "left",
  value,
  ...AT,
  ...more,
});
const told = (was, is) =>
  changesOf(sheet(was), sheet(is)).map(({ form, name, was: old, is: now }) => [form, name, old, now]);

test("a job that would stay as it is has no changes", () => {
  const all = { readings: [height("a", 214)], target: { left_mm: 250, right_mm: 250 }, car: { arm_mm: 410 } };
  assert.deepEqual(told(all, all), []);
});

test("a reading that comes, one in place of another, and one that goes are told apart", () => {
  const was = { readings: [height("a", 214), height("b", 215)] };
  const is = { readings: [height("b", 225, { id: "c" }), height("d", 216)] };
  assert.deepEqual(told(was, is), [
    ["removed", "Ride height, left, as found", "214 mm", ""],
    ["replaced", "Ride height, left, as found", "215 mm", "225 mm"],
    ["new", "Ride height, left, as found", "", "216 mm"],
  ]);
});

test("a teardown stands before everything else, then what contradicts and what is removed", () => {
  const was = { readings: [height("a", 214)] };
  const is = {
    readings: [height("d", 216)],
    target: { left_mm: 260, right_mm: 260 },
    moves: [{ id: "m", root: "m", teardown: 1, left: { inner: 3, outer: 0 }, ...AT }],
    conflicts: [{ about: "correction", field: "", entries: ["x", "y"], text: "two values of one reading" }],
  };
  assert.deepEqual(
    told(was, is).map(([form]) => form),
    ["teardown", "conflict", "removed", "changed", "new"],
  );
  assert.deepEqual(told(was, is)[0], [
    "teardown",
    "Teardown 1, teeth turned",
    "",
    "left: inner 3 teeth arm down, outer no change; right: no change",
  ]);
});

test("a target and a fact of the car are told old and new", () => {
  const was = { target: { left_mm: 250, right_mm: 250 }, car: { bar: { diameter_mm: 22 } }, about: { owner: "Maren" } };
  const is = { target: { left_mm: 260, right_mm: 250 }, car: { bar: { diameter_mm: 24, inner_teeth: 40 } }, about: {} };
  assert.deepEqual(told(was, is), [
    ["changed", "Target", "left 250 mm, right 250 mm", "left 260 mm, right 250 mm"],
    ["changed", "Bar diameter", "22 mm", "24 mm"],
    ["changed", "Teeth, inner end", "", "40"],
    ["changed", "Owner", "“Maren”", ""],
  ]);
});

test("a question that is asked already is not told again", () => {
  const conflicts = [{ about: "card", kind: "target", field: "", entries: ["x", "y"], values: [], text: "" }];
  assert.deepEqual(told({ conflicts }, { conflicts }), []);
  assert.deepEqual(told({}, { conflicts }), [["conflict", "Target", "", "in two ways; you are asked which holds"]]);
});

test("a hand-over, and a job that would be open again, are told", () => {
  assert.deepEqual(told({}, { closed: { id: "c", ...AT } }), [["changed", "Hand-over", "open", "handed over"]]);
  assert.deepEqual(told({ closed: { id: "c", ...AT } }, {}), [["changed", "Hand-over", "handed over", "open"]]);
});

test("notes, plans and ticks are told too, last", () => {
  const steps = [{ id: "s1" }, { id: "s2" }].map((row) => ({ ...row, teardown: 1, ...AT }));
  const is = { steps, notes: [{ id: "n", text: "rusty", ...AT }], plans: [{ id: "p", teardown: 1, odds: 0.8, ...AT }] };
  assert.deepEqual(told({}, is), [
    ["new", "Plan for teardown 1", "", "80 in 100"],
    ["new", "Note", "", "rusty"],
    ["new", "Teardown 1, steps ticked", "", "2"],
  ]);
});
