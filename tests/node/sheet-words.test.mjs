// The hand-over sheet in words: what was done and how it stands for the owner, the rows for the next mechanic.
import assert from "node:assert/strict";
import { test } from "node:test";
import { barRows, liftRows, otherWords, workTable, writtenLines } from "../../web/work/pc/sheet-rows.js";
import { begun, doneLines, heightRows, levelWords, recheckLine, targetLine } from "../../web/work/pc/sheet-words.js";

const NOTHING = { heights: new Set(), readings: new Set(), moves: new Set(), lines: [] };
const TARGET = { left_mm: 250, right_mm: 250, tolerance_mm: 5, lean_mm: 5 };
const stage = (teardown, left_mm, right_mm, more = {}) => ({
  teardown,
  after_km: null,
  plan: null,
  promised: null,
  followed: null,
  hit: null,
  still_within: null,
  settled: null,
  reached: { left_mm, right_mm, lean_mm: left_mm - right_mm },
  hub_mm: { left: null, right: null },
  hanging_deg: { left: 5.8, right: null },
  riding_deg: { left: null, right: null },
  target: TARGET,
  ...more,
});
const move = (teardown, left) => ({ teardown, at: "2026-03-01T10:00:00Z", left, right: {} });
const job = (stages, moves = [], more = {}) => ({
  stages,
  sheet: { moves, plans: [], readings: [], steps: [], target: TARGET, ...more },
});

test("what was done is said in words of the owner, with by how much each side changed", () => {
  assert.deepEqual(doneLines(job([stage(0, 214, 222)]), NOTHING), ["Nothing was taken apart. The car was measured."]);
  const planned = { promised: { odds: 0.8, left_mm: 250, left_sd_mm: 2, right_mm: 250, right_sd_mm: 2 } };
  const done = job([stage(0, 214, 222), stage(1, 251, 222, planned)], [move(1, { inner: -3, outer: 4 })]);
  assert.deepEqual(doneLines(done, NOTHING), [
    "Rear springs adjusted once, on the left side. That sets the height of this car.",
    "The left side now stands 37 mm higher, the right side now stands as high as before.",
  ]);
  const open = { ...NOTHING, heights: new Set(["1 left"]), moves: new Set([1]) };
  assert.deepEqual(doneLines(done, open), [
    "Rear springs adjusted once. That sets the height of this car.",
    "The right side now stands as high as before.",
  ]);
});

test("work without a plan is said to be so, for all of it or by its steps", () => {
  const planned = { promised: { odds: 0.8 } };
  const moves = [move(1, { inner: 1 }), move(2, { inner: 1 })];
  assert.match(
    doneLines(job([stage(0, 1, 1), stage(1, 1, 1), stage(2, 1, 1)], moves), NOTHING).at(-1),
    /^No plan was kept of/,
  );
  const some = job([stage(0, 1, 1), stage(1, 1, 1, planned), stage(2, 1, 1)], moves);
  assert.match(doneLines(some, NOTHING).at(-1), /^Of work step 2 no plan/);
});

test("how it stands is held against the target, and what is in dispute is not judged", () => {
  const words = (left, right, open = NOTHING) => levelWords(job([stage(1, left, right)]), open);
  assert.equal(
    words(251, 249),
    "Level: the left side is 2 mm higher; target: within 5 mm. On target: both heights are within 5 mm.",
  );
  assert.match(words(258, 250), /^Not level: .* Off target: a height is more than 5 mm off\.$/);
  assert.match(words(250, 250), /both sides are equally high/);
  assert.match(words(null, 250), /not known/);
  assert.match(words(250, 250, { ...NOTHING, heights: new Set(["1 left"]) }), /in dispute/);
  assert.equal(levelWords(job([]), NOTHING), "Heights have not been measured yet.");
});

test("a recheck is told by what each side did since, and nothing else is", () => {
  const later = stage(1, 248, 250, { after_km: 300, settled: { left_mm: -3, right_mm: 0 } });
  assert.equal(
    recheckLine([stage(0, 1, 1), later]),
    "Rechecked after 300 km: the left side 3 mm lower, the right side as on that day.",
  );
  assert.equal(recheckLine([stage(0, 1, 1)]), "");
  assert.match(targetLine(undefined, TARGET), /^Target: .*250 mm.*, each within 5 mm\.$/);
});

