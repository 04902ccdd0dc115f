// On or off target after a teardown; what is open at hand-over; a recheck: settled or wrong, within or not, what to do.
import assert from "node:assert/strict";
import { test } from "node:test";
import { checksOf } from "../../web/work/checks.js";
import { openOf } from "../../web/work/handover.js";
import { reminder } from "../../web/work/due.js";
import { expected, jobFrom, recheckOf, share } from "../../web/work/recheck.js";
import { useLengths } from "../../web/work/units.js";
import { SETTLE, predictedWords, unsettled, verdictOf } from "../../web/work/verdict.js";

const plainly = (text) => text.replaceAll("\u00a0", " ");
const none = { left: null, right: null };
const TARGET = { left_mm: 250, right_mm: 250, tolerance_mm: 5, lean_mm: 5 };
const stage = (left, right, more = {}) => ({
  teardown: 1,
  after_km: null,
  reached: { left_mm: left, right_mm: right, lean_mm: left === null || right === null ? null : left - right },
  hub_mm: none,
  hanging_deg: none,
  riding_deg: none,
  target: TARGET,
  hit: null,
  promised: null,
  followed: null,
  settled: null,
  still_within: null,
  ...more,
});
const sheet = (more = {}) => ({
  job: "01",
  title: "Gannet",
  about: { car: "Gannet roadster", owner: "Maren" },
  teardowns: 1,
  moves: [{ teardown: 1 }],
  plans: [],
  steps: [],
  readings: [],
  conflicts: [],
  closed: null,
  target: TARGET,
  ...more,
});
const titles = (one) => plainly(one.title);

test("a car within its gates is on target and every figure says by how much", () => {
  const verdict = verdictOf(stage(251, 249, { hit: true }));
  assert.equal(verdict.state, "on");
  assert.equal(titles(verdict), "On target");
  assert.deepEqual(
    verdict.rows.map(({ name, figure, note, good }) => [name, plainly(figure), plainly(note), good]),
    [
      ["Left", "251 mm", "1 mm above target", true],
      ["Right", "249 mm", "1 mm below target", true],
      ["Lean", "2 mm", "target: within 5 mm", true],
    ],
  );
});

test("off target names the sides that are out, and the lean only where no side is", () => {
  const title = (left, right) => titles(verdictOf(stage(left, right, { hit: false })));
  assert.equal(title(241, 249), "Off target: left 9 mm low");
  assert.equal(title(258, 256), "Off target: left 8 mm high, right 6 mm high");
  assert.equal(title(247, 254), "Off target: lean off by 7 mm");
});

test("nothing is judged until both sides are read, nor by a target that counts from what was not read", () => {
  assert.equal(verdictOf(stage(251, null)).state, "unread");
  assert.equal(verdictOf(stage(251, 249, { target: { as: "rise", left_mm: null, right_mm: 250 } })).state, "unjudged");
});

test("hanging angles are judged by the angles, each for itself", () => {
  const target = { as: "hanging-angle", left_deg: 17, right_deg: 17, tolerance_deg: 0.8 };
  const hung = stage(250, 250, { target, hanging_deg: { left: 17.5, right: 18.2 }, hit: false });
  const verdict = verdictOf(hung);
  assert.equal(titles(verdict), "Off target: right 1.2° too far down");
  assert.deepEqual(
    verdict.rows.map((row) => row.good),
    [true, false],
  );
  assert.equal(verdictOf({ ...hung, hanging_deg: none, hit: null }).state, "unread");
});

test("hub-to-body targets are judged by that mark", () => {
  const hub = stage(700, 700, {
    target: { ...TARGET, measured: "hub-to-body" },
    hub_mm: { left: 250, right: 248 },
    hit: true,
  });
  assert.deepEqual(verdictOf(hub).read, { left: 250, right: 248 });
});

test("predicted and measured stand in one line, ± holding 90 in 100", () => {
  const promised = { odds: 0.78, left_mm: 250, left_sd_mm: 2, right_mm: 252, right_sd_mm: 2 };
  assert.equal(
    predictedWords(stage(251, 249, { promised })),
    "Predicted 250 ± 3 and 252 ± 3 mm (90 in 100), measured 251 and 249. Chance was 78 in 100.",
  );
  assert.match(predictedWords(stage(251, 249, { promised, followed: false })), /Other teeth were turned than planned/);
  assert.equal(predictedWords(stage(251, 249)), "");
});

test("every figure of a verdict follows the unit", () => {
  useLengths("in");
  try {
    const verdict = verdictOf(stage(241, 249, { hit: false }));
    assert.equal(titles(verdict), "Off target: left 0.35 in low");
    assert.ok(!JSON.stringify(verdict.rows).includes("mm"));
  } finally {
    useLengths("mm");
  }
});

test("what of the settling is not ticked is told of this teardown alone", () => {
  const steps = SETTLE.map(([step]) => ({ step, teardown: 1 }));
  assert.deepEqual(unsettled({ steps }, 1), []);
  assert.equal(unsettled({ steps }, 2).length, SETTLE.length);
  assert.deepEqual(unsettled({ steps: [...steps.slice(1), { ...steps[0], done: false }] }, 1), ["ready"]);
});

