/* What comes next on the phone: the questions of the closed car in the order of the work, where to go after each,
   where a job opens, and what a question would bring. Decides only; draws, reads and writes nothing.

   Nobody is asked what cannot be known before the bar is out. Whoever says "not now" is not asked again on the
   way: that is kept in the log as a step, and the plan offers the question by its worth. Order: common practice of
   the trade, no source. */

import { adjusterOf } from "./adjuster.js";
import { at, lastOfDay, readingsOf, stands } from "./sheet.js";
import { afterInSeries, poseOf, readRoute, startOf } from "./guide.js";
import { SIDES } from "./readings.js";
import { underWay, walkThere } from "./teardown-steps.js";
import { asksCross, wheelsOf } from "./weighing.js";
import { formOf, markOf } from "./wish.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { Folded, Sheet, Side, Stage, What } from "../types/sheet.d.ts" */
/** @import { Advice, PoseBody, SolveAnswer, SolveRequest } from "../types/wire.d.ts" */
/** @import { Route } from "./guide.js" */

/** @typedef {Pick<Sheet, "car" | "moves" | "readings" | "steps" | "target" | "teardowns">} Told What it rests on. */
/** @typedef {Route & { key: string, side: Side | null, done: boolean, later: boolean }} Question Of the closed car. */
/** @typedef {"body" | "datum" | "gravity"} Zero How the gauge is used. */

/** @type {Route} */
const PLAN = { words: ["plan"], query: {} };
/** @type {Route} */
const TARGET = { words: ["target"], query: {} };
const LATER = "not-now/";
const ZERO = "gauge-zero/";
/** What says how far a turn of a screw goes. */
const TURN_FACTS = ["car.adjuster.lever_mm", "car.adjuster.pitch_mm"];
/** Facts that a closed car is asked on the way to its first plan; passed over, they come back by their worth. */
export const ON_THE_WAY = ["car.arm_mm", ...TURN_FACTS];
/** A gain below this hardly changes the chance. */
export const HARDLY = 0.02;

/** @param {Pick<Sheet, "steps">} sheet */
const ticks = (sheet) => (sheet.steps ?? []).filter((row) => row.done !== false);

/**
 * Whether a question was put off in this teardown.
 * @param {Pick<Sheet, "steps" | "teardowns">} sheet
 * @param {string} key
 * @param {Side | null} [side]
 */
export const putOff = (sheet, key, side = null) =>
  ticks(sheet).some(
    (row) => row.step === LATER + key && (row.side ?? null) === side && (row.teardown ?? 0) === sheet.teardowns,
  );

/**
 * The log's item for "not now".
 * @param {Pick<Sheet, "teardowns">} sheet
 * @param {string} key
 * @param {Side | null} [side]
 * @returns {Item}
 */
export const laterItem = (sheet, key, side = null) => [
  "step",
  { step: LATER + key, done: true, teardown: sheet.teardowns, ...(side ? { side } : {}) },
];

/**
 * The log's item for how the gauge is used from now on.
 * @param {string} how
 * @returns {Item}
 */
export const zeroItem = (how) => ["step", { step: ZERO + how, done: true }];

/**
 * How the gauge is used on this job: as was last said, else as the last angle was read; null where neither is known.
 * @param {Pick<Sheet, "readings" | "steps">} sheet
 * @returns {Zero | null}
 */
export function zeroOf(sheet) {
  const said = ticks(sheet).findLast((row) => row.step.startsWith(ZERO));
  if (said) return /** @type {Zero} */ (said.step.slice(ZERO.length));
  const last = sheet.readings.findLast((row) => row.what === "riding-angle" || row.what === "hanging-angle");
  if (!last) return null;
  return last.datum !== undefined && last.datum !== null ? "datum" : (last.reference ?? "body");
}

/**
 * A question of the closed car.
 * @param {Told} sheet
 * @param {string} key
 * @param {Side | null} side
 * @param {{ words: string[], query?: Route["query"] }} route
 * @param {boolean} done
 * @returns {Question}
 */
function question(sheet, key, side, route, done) {
  return { key, side, query: {}, ...route, done, later: !done && putOff(sheet, key, side) };
}

/**
 * @param {Told} sheet
 * @param {What} what
 * @returns {(side: Side) => Question}
 */
const readingQuestion = (sheet, what) => (side) =>
  question(
    sheet,
    what,
    side,
    readRoute({ what, side }),
    readingsOf(sheet, { what, side, pose: {}, teardown: 0 }).length > 0,
  );

/**
 * The loads of all four wheels, which a cross-weight is told by.
 * @param {Told} sheet
 */
const weighing = (sheet) =>
  wheelsOf(sheet.car).map((wheel) => {
    const { side, axle } = wheel;
    const key = axle ? `wheel-load-${axle}` : "wheel-load";
    return question(
      sheet,
      key,
      side,
      readRoute(wheel),
      readingsOf(sheet, { ...wheel, pose: {}, teardown: 0 }).length > 0,
    );
  });

