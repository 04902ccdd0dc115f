/* What a plan of both axles says and offers besides that of one: its headline, whether the other axle comes next, what
   is promised of the first axle before the second is set. Fetched where a job asks for both. Decides only. */

import { turnsNothing, workName } from "./adjuster.js";
import { inDegrees } from "./sheet.js";
import { titled } from "./sentence.js";
import { markOf } from "./wish.js";

/** @import { Option, SolveAnswer } from "../types/wire.d.ts" */
/** @import { Stand } from "./plan-deck.js" */

/** @typedef {NonNullable<SolveAnswer["both"]>} Both */

const SAID = {
  order: (/** @type {string} */ first, /** @type {string} */ then) => `${titled(first)} axle first, then the ${then}.`,
  one: (/** @type {string} */ axle, /** @type {string} */ other) =>
    `Turn the ${axle} axle; leave the ${other} as it is.`,
  neither: "Leave both axles as they are.",
  target: (/** @type {string} */ axle) => `Change the ${axle}’s target`,
  not: "not possible as it is",
};

/**
 * The headline of both axles: which of them are turned, and in which order; each has its own below.
 * @param {Both} both
 * @param {Option} option of the job's own axle
 */
export function bothWords({ axle, first, options }, option) {
  const own = axle === "front" ? "rear" : "front";
  const turned = [turnsNothing(option) ? "" : own, turnsNothing(options[0]) ? "" : axle].filter(Boolean);
  if (turned.length > 1) return SAID.order(first, first === axle ? own : axle);
  return turned.length ? SAID.one(turned[0], turned[0] === own ? axle : own) : SAID.neither;
}

/** Whether the other axle is the one to turn next. @param {Both} both @param {Option} option of the job's own */
function comesFirst({ first, axle, options }, option) {
  if (turnsNothing(options[0])) return options[0].stopped_by.length > 0 && turnsNothing(option);
  return first === axle || turnsNothing(option);
}

/**
 * How the plan stands where the other axle comes next: where that leads, and what its key says besides starting it;
 * null where it does not.
 * @param {SolveAnswer} answer
 * @param {Option} option of the job's own axle
 * @param {number} teardowns how many were made
 * @returns {Pick<Stand, "begins" | "kind" | "next" | "key"> | null}
 */
export function nextThere({ both }, option, teardowns) {
  if (!both || !comesFirst(both, option)) return null;
  const { axle } = both;
  const [there] = both.options;
  const kind = /** @type {const} */ ("there");
  if (there.stopped_by.length)
    return { kind, key: { words: SAID.target(axle), small: SAID.not }, next: { words: ["axle", "target"] } };
  const small = `${workName(there)} ${teardowns + 1}`;
  return { kind, begins: true, key: { small }, next: steps(teardowns + 1) };
}

/** Where the steps of a teardown of the other axle are. @param {number} number */
const steps = (number) => ({ words: ["axle", "propped", String(number)] });

/**
 * How the plan stands while a teardown of the other axle is under way.
 * @param {number | null} number of that teardown
 * @returns {Pick<Stand, "kind" | "next" | "number"> | null}
 */
export const onThere = (number) => (number ? { kind: "there", number, next: steps(number) } : null);

/**
 * The way to entering what was turned at the other axle already, its figures by the plan; null for one in degrees.
 * @param {Both} both
 */
export function movedThere({ options: [{ left, right, ...rest }] }) {
  if (inDegrees({ ...rest, left, right })) return null;
  const [li, lo, ri, ro] = [left.inner, left.outer, right.inner, right.outer].map((count) => count ?? 0);
  const turns = left.turns || right.turns ? { lt: left.turns ?? 0, rt: right.turns ?? 0 } : {};
  return { words: ["axle", "move"], query: { li, lo, ri, ro, ...turns } };
}

/**
 * What a plan promises of the job's own axle until the other one is set too, which changes its heights once more.
 * @param {ReturnType<typeof import("./promise.js").promised>} body
 * @param {SolveAnswer} answer
 * @param {Option} option
 * @returns {ReturnType<typeof import("./promise.js").promised>}
 */
export function untilBoth(body, answer, option) {
  const { both } = answer;
  if (!both || answer.options[0] !== option || turnsNothing(both.options[0])) return body;
  const stands = both.meanwhile[both.axle === "front" ? "rear" : "front"];
  if (!stands || both.first === both.axle || markOf(body.target) !== "body-height") return body;
  const side = (/** @type {"left" | "right"} */ name) => ({ ...body[name], body_height_mm: stands[name] });
  return { ...body, left: side("left"), right: side("right"), lean_mm: stands.lean_mm };
}