const PLAIN = { car: {}, moves: [] };
const ticked = checksOf(PLAIN).map(([step]) => ({ step }));
const openWords = (more, ...stages) => openOf({ sheet: sheet(more), stages }).map(plainly);

test("a car on target with every check ticked is handed over without a question", () => {
  assert.deepEqual(openWords({ steps: ticked }, stage(214, 222, { teardown: 0 }), stage(251, 249, { hit: true })), []);
});

test("what is open at hand-over is named: no teardown, heights not read, off target, checks", () => {
  const found = stage(214, 222, { teardown: 0, hit: false });
  assert.deepEqual(openWords({ teardowns: 0, moves: [], steps: ticked }, found), ["No teardown was made."]);
  assert.deepEqual(openWords({ steps: ticked }, found, stage(251, null)), [
    "Heights after the last teardown are not read.",
  ]);
  assert.deepEqual(openWords({ steps: ticked }, found, stage(241, 249, { hit: false })), [
    "Off target: left 9 mm low.",
  ]);
  assert.equal(openWords({}, found, stage(251, 249, { hit: true })).length, checksOf(PLAIN).length);
  assert.deepEqual(openWords({ steps: ticked, conflicts: [{}, {}] }, stage(251, 249, { hit: true })), [
    "2 conflicts to resolve.",
  ]);
});

const closed = sheet({ closed: { at: "2026-11-26T10:00:00Z", posterior: { names: [] } } });
const again = (left, right, within, km = 300) =>
  stage(left, right, {
    after_km: km,
    settled: { left_mm: left - 251, right_mm: right - 249 },
    still_within: within,
  });
const told = (one, job = closed) => recheckOf({ sheet: job, stages: [] }, one);

test("a car that settled as cars do and is within its gates needs nothing", () => {
  const found = told(again(249, 248, true));
  assert.deepEqual([found.state, found.good, found.title], ["fine", true, "On target after 300 km"]);
});

test("one that settled out of its gates gets a new job, one that sank further is looked at first", () => {
  assert.equal(told(again(244, 246, false)).state, "settled-off");
  const wrong = told(again(236, 248, false));
  assert.equal(wrong.state, "odd");
  assert.equal(titles(wrong), "More than settling: left 15 mm lower");
  assert.equal(told(again(251, 262, true)).state, "odd");
  // Both within what one side may settle, and further apart than two sides settle.
  assert.equal(told(again(257.5, 243, true)).state, "odd");
});

test("a recheck that is read on one side only says nothing yet", () => {
  const half = { ...again(249, 248, null), reached: { left_mm: 249, right_mm: null, lean_mm: null } };
  assert.equal(told(half).state, "unread");
});

test("the share of settling grows to all of it, and its spread with it", () => {
  assert.ok(Math.abs(share(100) - (1 - Math.exp(-1))) < 1e-12);
  let before = expected(1);
  for (const km of [10, 50, 100, 300, 1000, 20000]) {
    const now = expected(km);
    assert.ok(now.mean < before.mean && now.sd > before.sd);
    before = now;
  }
  assert.ok(expected(300, { then: 3, now: 3 }).sd < expected(300).sd);
});

test("the card reminds of a recheck until both heights of one were read", () => {
  const day = stage(251, 249, { hit: true });
  assert.equal(reminder({ sheet: closed, stages: [day] }), "Recheck after some hundred km");
  assert.equal(reminder({ sheet: closed, stages: [day, again(249, 248, true)] }), null);
  assert.notEqual(reminder({ sheet: closed, stages: [day, { ...again(249, 248, true), reached: none }] }), null);
  assert.equal(reminder({ sheet: sheet(), stages: [day] }), null);
  assert.equal(reminder({ sheet: { ...closed, teardowns: 0 }, stages: [day] }), null);
});

test("a new job from a recheck begins where the car stands, with its target as heights and what was learned", () => {
  const request = {
    request: {
      car: { arm_mm: 415, limits: { bump_mm: 60, stop_deg: 5 } },
      target: { as: "rise", left_rise_mm: 36, right_rise_mm: 28, tolerance_mm: 4 },
    },
  };
  const day = stage(251, 249, { hit: true });
  const items = jobFrom({ sheet: closed, request, stages: [day], timeline: [] }, again(244, 246, false));
  const of = (kind) => items.filter((item) => item[0] === kind).map((item) => item[1]);
  assert.deepEqual(of("target"), [{ left_mm: 250, right_mm: 250, tolerance_mm: 4 }]);
  assert.deepEqual(of("car"), [{ arm_mm: 415, limits: { stop_deg: 5 } }]);
  assert.deepEqual(of("known"), [{ use: true, job: "01", posterior: { names: [] } }]);
  assert.deepEqual(
    of("reading").map(({ side, value, teardown, after_km: km }) => [side, value, teardown, km]),
    [
      ["left", 244, 0, undefined],
      ["right", 246, 0, undefined],
    ],
  );
  assert.equal(of("job")[0].owner, "Maren");
});
