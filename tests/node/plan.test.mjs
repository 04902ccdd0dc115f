// What a plan's deck offers, which ways are shown, what is expected of an option, what is assumed: work/ alone.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assumedOf, assumedWords, FIELDS, otherLimits, passedOnce } from "../../web/work/assumed.js";
import { readFirst } from "../../web/work/flow.js";
import { expectedOf, outlookOf, readNow } from "../../web/work/outlook.js";
import { lowered, lowering, standOf } from "../../web/work/plan-deck.js";
import { about, figureOf, rangeOf, riseOf } from "../../web/work/plan-figures.js";
import { gainWords, testsOf, waysOf } from "../../web/work/plan-ways.js";
import { stepsOf } from "../../web/work/teardown-steps.js";
import { useLengths } from "../../web/work/units.js";

const height = (value, sd = 2) => ({ value, sd });
const side = (more) => ({
  inner: -3,
  outer: 4,
  turn_deg: 5.7,
  body_height_mm: height(250),
  rise_mm: height(36),
  ...more,
});
const option = (more) => ({
  label: "both ends",
  odds: 0.36,
  ends_disturbed: 4,
  stopped_by: [],
  obstacles: [],
  cautions: [],
  lean_mm: { value: 0, sd: 2.5 },
  left: side(),
  right: side(),
  ...more,
});
const still = (more) => option({ label: "leave it", ends_disturbed: 0, odds: 0.1, ...more });
const stopped = (what, by, more) => {
  const obstacle = { what, side: "left", given: true, by_mm: by, by_deg: null, words: `Left: ${what}` };
  return option({ obstacles: [obstacle], stopped_by: [obstacle.words], ...more });
};
const read = (what, after, minutes) => ({ what, side: "both", odds_after: after, minutes, text: `${what}.` });
const answer = (more) => ({
  options: [option(), still()],
  headline: { code: "turn", words: "Turn both ends." },
  target: { as: "heights", left_mm: 250, right_mm: 250, tolerance_mm: 5, lean_mm: 5 },
  measure_next: [],
  assumed: [],
  doubts: [],
  cautions: [],
  withheld: false,
  ...more,
});
const sheet = (more) => ({ teardowns: 0, readings: [], moves: [], plans: [], steps: [], car: {}, ...more });
const stage = (teardown, hit, left = 214, right = 222) => ({
  teardown,
  after_km: null,
  hit,
  reached: { left_mm: left, right_mm: right, lean_mm: null },
});
const stand = (given, { at = 0, working = null, teardowns = 0, stages = [] } = {}) =>
  standOf({ answer: given, option: given.options[at], sheet: sheet({ teardowns }), stages, working });

test("a reading that gains eight in a hundred within ten minutes goes before the start, any other one after it", () => {
  const first = stand(answer({ measure_next: [read("board-test", 0.58, 10), read("settling", 0.4, 5)] }));
  assert.deepEqual([first.kind, first.reading.what, first.from], ["read", "board-test", 0.36]);
  for (const list of [[read("board-test", 0.43, 10)], [read("scales", 0.58, 15)]]) {
    const after = stand(answer({ measure_next: list }));
    assert.deepEqual([after.kind, after.reading.what], ["start", list[0].what]);
  }
  assert.equal(stand(answer({ measure_next: [read("scales", 0.37, 15)] })).reading, null);
});

