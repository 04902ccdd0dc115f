/* What to ask next. The order of the first plan, of a round of checks after a teardown, and of each test that may be
   advised. Works on a sheet and route words; draws nothing. */

import { at, readingsOf } from "./sheet.js";
import { CAR, TARGET } from "./questions.js";
import { formOf, markOf } from "./wish.js";

/** @import { Sheet, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */
/** @import { Question } from "./questions.js" */

/** @typedef {{ words: string[], query: { [name: string]: string | number | undefined } }} Route Where a screen is. */
/**
 * @typedef {object} Step A reading to take.
 * @property {What} what
 * @property {Side} side
 * @property {PoseBody | null} [pose]
 * @property {string} [series] the test it belongs to
 * @property {string} [entry] the reading that is changed by it
 * @property {number} [teardown]
 * @property {string | number | null} [resettled] how often the car was settled anew
 */
/**
 * @typedef {Route & { done: boolean, title: string, step?: undefined, optional?: undefined }} Asked A question as a
 *   step.
 */
/** @typedef {Route & { step: Step, done?: boolean, optional?: boolean }} Read A reading as a step. */

const NEEDED = [...CAR, ...TARGET].filter((question) => question.needed);
/** Questions of a target in heights; the other forms say it all where they are written. */
const HEIGHTS = TARGET.filter((question) => question.needed);
/** @type {Side[]} */
const BOTH = ["left", "right"];
/**
 * @param {What} what
 * @returns {Step[]}
 */
const pairs = (what) => BOTH.map((side) => ({ what, side }));

/**
 * Readings of a round, in the order of the work: before a teardown on the wheels first, after it the free arm first.
 * @param {number} teardowns
 */
const round = (teardowns) =>
  teardowns === 0
    ? [...pairs("body-height"), ...pairs("riding-angle"), ...pairs("hanging-angle")]
    : [...pairs("hanging-angle"), ...pairs("body-height"), ...pairs("riding-angle")];

/**
 * @param {Step} step
 * @param {number} teardowns
 */
const OPTIONAL = (step, teardowns) => step.what === "riding-angle" || (teardowns > 0 && step.what === "hanging-angle");

/**
 * The route of a reading.
 * @param {Step} step
 * @returns {Route}
 */
export function readRoute({ what, side, pose, series, entry, teardown, resettled }) {
  /** @type {Route["query"]} */
  const query = {};
  if (pose?.hanging) query.hanging = 1;
  for (const s of BOTH) {
    const [board, ballast] = [pose?.[`board_${s}_mm`], pose?.[`ballast_${s}_kg`]];
    if (board) query[`board-${s}`] = board;
    if (ballast) query[`ballast-${s}`] = ballast;
  }
  if (series) query.series = series;
  if (entry) query.entry = entry;
  if (teardown !== undefined) query.after = teardown;
  if (resettled && !entry) query.resettled = resettled;
  return { words: ["read", what, side], query };
}

/**
 * The pose in a route's query, or undefined when the car just stands on its wheels.
 * @param {Route["query"]} query
 */
export function poseOf(query) {
  /** @type {PoseBody} */
  const pose = {};
  if (query.hanging) pose.hanging = true;
  for (const side of BOTH) {
    if (query[`board-${side}`]) pose[`board_${side}_mm`] = Number(query[`board-${side}`]);
    if (query[`ballast-${side}`]) pose[`ballast_${side}_kg`] = Number(query[`ballast-${side}`]);
  }
  return Object.keys(pose).length ? pose : undefined;
}

/**
 * A question as a step.
 * @param {Sheet} sheet
 * @param {Question} question
 * @returns {Asked}
 */
const asked = (sheet, question) => ({
  words: ["ask", question.key],
  query: {},
  done: at(sheet, question.path) !== undefined,
  title: question.title,
});

/**
 * Every step of the main way through a job.
 * @param {Sheet} sheet
 * @returns {(Asked | Read)[]}
 */
export function steps(sheet) {
  const inHeights = formOf(sheet.target) === "heights";
  const asks = NEEDED.filter((question) => inHeights || !HEIGHTS.includes(question)).map((question) =>
    asked(sheet, question),
  );
  const reads = round(sheet.teardowns).map((step) => ({
    ...readRoute(step),
    done:
      readingsOf(sheet, { what: step.what, side: step.side, pose: {}, teardown: sheet.teardowns }).length > 0 ||
      (step.what === "hanging-angle" && readIn(sheet, step, sheet.teardowns)),
    optional: OPTIONAL(step, sheet.teardowns),
    step,
  }));
  return [...asks, ...reads];
}

/**
 * Whether a side was read, in whatever pose; in one teardown, or ever.
 * @param {Sheet} sheet
 * @param {Step} step
 * @param {number} [teardown]
 */
const readIn = (sheet, { what, side }, teardown) => readingsOf(sheet, { what, side, teardown }).length > 0;

/**
 * Readings as steps, those that were not made yet.
 * @param {Sheet} sheet
 * @param {Step[]} steps
 * @returns {Read[]}
 */
const unread = (sheet, steps) =>
  steps.filter((step) => !readIn(sheet, step)).map((step) => ({ ...readRoute(step), step }));

/**
 * What no plan can be made without, by the form of the target: its heights, and one reading of its mark a side.
 * @param {Sheet} sheet
 */
