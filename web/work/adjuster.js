/* What sets a car's height besides its splines, in words: a screw, an eccentric, a notch; turns as a mechanic counts
   them. Which axle the bars spring. Reads a car; decides and words, draws nothing.

   Raising is positive everywhere. A twelfth of a turn is the smallest that is said: two flats of a hexagon are four of
   them. */

import { FACTS, POSITIONS } from "../model/facts.js";
import { turns as turned } from "./numbers.js";

/** @import { Side } from "../types/sheet.d.ts" */

/** @typedef {"screw" | "eccentric" | "notch"} Adjusts Kinds of adjuster. */
/**
 * @typedef {object} Adjuster A car's, with what is taken until it is said.
 * @property {Adjusts} kind
 * @property {"inner" | "outer"} end of the bar that it acts at
 * @property {boolean} across whether a wheel's own sits at the other side of the car
 * @property {boolean} shared whether there is one for both wheels
 */

export { POSITIONS };
/** Twelfths of a turn: the smallest that is said of a screw. */
const PARTS = POSITIONS.screw;
const FRACTIONS = ["", "1/12", "1/6", "1/4", "1/3", "5/12", "1/2", "7/12", "2/3", "3/4", "5/6", "11/12"];
const DEGREES = 360;
const STILL = "no change";
/** The furthest that an adjuster can be said to be turned, raising positive. */
export const { low: LEAST, high: MOST } = FACTS["log.left.turns"];
/** What it is called where it stands in a sentence, and at the head of a row. */
const NAMES = { screw: "Adjusting screw", eccentric: "Eccentric", notch: "Notches" };
/** @type {readonly Side[]} */
const SIDES = ["left", "right"];

/**
 * The adjuster of a car, or null where it has none.
 * @param {any} car as the sheet has it
 * @returns {Adjuster | null}
 */
export function adjusterOf(car) {
  const { kind = "none", end, across = false, shared = false } = car?.adjuster ?? {};
  if (!kind || kind === "none") return null;
  return { kind, end: end ?? (kind === "eccentric" ? "outer" : "inner"), across: !!across, shared: !!shared };
}

/**
 * The axle that the bars spring.
 * @param {any} car
 * @returns {"rear" | "front"}
 */
export const sprungOf = (car) => (car?.sprung === "front" ? "front" : "rear");

/** Whether the arms go across the car, as wishbones do. @param {any} car */
export const armsAcross = (car) => car?.axle === "wishbone";

/**
 * How a corner of its axle is drawn: arms across the car from the front, others from beside that wheel.
 * @typedef {"rear" | "front" | "across"} Seen
 */

/** @param {any} car @returns {Seen} */
export const seenOf = (car) => (armsAcross(car) ? "across" : sprungOf(car));

/** "Adjusting screw". @param {Adjusts} kind */
export const adjusterName = (kind) => NAMES[kind];

/**
 * Turns without a sign, as a mixed fraction to a twelfth: "2 1/4", "5/12", "0".
 * @param {number} turns
 */
export function mixed(turns) {
  const all = Math.round(Math.abs(turns) * PARTS);
  const [whole, part] = [Math.floor(all / PARTS), all % PARTS];
  return [whole || "", FRACTIONS[part]].filter((each) => each !== "").join(" ") || "0";
}

/**
 * How much is turned, without a way: "2 1/4 turns", "1/2 turn", "60°", "3 notches".
 * @param {number} turns
 * @param {Adjusts} [kind]
 */
export function turnedBy(turns, kind = "screw") {
  const text = mixed(turns);
  if (kind === "notch") return `${text} ${text === "1" ? "notch" : "notches"}`;
  if (kind === "eccentric")
    return `${(Math.round(Math.abs(turns) * POSITIONS.eccentric) * DEGREES) / POSITIONS.eccentric}°`;
  return `${text} ${Math.round(Math.abs(turns) * PARTS) <= PARTS && text !== "0" ? "turn" : "turns"}`;
}

/**
 * "raise 2 1/4 turns", "lower 60°", "no change".
 * @param {number} turns
 * @param {Adjusts} [kind]
 */
export const turnWords = (turns, kind = "screw") =>
  Math.abs(turns) < 1 / (2 * POSITIONS.eccentric) ? STILL : `${turns > 0 ? "raise" : "lower"} ${turnedBy(turns, kind)}`;

/**
 * What one side is turned by, teeth and turns: "inner 3 teeth arm up, raise 1/2 turn"; degrees where teeth are turned
 * and not counted; "no change".
 * @param {import("./sheet.js").Turned | null | undefined} side
 * @param {{ kind?: Adjusts, alone?: boolean, still?: string }} [about] `alone`: no tooth is turned
 */
export function sideWords(side, { kind, alone = false, still = STILL } = {}) {
  const turns = side?.turns ?? 0;
  const teeth = turned(alone ? { ...side, turn_deg: 0 } : (side ?? {}), "");
  return [teeth, turns ? turnWords(turns, kind) : ""].filter(Boolean).join(", ") || still;
}

/**
 * Whether an option, a plan or a move turns an adjuster.
 * @param {any} plan
 */
export const adjusts = (plan) => SIDES.some((side) => Boolean(plan?.[side]?.turns));

/** @param {unknown} value */
const given = (value) => value !== null && value !== undefined;

/**
 * Whether it turns adjusters and no splined end: an adjustment, and no teardown. An option says how many ends it
 * disturbs; a plan that was kept says its teeth, or a turn in degrees where teeth are to be turned and not counted.
 * @param {any} plan
 */
export function adjustsAlone(plan) {
  if (!adjusts(plan) || SIDES.some((side) => plan[side]?.inner || plan[side]?.outer)) return false;
  if (given(plan.ends_disturbed)) return plan.ends_disturbed === 0;
  return !SIDES.some((side) => !given(plan[side]?.inner) && plan[side]?.turn_deg);
}

/**
 * Whether an option turns nothing at all.
 * @param {any} option
 */
export const turnsNothing = (option) => option.ends_disturbed === 0 && !adjusts(option);

/**
 * "adjustment" or "teardown": what a plan, an option or a move is called.
 * @param {any} what null where nothing is known of it yet
 * @returns {"adjustment" | "teardown"}
 */
export const workName = (what) => (what && adjustsAlone(what) ? "adjustment" : "teardown");

/**
 * What is turned first of so many turns: two thirds of a screw that this job has not turned yet, to a quarter where
 * there are so many; all of anything else. Common practice, no source.
 * @param {number} turns
 * @param {{ kind: Adjusts, first: boolean }} about `first`: no screw was turned in this job
 */
export function firstPart(turns, { kind, first }) {
  if (!first || kind !== "screw" || Math.abs(turns) < 1) return turns;
  return (Math.sign(turns) * Math.round((Math.abs(turns) * 2 * 4) / 3)) / 4;
}
