/* What a plan's deck offers, and why: start, read first, lift what forbids it, put a doubt right, go on with a
   teardown, check the car. Decides only. */

import { turnsNothing } from "./adjuster.js";
import { HARDLY, judged, readFirst, routeOf } from "./flow.js";
import { holdingBack } from "./card-conflicts.js";
import { planFor } from "./promise.js";
import { unreadSide } from "./sheet.js";
import { hasBegun } from "./teardown-steps.js";
import { formOf } from "./wish.js";

/** @import { Sheet, Side, Stage } from "../types/sheet.d.ts" */
/** @import { Advice, Obstacle, Option, SolveAnswer, TargetBody } from "../types/wire.d.ts" */

/** @typedef {{words: string[], query?: Record<string, any>}} Route */
/** How a plan stands, and the keys it offers:
 * - "under-way": a teardown is being worked on
 * - "disputed": one could begin, but what it goes by was entered in two ways: somebody has to choose first
 * - "doubt": it is withheld until a reading is looked at
 * - "forbidden": a limit that somebody knows, or the reach of the arms, stops it
 * - "stay": nothing is to be turned
 * - "unread": the car was not read since it came down
 * - "read": a reading gains so much that it goes first
 * - "start"
 * - "there": the other axle comes next
 * @typedef {"there" | "under-way" | "disputed" | "doubt" | "forbidden" | "stay" | "unread" | "read" | "start"} Kind */
/** @typedef {{kind: Kind, number: number, reading: Advice | null, from: number, obstacle: Obstacle | null,
 *   lower: number, next: Route | null, hand: boolean, begins?: boolean, key?: {words?: string, small: string}}} Stand
 * `number` of the teardown under way or the last one; `reading` the one that is offered, `from` the chance without it;
 * `lower` by how much the target has to go down (up where negative) to lift the obstacle, mm; `next` where "stay" and
 * "unread" lead; `hand` whether that is the hand-over; `key` of "there", which `begins` a teardown there; without one
 * that teardown is under way */

/** @typedef {typeof import("./both-deck.js").nextThere} There */

/** Limits that another height lifts, and which way; the other ones are the bar's. */
const LIFTED = { droop: 1, bump: -1 };

/** What goes wrong first by the most, of the limits that forbid; the answer's headline tells of the same.
 * @param {Option} option @returns {Obstacle | null} */
function worst(option) {
  const given = (option.obstacles ?? []).filter((/** @type {Obstacle} */ each) => each.given);
  return given.reduce(
    (/** @type {Obstacle | null} */ most, /** @type {Obstacle} */ each) =>
      !most || (each.by_mm ?? 0) > (most.by_mm ?? 0) ? each : most,
    null,
  );
}

/** How far the target moves so that the limit holds, in whole millimetres as the headline has it: down positive; 0
 * where no height lifts it or nobody can say how far.
 * @param {Obstacle | null} obstacle @returns {number} */
export function lowering(obstacle) {
  const way = obstacle ? LIFTED[/** @type {"droop" | "bump"} */ (obstacle.what)] : 0;
  if (!way || !obstacle?.by_mm) return 0;
  return way * Math.ceil(obstacle.by_mm);
}

/**
 * The body of a target entry so much lower, both sides; null where its form has no height to move.
 * @param {Partial<TargetBody>} target as kept on the sheet
 * @param {number} by mm
 */
export function lowered(target, by) {
  const moved = (/** @type {number | null | undefined} */ value) => Number(((value ?? 0) - by).toFixed(2));
  const form = formOf(target);
  if (form === "level") return { ...target, rise_mm: moved(target.rise_mm) };
  const what = { heights: "mm", rise: "rise_mm" }[/** @type {"heights" | "rise"} */ (form)];
  if (!what) return null;
  const name = (/** @type {Side} */ side) => /** @type {"left_mm" | "left_rise_mm"} */ (`${side}_${what}`);
  const [left, right] = [name("left"), name("right")];
  return { ...target, [left]: moved(target[left]), [right]: moved(target[right]) };
}

/** The option that a headline of "forbidden" or "out-of-reach" speaks of: the one it shows, or one that is stopped.
 * @param {SolveAnswer} answer @param {Option} option */