/**
 * Whether a board stood under a side's tyre for a height.
 * @param {Told} sheet
 * @param {Side} side
 */
const boarded = (sheet, side) =>
  sheet.readings.some((row) => row.what === "body-height" && (row.pose?.[`board_${side}_mm`] ?? 0) > 0);

/**
 * The questions of the first plan that need no spanner, in the order of the work.
 * @param {Told} sheet the folded sheet of a job
 * @returns {Question[]}
 */
export function closedCar(sheet) {
  const board = (/** @type {Side} */ side) =>
    question(sheet, "board-test", side, { words: ["pose", "board", side] }, boarded(sheet, side));
  const fact = (/** @type {string} */ key) =>
    question(sheet, key, null, { words: ["ask", key] }, at(sheet, key.split(".")) !== undefined);
  const loads = asksCross(sheet) ? weighing(sheet) : [];
  const heights = [...SIDES.map(readingQuestion(sheet, markOf(sheet.target))), ...loads];
  // A screw is put right in minutes: lever and pitch say what a turn does, the rest is offered by its worth.
  const adjuster = adjusterOf(sheet.car);
  if (adjuster?.shared || adjuster?.kind === "notch") return heights;
  if (adjuster?.kind === "screw") return [...heights, ...TURN_FACTS.map(fact)];
  return [
    ...heights,
    fact("car.arm_mm"),
    question(sheet, "gauge-zero", null, { words: ["zero"] }, zeroOf(sheet) !== null),
    ...SIDES.map(readingQuestion(sheet, "riding-angle")),
    ...SIDES.map(board),
  ];
}

/** @param {Pick<Sheet, "target">} sheet */
const hasTarget = (sheet) => Object.keys(sheet.target ?? {}).length > 0;
/**
 * @param {Route} one
 * @param {string[]} words
 * @param {Route["query"]} query
 */
const sameRoute = (one, words, query) =>
  one.words.join() === words.join() &&
  one.query.axle === query.axle &&
  !query.hanging &&
  !query.centred &&
  !query["board-left"] &&
  !query["board-right"];

/**
 * The questions still to be asked on the way to the first plan; none once teeth were turned.
 * @param {Told} sheet
 */
export const open = (sheet) => (sheet.teardowns ? [] : closedCar(sheet).filter((each) => !each.done && !each.later));

/**
 * The route after a screen: back where it was called from, on in its test, the next question not answered nor put
 * off, or the plan.
 * @param {Told} sheet
 * @param {string[]} words route words of the screen that is left
 * @param {Route["query"]} query its query
 * @returns {Route}
 */
export function onward(sheet, words, query = {}) {
  if (query.from) return { words: String(query.from).split("/"), query: {} };
  if (query.series && words[0] === "read") {
    const [, what, side] = /** @type {[string, What, Side]} */ (words);
    const on = afterInSeries(String(query.series), { what, side, pose: poseOf(query), axle: query.axle });
    if (on) return on;
  }
  if (!hasTarget(sheet)) return TARGET;
  if (sheet.teardowns) return { words: ["ground", String(sheet.teardowns)], query: {} };
  const ask = (/** @type {Question} */ each) => !each.done && !each.later;
  const all = closedCar(sheet);
  // A board test of the way to the first plan goes on with the other tyre; any other test was read for the plan.
  if (query.series && words[0] === "read") {
    const boards = query.series === "board" ? all.filter((each) => each.key === "board-test") : [];
    return boards.find(ask) ?? PLAN;
  }
  const here = all.findIndex((each) => sameRoute(each, words, query));
  return all.slice(here + 1).find(ask) ?? all.find(ask) ?? PLAN;
}

/**
 * Whether the car was read after its last teardown so that it can be judged.
 * @param {Stage[]} stages
 * @param {number} teardowns
 */
export const judged = (stages, teardowns) => {
  const last = lastOfDay(stages ?? []);
  return Boolean(last && last.teardown === teardowns && (last.hit ?? null) !== null);
};

/**
 * Where a job opens: on the very step of a teardown under way, on the heights after one, else on what comes next.
 * @param {Pick<Folded, "sheet"> & { walk?: import("./teardown-steps.js").Walk | null }} found
 * @returns {Route}
 */
export function whereNow({ sheet, walk = walkThere(sheet) }) {
  if (sheet.closed) return { words: ["close"], query: {} };
  if (walk) return { words: ["axle", "propped", String(walk.number)], query: {} };
  const number = underWay(sheet);
  if (number) return { words: ["propped", String(number)], query: {} };
  if (sheet.teardowns) return { words: ["ground", String(sheet.teardowns)], query: {} };
  if (!hasTarget(sheet)) return TARGET;
  return open(sheet)[0] ?? PLAN;
}

/**
 * Whether the car as it stands is on target, by its last readings: true, false, or null where it cannot be told.
 * Where both axles are to be set, both are.
 * @param {Stage[]} stages
 * @param {Pick<Sheet, "other" | "target">} [sheet]
 */