test("nothing starts on what was entered in two ways; a reading is offered, and work under way goes on", () => {
  const plan = { id: "p", teardown: 1, left: { inner: -3, outer: 4 }, right: { inner: 0, outer: 1 } };
  const given = answer({ measure_next: [read("board-test", 0.58, 10)] });
  const at = (more, working = null) =>
    standOf({
      answer: given,
      option: given.options[0],
      sheet: sheet({ conflicts: [{ before_teardown: true }], ...more }),
      stages: [],
      working,
    });
  const found = at({});
  assert.deepEqual([found.kind, found.reading.what], ["disputed", "board-test"]);
  assert.equal(at({ conflicts: [{ before_teardown: false }] }).kind, "read");
  // A plan that was kept is no work yet.
  assert.equal(at({ plans: [plan] }, 1).kind, "disputed");
  const ticked = { step: "chocks", teardown: 1, side: null, done: true };
  const steps = stepsOf(plan, sheet({ plans: [plan] })).slice(0, 1);
  assert.equal(at({ plans: [plan], steps: [{ ...ticked, step: steps[0].key }] }, 1).kind, "under-way");
});

test("a short reading goes first though a long one would bring more", () => {
  const both = answer({ measure_next: [read("hang-test", 0.7, 15), read("board-test", 0.58, 10)] });
  assert.equal(readFirst(both).what, "board-test");
});

test("nothing is started while a teardown is under way, a doubt withholds it, or the car was not read since", () => {
  const better = answer({ measure_next: [read("board-test", 0.58, 10)] });
  assert.deepEqual([stand(better, { working: 1 }).kind, stand(better, { working: 1 }).number], ["under-way", 1]);
  assert.equal(stand({ ...better, withheld: true }).kind, "doubt");
  const unread = stand(better, { teardowns: 1, stages: [stage(0, null), stage(1, null)] });
  assert.deepEqual([unread.kind, unread.next.words], ["unread", ["ground", "1"]]);
  const again = stand(better, { teardowns: 1, stages: [stage(0, null), stage(1, false)] });
  assert.deepEqual([again.kind, again.number], ["read", 2]);
});

test("a limit that somebody knows says how far the target has to move, and no other height is made up", () => {
  const droop = stand(answer({ options: [stopped("droop", 33.2)], headline: { code: "forbidden", words: "" } }));
  assert.deepEqual([droop.kind, droop.lower], ["forbidden", 34]);
  assert.equal(stand(answer({ options: [stopped("bump", 4)] })).lower, -4);
  for (const what of ["stress", "stop", "joint", "reach"])
    assert.equal(lowering({ what, side: "left", given: true, by_mm: 5, words: "" }), 0);
  assert.equal(lowering(null), 0);
});

test("the limit that is passed by most decides", () => {
  const both = stopped("droop", 3);
  both.obstacles.push(
    { ...both.obstacles[0], side: "right", by_mm: 9.5 },
    { ...both.obstacles[0], given: false, by_mm: 80 },
  );
  assert.deepEqual(
    [stand(answer({ options: [both] })).obstacle.side, stand(answer({ options: [both] })).lower],
    ["right", 10],
  );
});

test("where the headline tells of a forbidden way, the hopeless one before it is not started", () => {
  const hopeless = option({ odds: 0.01 });
  const told = answer({
    options: [hopeless, stopped("droop", 12, { odds: 0.8 })],
    headline: { code: "forbidden", words: "" },
  });
  assert.deepEqual([stand(told).kind, stand(told).lower], ["forbidden", 12]);
  assert.equal(stand({ ...told, headline: { code: "turn", words: "" } }).kind, "start");
});

test("a lowered target keeps its form and moves both sides alike; an angle has no height to move", () => {
  assert.deepEqual(lowered({ left_mm: 250, right_mm: 255, tolerance_mm: 4 }, 34), {
    left_mm: 216,
    right_mm: 221,
    tolerance_mm: 4,
  });
  assert.deepEqual(lowered({ as: "level", at: "mean", rise_mm: 100 }, 30), { as: "level", at: "mean", rise_mm: 70 });
  assert.deepEqual(lowered({ as: "rise", left_rise_mm: 40, right_rise_mm: 30 }, -5), {
    as: "rise",
    left_rise_mm: 45,
    right_rise_mm: 35,
  });
  assert.equal(lowered({ as: "hanging-angle", left_deg: 8, right_deg: 8 }, 5), null);
});