test("the table of heights has a column for now only where something was turned", () => {
  assert.deepEqual(
    heightRows(job([stage(0, 214, 222)]), NOTHING).rows.map(({ found, now }) => [found, now]),
    [
      ["214 mm", null],
      ["222 mm", null],
    ],
  );
  const open = { ...NOTHING, heights: new Set(["1 right"]) };
  const { rows } = heightRows(job([stage(0, 214, 222), stage(1, 250, 251)]), open);
  assert.deepEqual(
    rows.map(({ now }) => now),
    ["250 mm", "in dispute"],
  );
});

test("what was predicted has columns only where there was a plan", () => {
  const bare = workTable(job([stage(0, 214, 222), stage(1, 250, 251)], [move(1, { inner: -3, outer: 4 })]), NOTHING);
  assert.equal(bare.planned, false);
  assert.ok(!bare.head.includes("Chance"));
  assert.ok(bare.rows.every((row) => row.length === bare.head.length));
  assert.equal(bare.rows[1][1], "3 up, 4 down");
  const promised = { odds: 0.84, left_mm: 250, left_sd_mm: 2, right_mm: 250, right_sd_mm: 2 };
  const full = workTable(
    job([stage(0, 214, 222), stage(1, 250, 251, { promised, followed: false, hit: true })], [move(1, {})]),
    NOTHING,
  );
  assert.deepEqual(full.rows[1].slice(5), [
    "250 ± 3 / 250 ± 3",
    "84 in 100, turned otherwise",
    "250.0 / 251.0",
    "−1.0",
    "within",
  ]);
  assert.deepEqual(full.rows[0].slice(5, 7), ["", ""]);
});

test("lifts, bars and who wrote what are rows that say only what is there", () => {
  assert.deepEqual(liftRows(job([stage(0, 1, 1), stage(1, 1, 1, { plan: "p" })])), []);
  assert.deepEqual(barRows({}), []);
  assert.deepEqual(barRows({ bar: { diameter_mm: 22, inner_teeth: 40 }, arm_mm: 400, axle: "trailing" }), [
    ["Bar", "22 mm thick"],
    ["Teeth", "inner 40"],
    ["Arm", "400 mm, trailing axle"],
  ]);
  const entry = (id, at, kind) => ({ id, at, kind, device: "a" });
  const lines = writtenLines(
    [
      entry("2", "2026-03-01T10:20:00Z", "reading"),
      entry("1", "2026-03-01T10:00:00Z", "reading"),
      entry("3", "2026-03-02T09:00:00Z", "plan"),
    ],
    () => "this device",
  );
  assert.match(lines[0], /, 10:00 to 10:20, this device: reading × 2$/);
  assert.match(lines[1], /, 09:00, this device: plan$/);
  const board = { what: "body-height", side: "left", value: 214, teardown: 0, pose: { board_left_mm: 50 } };
  assert.match(
    otherWords({ readings: [board], moves: [], plans: [] }),
    /^as found .*: ?L 214 mm|^as found ride height L 214/,
  );
  assert.equal(otherWords({ readings: [{ ...board, pose: null }], moves: [], plans: [] }), "");
});

test("a job is begun by teeth that were turned or a step that was done, not by a check before the road", () => {
  assert.equal(begun({ moves: [], steps: [] }), false);
  assert.equal(begun({ moves: [], steps: [{ step: "handover-brakes", done: true }] }), false);
  assert.equal(begun({ moves: [], steps: [{ step: "stands", done: false }] }), false);
  assert.equal(begun({ moves: [], steps: [{ step: "stands", done: true }] }), true);
  assert.equal(begun({ moves: [move(1, { inner: 1, outer: 0 })], steps: [] }), true);
});

test("before anything was turned the table has no columns for teeth and none for a verdict", () => {
  const { head, rows } = workTable(job([stage(0, 214, 222)]), NOTHING);
  assert.deepEqual(head, ["Work step", "Hanging angle", "Riding angle", "Measured", "Lean"]);
  assert.equal(rows[0].length, head.length);
});