export function onTarget(stages, sheet) {
  const own = lastOfDay(stages ?? [])?.hit ?? null;
  return own && /** @type {any} */ (sheet?.target)?.other ? (sheet?.other.hit ?? null) : own;
}

/** @type {{ [key: string]: string }} */
const FIELD_TESTS = {
  "car.arm_mm": "arm-length",
  "gauge-zero": "riding-angle",
  "car.adjuster.lever_mm": "adjuster-lever",
  "car.adjuster.pitch_mm": "adjuster-lever",
  "car.bar.diameter_mm": "bar-size",
  "car.bar.length_mm": "bar-size",
  "car.bar.inner_teeth": "tooth-count",
  "car.bar.outer_teeth": "tooth-count",
  "car.limits.bump_mm": "bump-gap",
};

/**
 * What a question would bring, as the answer says it.
 * @param {SolveAnswer | null} answer
 * @param {{key: string, side?: Advice["side"] | null}} asked a question's key (a kind of reading, a test, a field) and
 *   side
 * @returns {{from: number, to: number, minutes: number} | null} chances 0 to 1, or null where it is not known
 */
export function worthOf(answer, { key, side = null }) {
  const what = FIELD_TESTS[key] ?? key;
  const from = answer?.options?.[0]?.odds;
  if (!answer || typeof from !== "number") return null;
  const fits = (answer.measure_next ?? []).filter((each) => each.what === what);
  const best = fits.find((each) => each.side === side) ?? fits.find((each) => each.side === "both" || !side) ?? fits[0];
  return best ? { from, to: Math.max(from, best.odds_after), minutes: best.minutes } : null;
}

/** A height as good as any, for a chance that hardly depends on it, mm. */
const ANY_HEIGHT = 230;

/**
 * The request with heights presumed for those still to be read: what a plan with them would promise, before they are
 * read. Only where the target is a change from them; of a height to be reached nothing can be said. Common practice,
 * no source: the side not read is taken to stand as the other does.
 * @param {Pick<Sheet, "readings" | "target">} sheet
 * @param {SolveRequest} request of the sheet
 * @returns {SolveRequest | null}
 */
export function presumed(sheet, request) {
  if (formOf(sheet.target) !== "level") return null;
  const what = markOf(sheet.target);
  const read = (/** @type {Side} */ side) =>
    readingsOf(sheet, { what, side }).findLast(({ pose }) => stands(pose))?.value;
  const lacking = SIDES.filter((side) => read(side) === undefined);
  const value = SIDES.map(read).find((each) => each !== undefined) ?? ANY_HEIGHT;
  const log = lacking.map((side) => ({ kind: /** @type {const} */ ("reading"), what, side, value, teardown: 0 }));
  return { ...request, log: [...(request.log ?? []), ...log] };
}

/**
 * The reading to offer first, where one gains enough for its minutes to go before a teardown.
 * @param {SolveAnswer | null} answer
 * @param {{gain?: number, minutes?: number}} [bound] chance gained at least, minutes at most
 */
export function readFirst(answer, { gain = 0.08, minutes = 10 } = {}) {
  const from = answer?.options?.[0]?.odds ?? 0;
  const short = (answer?.measure_next ?? []).filter((each) => each.minutes <= minutes);
  const best = short.sort((a, b) => b.odds_after - a.odds_after)[0];
  return best && best.odds_after - from >= gain ? best : null;
}

/**
 * The route of an advised test.
 * @param {Pick<Advice, "what" | "side">} test
 * @param {Sheet} sheet
 */
export const routeOf = (test, sheet) => startOf(test, sheet);

/**
 * @typedef {"read" | "plan" | "left" | "right" | "check" | "done"} StageName
 */
/** @type {StageName[]} */
const STAGES = ["read", "plan", "left", "right", "check", "done"];

/**
 * The six stages of a job, for its card: name and whether it is done, in hand or open.
 * @param {Pick<Folded, "sheet" | "stages">} found
 * @returns {{ name: StageName, state: "done" | "now" | "open" }[]}
 */
export function stagesOf({ sheet, stages }) {
  const number = walkThere(sheet)?.number ?? underWay(sheet);
  const plan = sheet.plans?.length > 0 || sheet.teardowns > 0 || number !== null;
  const moves = [...(sheet.moves ?? []), ...(sheet.other?.moves ?? [])];
  const hit = sheet.teardowns ? onTarget(stages, sheet) === true && !number : false;
  const after = sheet.teardowns > 0 && !number;
  const sideDone = (/** @type {Side} */ side) =>
    after || Boolean(number && moves.find((m) => m.teardown === number)?.[side]);
  /** @type {Record<StageName, boolean>} */
  const done = {
    read: plan || (hasTarget(sheet) && open(sheet).length === 0),
    plan,
    left: sideDone("left"),
    right: sideDone("right"),
    check: hit || Boolean(sheet.closed),
    done: Boolean(sheet.closed),
  };
  const now = STAGES.find((name) => !done[name]);
  return STAGES.map((name) => ({
    name,
    state: done[name] ? "done" : name === now ? "now" : "open",
  }));
}
