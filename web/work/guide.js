/* What to ask next. The order of the first plan, of a round of checks after a teardown, and of each test that may be
   advised. Works on a sheet and route words; draws nothing. */

import { at, readingsOf } from "./sheet.js";
import { CAR, TARGET } from "./questions.js";
import { formOf, markOf } from "./wish.js";

const NEEDED = [...CAR, ...TARGET].filter((question) => question.needed);
/** Questions of a target in heights; the other forms say it all where they are written. */
const HEIGHTS = TARGET.filter((question) => question.needed);
const BOTH = ["left", "right"];
const pairs = (what) => BOTH.map((side) => ({ what, side }));

/** Readings of a round, in the order of the work: before a teardown on the wheels first, after it the free arm first. */
const round = (teardowns) =>
  teardowns === 0
    ? [...pairs("body-height"), ...pairs("riding-angle"), ...pairs("hanging-angle")]
    : [...pairs("hanging-angle"), ...pairs("body-height"), ...pairs("riding-angle")];

const OPTIONAL = (step, teardowns) => step.what === "riding-angle" || (teardowns > 0 && step.what === "hanging-angle");

/** Route words of a reading step. */
export function readRoute({ what, side, pose = {}, series, entry, teardown, resettled }) {
  const query = {};
  if (pose.hanging) query.hanging = 1;
  for (const s of BOTH) {
    if (pose[`board_${s}_mm`]) query[`board-${s}`] = pose[`board_${s}_mm`];
    if (pose[`ballast_${s}_kg`]) query[`ballast-${s}`] = pose[`ballast_${s}_kg`];
  }
  if (series) query.series = series;
  if (entry) query.entry = entry;
  if (teardown !== undefined) query.after = teardown;
  if (resettled && !entry) query.resettled = resettled;
  return { words: ["read", what, side], query };
}

/** The pose in a route's query, or undefined when the car just stands on its wheels. */
export function poseOf(query) {
  const pose = {};
  if (query.hanging) pose.hanging = true;
  for (const side of BOTH) {
    if (query[`board-${side}`]) pose[`board_${side}_mm`] = Number(query[`board-${side}`]);
    if (query[`ballast-${side}`]) pose[`ballast_${side}_kg`] = Number(query[`ballast-${side}`]);
  }
  return Object.keys(pose).length ? pose : undefined;
}

/** A question as a step. */
const asked = (sheet, question) => ({
  words: ["ask", question.key],
  query: {},
  done: at(sheet, question.path) !== undefined,
  title: question.title,
});

/** Every step of the main way through a job, as routes with `done` and `optional`. */
export function steps(sheet) {
  const inHeights = formOf(sheet.target) === "heights";
  const asks = NEEDED.filter((question) => inHeights || !HEIGHTS.includes(question)).map((question) =>
    asked(sheet, question),
  );
  const reads = round(sheet.teardowns).map((step) => ({
    ...readRoute(step),
    done: readingsOf(sheet, { ...step, pose: {}, teardown: sheet.teardowns }).length > 0
      || (step.what === "hanging-angle" && readingsOf(sheet, { ...step, teardown: sheet.teardowns }).length > 0),
    optional: OPTIONAL(step, sheet.teardowns),
    step,
  })); // prettier-ignore
  return [...asks, ...reads];
}

/** What no plan can be made without, by the form of the target: its heights, and one reading of its mark a side. */
export function needs(sheet) {
  const form = formOf(sheet.target);
  const asks = form === "heights" ? HEIGHTS.map((question) => asked(sheet, question)).filter((step) => !step.done) : [];
  const reads = ["heights", "level"].includes(form)
    ? pairs(markOf(sheet.target)).filter((step) => readingsOf(sheet, step).length === 0).map((step) => ({ ...readRoute(step), step }))
    : []; // prettier-ignore
  return [...asks, ...reads];
}

/** What the first plan asks for: a plan can be had with less (`needs`), but not a sure one. */
export function missing(sheet) {
  const asks = steps(sheet).filter((step) => step.words[0] === "ask" && !step.done);
  const reads = ["hanging-angle", "body-height"].flatMap(pairs)
    .filter((step) => readingsOf(sheet, step).length === 0)
    .map((step) => ({ ...readRoute(step), step })); // prettier-ignore
  return [...asks, ...reads];
}

const PLAN = { words: ["plan"], query: {} };

/** Where to go after a step of the main way: the next one not done, then what was left out but is needed, then the plan. */
export function after(sheet, words) {
  const all = steps(sheet);
  const here = all.findIndex((step) => step.words.join() === words.join());
  return all.slice(here + 1).find((step) => !step.done) ?? missing(sheet)[0] ?? PLAN;
}

/** The tests of the trade, each a list of reading steps taken in one or two poses; "settling.2": the car settled a second time. */
export function series(name, pose = {}) {
  const [test, resettled] = name.split(".");
  const inPose = (list, stance = pose) => list.map((step) => ({ ...step, pose: stance }));
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

/** Where to go after a step of a test: its next step, what was to come after it, or null at its end. */
export function afterInSeries(name, { what, side, pose = {} }) {
  const [test, then] = name.split("-then-");
  const all = series(test, pose);
  const here = all.findIndex(
    (s) => s.what === what && s.side === side && Boolean(s.pose?.hanging) === Boolean(pose.hanging),
  );
  if (here >= 0 && here < all.length - 1) return readRoute({ ...all[here + 1], series: name });
  if (then === "plan") return PLAN;
  return then ? { words: ["pose", "board", then], query: { then: "plan" } } : null;
}

/** Facts that are advised as a test but typed as an answer: the first question, and the one after it. */
const ASKS = {
  "arm-length": ["car.arm_mm"],
  "bar-size": ["car.bar.diameter_mm", "car.bar.length_mm"],
  "bump-gap": ["car.limits.bump_mm"],
  "tooth-count": ["car.bar.inner_teeth", "car.bar.outer_teeth"],
};

/** How often the car was settled anew so far in this teardown's pose on its wheels. */
const settledSoFar = (sheet) =>
  Math.max(0, ...sheet.readings.filter((r) => (r.teardown ?? 0) === sheet.teardowns).map((r) => r.resettled ?? 0));

/** Where an advised test starts. */
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
      : { words: ["pose", "board", side], query: { then: "plan" } };
  }
  if (what === "ballast-test") return { words: ["pose", "ballast", "both"], query: {} };
  const name = {
    "hang-test": "hang",
    scales: "scales",
    "body-height": "heights",
    "riding-angle": "riding",
    "hanging-angle": "hanging",
  }[what];
  const first = series(name)[0];
  return readRoute({
    ...first,
    side: side === "right" && !["hang-test", "scales"].includes(what) ? "right" : first.side,
    series: name,
  });
}