function stoppedOption(answer, option) {
  if (option.stopped_by.length) return option;
  const told = answer.options[0] === option && answer.headline.code === "forbidden";
  return told ? (answer.options.find((each) => each.stopped_by.length) ?? null) : null;
}

/**
 * How a plan stands.
 * @param {{answer: SolveAnswer, option: Option, sheet: Sheet, stages: Stage[], working: number | null,
 *   there?: There | null, walk?: Pick<Stand, "kind" | "next" | "number"> | null}} about `working` the number of the
 *   teardown under way; `there` whether the other axle is next, `walk` its teardown under way
 * @returns {Stand}
 */
export function standOf({ answer, option, sheet, stages, working, there = null, walk = null }) {
  const disputed = holdingBack(sheet).length > 0;
  const plan = (disputed || walk) && working ? planFor(sheet, working) : null;
  const begun = working && !(plan && !hasBegun(sheet, plan));
  const stand = standing({ answer, option, sheet, stages, working: begun ? working : null, there, walk });
  return disputed && (["start", "read"].includes(stand.kind) || stand.begins) ? { ...stand, kind: "disputed" } : stand;
}

/** Where the car is checked since it came down last; null where it was, or nothing was turned yet.
 * @param {Sheet} sheet @param {Stage[]} stages @returns {Route | null} */
function uncheckedAt(sheet, stages) {
  const last = sheet.teardowns;
  if (!last) return null;
  if (sheet.other?.moves.some(({ teardown }) => teardown === last))
    return unreadSide(sheet.other.readings, last) ? { words: ["axle"] } : null;
  return judged(stages, last) ? null : { words: ["ground", String(last)] };
}

/**
 * The same, whatever is in dispute.
 * @param {{answer: SolveAnswer, option: Option, sheet: Sheet, stages: Stage[], working: number | null,
 *   there: There | null, walk: Pick<Stand, "kind" | "next" | "number"> | null}} about
 * @returns {Stand}
 */
function standing({ answer, option, sheet, stages, working, there, walk }) {
  const last = sheet.teardowns;
  /** @type {Stand} */
  const stand = {
    kind: "start",
    number: last + 1,
    reading: null,
    from: answer.options[0].odds,
    obstacle: null,
    lower: 0,
    next: null,
    hand: false,
  };
  if (working) return { ...stand, kind: "under-way", number: working };
  if (walk) return { ...stand, ...walk };
  const best = answer.options[0] === option;
  if (answer.withheld || (best && answer.both?.withheld)) return { ...stand, kind: "doubt" };
  const check = uncheckedAt(sheet, stages);
  if (check) return { ...stand, kind: "unread", number: last, next: check };
  const other = there?.(answer, option, last);
  if (other) return { ...stand, ...other };
  const stopped = stoppedOption(answer, option);
  if (stopped) {
    const obstacle = worst(stopped);
    return { ...stand, kind: "forbidden", obstacle, lower: lowering(obstacle) };
  }
  if (turnsNothing(option)) return { ...stand, ...staying(answer, best) };
  const first = best ? readFirst(answer) : null;
  return first ? { ...stand, kind: "read", reading: first } : { ...stand, reading: best ? bestReading(answer) : null };
}

/** Where nothing is turned: better was not found, and the target is looked at first, or it is as wished at every axle
 * that is planned. Whoever chose to leave it hands it over.
 * @param {SolveAnswer} answer @param {boolean} best whether it is the best way
 * @returns {{kind: Kind, hand: boolean, next: Route}} */
function staying({ headline, both }, best) {
  const [lost, there] = [headline, both?.headline].map((each) => best && each && each.code !== "as-wished");
  const words = lost ? ["target"] : there ? ["axle", "target"] : ["close"];
  return { kind: "stay", hand: !lost && !there, next: { words } };
}

/** The reading that would bring most, however long it takes; null where none would bring anything.
 * @param {SolveAnswer} answer */
export function bestReading(answer) {
  const all = [...(answer.measure_next ?? [])].sort((one, other) => other.odds_after - one.odds_after);
  return all[0] && all[0].odds_after - answer.options[0].odds >= HARDLY ? all[0] : null;
}

/** The route of a reading that is offered. @param {Advice} test @param {Sheet} sheet @returns {Route} */
export const readingRoute = (test, sheet) => routeOf(test, sheet);
