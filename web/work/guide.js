/* What a plan cannot be made without, the readings of each test that may be advised, and their routes. What is asked
   next is flow.js's. Works on a sheet and route words; draws nothing. */

import { at, readingsOf } from "./sheet.js";
import { TARGET } from "./questions.js";
import { otherAxle, unweighed } from "./weighing.js";
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
 * @property {"rear" | "front" | null} [axle] of a wheel's load, where it is not the job's own
 * @property {string | number | null} [resettled] how often the car was settled anew
 */
/**
 * @typedef {Route & { done: boolean, title: string, step?: undefined, optional?: undefined }} Asked A question as a
 *   step.
 */
/** @typedef {Route & { step: Step, done?: boolean, optional?: boolean }} Read A reading as a step. */

/** Questions of a target in heights; the other forms say it all where they are written. */
const HEIGHTS = TARGET.filter((question) => question.needed);
/** @type {Side[]} */
const BOTH = ["left", "right"];
/**
 * @param {What} what
 * @returns {Step[]}
 */
const pairs = (what) => BOTH.map((side) => ({ what, side }));

/** @type {("hanging" | "centred")[]} */
const FLAGS = ["hanging", "centred"];

/**
 * A pose in a route's query, as poseOf reads it.
 * @param {PoseBody | null} [pose]
 */
function poseQuery(pose) {
  /** @type {Route["query"]} */
  const query = {};
  for (const flag of FLAGS) if (pose?.[flag]) query[flag] = 1;
  for (const s of BOTH) {
    const [board, ballast] = [pose?.[`board_${s}_mm`], pose?.[`ballast_${s}_kg`]];
    if (board) query[`board-${s}`] = board;
    if (ballast) query[`ballast-${s}`] = ballast;
  }
  return query;
}

/**
 * The route of a reading.
 * @param {Step} step
 * @returns {Route}
 */