export function needs(sheet) {
  const form = formOf(sheet.target);
  const asks = form === "heights" ? HEIGHTS.map((question) => asked(sheet, question)).filter((step) => !step.done) : [];
  const reads = ["heights", "level"].includes(form) ? unread(sheet, pairs(markOf(sheet.target))) : [];
  return [...asks, ...reads];
}

/**
 * What the first plan asks for: a plan can be had with less (`needs`), but not a sure one.
 * @param {Sheet} sheet
 */
export function missing(sheet) {
  const asks = steps(sheet).filter((step) => step.words[0] === "ask" && !step.done);
  return [...asks, ...unread(sheet, [...pairs("hanging-angle"), ...pairs("body-height")])];
}

/** @type {Route} */
const PLAN = { words: ["plan"], query: {} };

/**
 * Where to go after a step of the main way: the next one not done, then what was left out but is needed, then the plan.
 * @param {Sheet} sheet
 * @param {string[]} words
 * @returns {Route}
 */
export function after(sheet, words) {
  const all = steps(sheet);
  const here = all.findIndex((step) => step.words.join() === words.join());
  return all.slice(here + 1).find((step) => !step.done) ?? missing(sheet)[0] ?? PLAN;
}

/**
 * The tests of the trade, each a list of reading steps taken in one or two poses; "settling.2": the car settled a
 * second time.
 * @param {string} name
 * @param {PoseBody} [pose]
 */
export function series(name, pose = {}) {
  const [test, resettled] = name.split(".");
  const inPose = (/** @type {Step[]} */ list, stance = pose) => list.map((step) => ({ ...step, pose: stance }));
  /** @type {{ [test: string]: Step[] }} */
  const tests = {
    board: inPose([...pairs("body-height"), ...pairs("riding-angle")]),
    ballast: inPose([...pairs("body-height"), ...pairs("riding-angle")]),
    hang: [
      ...inPose([...pairs("riding-angle"), ...pairs("hub-to-body")], { hanging: true }),
      ...inPose(pairs("hub-to-body"), {}),
    ],
    scales: inPose(pairs("wheel-load"), {}),
    heights: inPose(pairs("body-height"), {}),
    riding: inPose(pairs("riding-angle"), {}),
    hanging: inPose(pairs("hanging-angle"), {}),
    settling: inPose([...pairs("body-height"), ...pairs("riding-angle")], {}).map((step) => ({ ...step, resettled })),
  };
  return tests[test] ?? [];
}

/**
 * Where to go after a step of a test: its next step, what was to come after it, or null at its end.
 * @param {string} name
 * @param {{what: What, side: Side, pose?: PoseBody | null}} step
 * @returns {Route | null}
 */
export function afterInSeries(name, { what, side, pose }) {
  const [test, then] = name.split("-then-");
  const all = series(test, pose ?? {});
  const here = all.findIndex(
    (s) => s.what === what && s.side === side && Boolean(s.pose?.hanging) === Boolean(pose?.hanging),
  );
  if (here >= 0 && here < all.length - 1) return readRoute({ ...all[here + 1], series: name });
  if (then === "plan") return PLAN;
  return then ? { words: ["pose", "board", then], query: { then: "plan" } } : null;
}

/** Facts that are advised as a test but typed as an answer: the first question, and the one after it. */
/** @type {{ [test: string]: string[] }} */
const ASKS = {
  "arm-length": ["car.arm_mm"],
  "bar-size": ["car.bar.diameter_mm", "car.bar.length_mm"],
  "bump-gap": ["car.limits.bump_mm"],
  "tooth-count": ["car.bar.inner_teeth", "car.bar.outer_teeth"],
};

/**
 * How often the car was settled anew so far in this teardown's pose on its wheels.
 * @param {Sheet} sheet
 */
const settledSoFar = (sheet) =>
  Math.max(0, ...sheet.readings.filter((r) => (r.teardown ?? 0) === sheet.teardowns).map((r) => r.resettled ?? 0));

/**
 * The series of each advised test that is one.
 * @type {{ [test: string]: string }}
 */
const SERIES = {
  "hang-test": "hang",
  scales: "scales",
  "body-height": "heights",
  "riding-angle": "riding",
  "hanging-angle": "hanging",
};

/**
 * Where an advised test starts.
 * @param {{ what: string, side: Side | "both" | null }} test
 * @param {Sheet} sheet
 * @returns {Route}
 */
export function startOf({ what, side }, sheet) {
  if (ASKS[what]) {
    const [first, then] = ASKS[what];
    return { words: ["ask", first], query: { from: "plan", ...(then ? { then } : {}) } };
  }
  if (what === "settling") {
    const name = `settling.${settledSoFar(sheet) + 1}`;
    return readRoute({ ...series(name)[0], series: name });
  }
  if (what === "board-test") {
    return side === "both"
      ? { words: ["pose", "board", "left"], query: { then: "right" } }
      : { words: ["pose", "board", side ?? "left"], query: { then: "plan" } };
  }
  if (what === "ballast-test") return { words: ["pose", "ballast", "both"], query: {} };
  const name = SERIES[what];
  const first = series(name)[0];
  return readRoute({
    ...first,
    side: side === "right" && !["hang-test", "scales"].includes(what) ? "right" : first.side,
    series: name,
  });
}