test("a car on target, or left by choice, goes on to the hand-over; where nothing helps, to the target", () => {
  const good = answer({ options: [still()], headline: { code: "as-wished", words: "" } });
  assert.deepEqual([stand(good).kind, stand(good).next.words, stand(good).hand], ["stay", ["close"], true]);
  assert.deepEqual(stand(answer(), { at: 1 }).next.words, ["close"]);
  const lost = answer({ options: [still()], headline: { code: "out-of-reach", words: "" } });
  assert.deepEqual([stand(lost).next.words, stand(lost).hand], [["target"], false]);
});

test("ways more than twenty in a hundred worse, and forbidden ones, are hidden until asked for", () => {
  const all = answer({
    options: [option({ odds: 0.8 }), option({ odds: 0.61 }), option({ odds: 0.59 }), stopped("bump", 3, { odds: 0.9 })],
  });
  assert.deepEqual(waysOf(all, 0), { near: [1], far: [2, 3] });
  assert.deepEqual(waysOf(all, 1), { near: [0], far: [2, 3] });
});

test("tests are told best first, with what they bring, and those that hardly change it are left out", () => {
  const all = answer({
    measure_next: [read("settling", 0.4, 5), read("board-test", 0.58, 10), read("scales", 0.37, 15)],
  });
  assert.deepEqual(
    testsOf(all).map(({ name, from, to, minutes }) => [name, gainWords(from, to), minutes]),
    [
      ["Board test", "36 → 58 in 100", 10],
      ["Settle once more, read again", "36 → 40 in 100", 5],
    ],
  );
  assert.equal(gainWords(0.001, 0.4), "under 1 → 40 in 100");
});

test("heights are expected where both marks were read, else the change, each against the target of its own", () => {
  const target = {
    as: "rise",
    left_rise_mm: 40,
    right_rise_mm: 30,
    left_mm: 254,
    right_mm: null,
    tolerance_mm: 5,
    lean_mm: 5,
  };
  const unread = option({ right: side({ body_height_mm: null }) });
  const expected = expectedOf(unread, target);
  assert.deepEqual([expected.by, expected.left.value, expected.aim], ["rise", 36, { left: 40, right: 30 }]);
  assert.deepEqual(outlookOf(unread, target).mean, { left: -4, right: 6 });
  const known = expectedOf(option(), answer().target);
  assert.deepEqual([known.by, known.left.value, known.aim], ["height", 250, { left: 250, right: 250 }]);
  assert.equal(outlookOf(option(), { as: "hanging-angle", left_mm: null, right_mm: null }), null);
  const hub = option({ left: side({ hub_to_body_mm: height(188) }), right: side({ hub_to_body_mm: height(189) }) });
  assert.equal(expectedOf(hub, { ...answer().target, measured: "hub-to-body" }).right.value, 189);
});

test("what stands now is what was read since the last teardown, never what was predicted", () => {
  assert.deepEqual(readNow([stage(0, null)], 0), { left: 214, right: 222 });
  assert.deepEqual(readNow([stage(0, null)], 1), { left: null, right: null });
  assert.deepEqual(readNow([stage(0, null), stage(1, true, 250, null)], 1), { left: 250, right: null });
  assert.deepEqual(readNow([{ ...stage(0, null), after_km: 300 }], 0), { left: null, right: null });
});

const fact = (field, of, value, sd, measure, more) => ({
  field,
  side: of,
  value,
  sd,
  unit: "mm",
  measure,
  minutes: 5,
  odds_after: null,
  words: "",
  ...more,
});
const droop = (of, more) => fact("car.limits.droop_mm", of, 90, 25, "hang-test", more);
const over = (of, by, what = "droop", given = false) => ({
  what,
  side: of,
  given,
  by_mm: by,
  by_deg: null,
  words: "It passes",
});