export function readRoute({ what, side, pose, series, entry, teardown, axle, resettled }) {
  const query = poseQuery(pose);
  if (axle) query.axle = axle;
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
  for (const flag of FLAGS) if (query[flag]) pose[flag] = true;
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
 * Readings as steps, those that were never made, in whatever pose.
 * @param {Sheet} sheet
 * @param {Step[]} steps
 * @returns {Read[]}
 */
const unread = (sheet, steps) =>
  steps
    .filter(({ what, side }) => !readingsOf(sheet, { what, side }).length)
    .map((step) => ({ ...readRoute(step), step }));

/**
 * What no plan can be made without, by the form of the target: its heights, and one reading of its mark a side.
 * @param {Sheet} sheet
 */
export function needs(sheet) {
  const form = formOf(sheet.target);
  const asks = form === "heights" ? HEIGHTS.map((question) => asked(sheet, question)).filter((step) => !step.done) : [];
  const reads = ["heights", "level"].includes(form) ? unread(sheet, pairs(markOf(sheet.target))) : [];
  const loads = form === "cross-weight" ? unweighed(sheet).map((step) => ({ ...readRoute(step), step })) : [];
  return [...asks, ...reads, ...loads];
}

/** @type {Route} */
const PLAN = { words: ["plan"], query: {} };

/** Kinds that are read as a test of their own, left then right. @type {What[]} */
const LENGTHS = ["arm-difference", "bump-gap", "bolt-length", "damper-length"];

/** All four wheel loads: the job's own axle, then the one that is named. */
const CORNERS = "corners-";

/**
 * The tests of the trade, each a list of reading steps taken in one or two poses; "settling.2": the car settled a
 * second time.
 * @param {string} name
 * @param {PoseBody} [pose]
 */
export function series(name, pose = {}) {
  const [test, resettled] = name.split(".");
  const corners = (/** @type {"rear" | "front"} */ axle) =>
    [...pairs("wheel-load"), ...pairs("wheel-load").map((step) => ({ ...step, axle }))].map((step) => ({
      ...step,
      pose: {},
    }));
  const inPose = (/** @type {Step[]} */ list, stance = pose) => list.map((step) => ({ ...step, pose: stance }));
  /** @type {{ [test: string]: Step[] }} */
  const tests = {
    board: inPose([...pairs("body-height"), ...pairs("riding-angle")]),
    ballast: inPose([...pairs("body-height"), ...pairs("riding-angle")]),
    centre: inPose([...pairs("body-height"), ...pairs("riding-angle")], { centred: true }),
    hang: [
      ...inPose([...pairs("riding-angle"), ...pairs("hub-to-body")], { hanging: true }),
      ...inPose(pairs("hub-to-body"), {}),
    ],
    scales: inPose(pairs("wheel-load"), {}),
    [`${CORNERS}rear`]: corners("rear"),
    [`${CORNERS}front`]: corners("front"),
    heights: inPose(pairs("body-height"), {}),
    riding: inPose(pairs("riding-angle"), {}),
    hanging: inPose(pairs("hanging-angle"), {}),
    ...Object.fromEntries(LENGTHS.map((what) => [what, inPose(pairs(what), {})])),
    settling: inPose([...pairs("body-height"), ...pairs("riding-angle")], {}).map((step) => ({ ...step, resettled })),
  };
  return tests[test] ?? [];
}

/**
 * Where to go after a step of a test: its next step, what was to come after it, or null at its end.
 * @param {string} name
 * @param {{what: What, side: Side, pose?: PoseBody | null, axle?: unknown}} step
 * @returns {Route | null}
 */
export function afterInSeries(name, { what, side, pose, axle }) {
  const [test, then] = name.split("-then-");
  const all = series(test, pose ?? {});
  const here = all.findIndex(
    (s) =>
      s.what === what &&
      s.side === side &&
      (s.axle ?? null) === (axle ?? null) &&
      Boolean(s.pose?.hanging) === Boolean(pose?.hanging),
  );
  if (here >= 0 && here < all.length - 1) return readRoute({ ...all[here + 1], series: name });
  if (then === "plan") return PLAN;
  return then ? { words: ["pose", "board", then], query: { then: "plan" } } : null;
}

/** Facts that are advised as a test but typed as an answer: the first question, and the one after it. */
/** @type {{ [test: string]: string[] }} */
const ASKS = {
  "arm-length": ["car.arm_mm"],
  "adjuster-lever": ["car.adjuster.lever_mm", "car.adjuster.pitch_mm"],
  "notch-angle": ["car.adjuster.step_deg"],
  "turns-left": ["car.adjuster.raise_turns.left", "car.adjuster.raise_turns.right"],
  "bar-size": ["car.bar.diameter_mm", "car.bar.length_mm"],
  "bump-gap": ["car.limits.bump_mm"],
  "tooth-count": ["car.bar.inner_teeth", "car.bar.outer_teeth"],
};

/**
 * How often the car was settled anew so far after a teardown, on hand-over day.
 * @param {Sheet} sheet
 * @param {number} [teardown]
 */
export const settledSoFar = (sheet, teardown = sheet.teardowns) =>
  Math.max(
    0,
    ...sheet.readings
      .filter((row) => (row.teardown ?? 0) === teardown && (row.after_km ?? null) === null)
      .map((row) => row.resettled ?? 0),
  );

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
  "arm-difference": "arm-difference",
  "rubber-gap": "bump-gap",
  "bolt-length": "bolt-length",
  "damper-length": "damper-length",
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
  if (what === "centre-jack") return { words: ["pose", "centre", "both"], query: {} };
  if (what === "ballast-test") return { words: ["pose", "ballast", "both"], query: {} };
  const name = what === "corner-weights" ? CORNERS + otherAxle(sheet.car) : SERIES[what];
  const first = series(name)[0];
  return readRoute({
    ...first,
    side: side === "right" && !["hang-test", "scales", "corner-weights"].includes(what) ? "right" : first.side,
    series: name,
  });
}