test("limits that the plan would pass come first and say what it needs; a limit has no chance beside it", () => {
  const one = option({ obstacles: [over("left", 30)] });
  const found = assumedOf(answer({ assumed: [droop("left"), droop("right")] }), one);
  assert.deepEqual(found.passed.map(assumedWords), [
    "Droop travel, left: 90 ± 41 mm is assumed; the plan needs 120 mm.",
  ]);
  assert.deepEqual(
    found.rest.map(({ name, to }) => [name, to]),
    [["Droop travel, right", null]],
  );
  assert.equal(
    assumedOf(answer({ assumed: [droop("left")] }), option({ obstacles: [over("left", 30, "droop", true)] })).passed
      .length,
    0,
  );
});

test("a limit that both sides pass is one line with what the worse side needs", () => {
  const both = option({ obstacles: [over("left", 9), over("right", 30)] });
  const once = passedOnce(answer({ assumed: [droop("left"), droop("right")] }), both);
  assert.deepEqual(once.map(assumedWords), ["Droop travel: 90 ± 41 mm is assumed; the plan needs 120 mm."]);
});

test("facts follow by what they would bring, and what hardly changes it is kept apart, both sides as one", () => {
  const assumed = [
    fact("car.arm_mm", null, 410, 40, "arm-length", { odds_after: 0.49 }),
    fact("log", "left", 12, 15, "hanging-angle", { odds_after: 0.55 }),
    fact("log", "right", 12, 15, "hanging-angle", { odds_after: 0.55 }),
    fact("car.bar.inner_teeth", null, 0.8, null, "tooth-count", { odds_after: 0.36 }),
    fact("car.limits.bump_mm", "left", 60, 20, "bump-gap"),
    fact("car.limits.bump_mm", "right", 60, 20, "bump-gap"),
  ];
  const { worth, rest } = assumedOf(answer({ assumed }), option());
  assert.deepEqual(
    worth.map(({ name, value }) => `${name} ${value}`),
    ["Hanging angle, both sides 12.0 ± 24.7°", "Arm length 410 ± 66 mm"],
  );
  assert.deepEqual(
    rest.map(({ name }) => name),
    ["Tooth counts", "Bump travel, both sides"],
  );
});

test("each side's own value stands for itself", () => {
  const { rest } = assumedOf(answer({ assumed: [droop("left"), droop("right", { value: 80 })] }), option());
  assert.deepEqual(
    rest.map(({ name, value }) => `${name} ${value}`),
    ["Droop travel, left 90 ± 41 mm", "Droop travel, right 80 ± 41 mm"],
  );
});

test("an assumed limit that no fact stands for is told in the model's own words, with its field", () => {
  const stressed = option({ obstacles: [over("left", null, "stress"), over("left", 3)] });
  assert.deepEqual(otherLimits(stressed), [{ text: "It passes", field: "car.limits.permissible_stress_mpa" }]);
});

test("every field has words for its value, in millimetres and in inches", () => {
  for (const unit of ["mm", "in"]) {
    useLengths(unit);
    for (const [field, { name, say }] of Object.entries(FIELDS)) {
      assert.match(say(fact(field, "left", 90, 25, "hang-test")), /\d/, field);
      assert.doesNotMatch(say(fact(field, "left", 90, 25, "hang-test")), /NaN|undefined|null/, field);
      assert.ok(name);
    }
  }
  useLengths("mm");
});

test("± holds ninety in a hundred, is never nothing, and follows the unit", () => {
  assert.equal(about({ value: 249.7, sd: 2.86 }), "250 ± 5 mm");
  assert.equal(rangeOf(0.1), "± 1");
  assert.deepEqual([riseOf(40.2), riseOf(-12), riseOf(0.2)], ["+40", "−12", "0"]);
  useLengths("in");
  assert.equal(about({ value: 249.7, sd: 2.86 }), "9 13/16 ± 3/16 in");
  assert.deepEqual([figureOf(152), rangeOf(0.1)], ["6", "± 1/16"]);
  useLengths("mm");
});
