/* What was read after a teardown, judged against the target: on or off it, each figure for itself, in the unit
   chosen. Whether it counts is the sheet's own outcome (`hit` of a stage); this words it. Draws nothing. */

import { FACTS } from "../model/facts.js";
import { inHundred, plain } from "./numbers.js";
import { SIDES } from "./readings.js";
import { tolerant } from "./sheet.js";
import { bareSpread, brief, inches, lengthUnit } from "./units.js";
import { formOf, markOf } from "./wish.js";

/** @import { Folded, Sheet, Side, Sides, Stage } from "../types/sheet.d.ts" */

/** A figure judged; `good` null where nothing judges it.
 * @typedef {{ key: Side | "lean", name: string, figure: string, note: string, good: boolean | null }} Row */
/** @typedef {"on" | "off" | "unread" | "unjudged"} State `unjudged`: read, and the target cannot tell. */
/** @typedef {{ state: State, angles: boolean, title: string, rows: Row[], read: Sides<number | null> }} Verdict */

/** What the car is settled by before it is read. The key of each is its step in the log. */
export const SETTLE = [
  ["ready", "Tyres at pressure, usual load"],
  ["place", "Same place as before, on the chalk marks"],
  ["rolled", "Rolled two car lengths and back"],
  ["bounced", "Each corner bounced three times"],
];

const NAMES = { left: "Left", right: "Right", lean: "Lean" };
const SAID = {
  on: "On target",
  off: (/** @type {string} */ what) => (what ? `Off target: ${what}` : "Off target"),
  unread: "Not read yet",
  unjudged: "Cannot be judged",
  cross: "cross-weight or mean height",
  miss: (/** @type {string} */ side, /** @type {string} */ by, /** @type {boolean} */ high) =>
    `${side} ${by} ${high ? "high" : "low"}`,
  lean: (/** @type {string} */ by) => `lean off by ${by}`,
  hangs: (/** @type {string} */ side, /** @type {string} */ by, /** @type {boolean} */ low) =>
    `${side} ${by} too far ${low ? "down" : "up"}`,
  just: "at the target",
  beyond: (/** @type {string} */ by, /** @type {boolean} */ above) => `${by} ${above ? "above" : "below"} target`,
  allowed: (/** @type {string} */ within) => `target: within ${within}`,
  allowedAbout: (/** @type {string} */ mean, /** @type {string} */ within) => `target: ${mean}, within ${within}`,
};
/** Sums of decimal readings: what rounding alone leaves is no miss (as in the sheet's own verdict). */
const SLACK = 1e-6;
/** @param {unknown} value @returns {value is number} */
const known = (value) => typeof value === "number";

/** What is said where it was not settled. */
export const looseWords = () =>
  inches() ? "Not settled: heights can be an eighth of an inch out." : "Not settled: heights can be a few mm out.";

/** What of the settling is not ticked for a teardown: keys of SETTLE.
 * @param {Pick<Sheet, "steps">} sheet
 * @param {number} teardown
 */
export const unsettled = (sheet, teardown) =>
  SETTLE.map(([key]) => key).filter(
    (key) => !sheet.steps.some((row) => row.step === key && (row.teardown ?? 0) === teardown && row.done !== false),
  );

/** The heights of a stage by the mark that its target is of.
 * @param {Stage} stage
 * @returns {Sides<number | null>}
 */
export function heightsOf(stage) {
  if (markOf(stage.target) === "hub-to-body")
    return { left: stage.hub_mm.left ?? null, right: stage.hub_mm.right ?? null };
  return { left: stage.reached.left_mm ?? null, right: stage.reached.right_mm ?? null };
}

/** One side's height judged. */
function heightRow(/** @type {Side} */ side, /** @type {number} */ value, /** @type {any} */ target) {
  const wanted = target[`${side}_mm`];
  const row = { key: side, name: NAMES[side], figure: brief(value) };
  if (!known(wanted)) return { ...row, note: "", good: null, says: "" };
  const miss = value - wanted;
  const good = Math.abs(miss) <= target.tolerance_mm + SLACK;
  const by = brief(Math.abs(miss));
  const note = Math.abs(miss) < 0.05 ? SAID.just : SAID.beyond(by, miss > 0);
  return { ...row, note, good, says: good ? "" : SAID.miss(side, by, miss > 0) };
}

/** The lean judged. */
function leanRow(/** @type {{left: number, right: number}} */ read, /** @type {any} */ target) {
  const lean = read.left - read.right;
  const row = { key: /** @type {const} */ ("lean"), name: NAMES.lean, figure: brief(Math.abs(lean)) };
  if (!known(target.left_mm) || !known(target.right_mm)) return { ...row, note: "", good: null, says: "" };
  const wanted = target.left_mm - target.right_mm;
  const off = Math.abs(lean - wanted);
  const good = off <= target.lean_mm + SLACK;
  const within = brief(target.lean_mm);
  const note = Math.abs(wanted) < 0.05 ? SAID.allowed(within) : SAID.allowedAbout(brief(Math.abs(wanted)), within);
  return { ...row, note, good, says: good ? "" : SAID.lean(brief(off)) };
}

const degrees = (/** @type {number} */ value) => `${plain(value, 1)}°`;

/** One arm's hanging angle judged. */
function hangRow(/** @type {Side} */ side, /** @type {number} */ value, /** @type {any} */ target) {
  const wanted = target[`${side}_deg`];
  const within = target.tolerance_deg ?? FACTS["target.tolerance_deg"].default;
  const row = { key: side, name: NAMES[side], figure: degrees(value) };
  if (!known(wanted)) return { ...row, note: "", good: null, says: "" };
  const good = Math.abs(value - wanted) <= within + SLACK;
  const note = SAID.allowedAbout(degrees(wanted), degrees(within));
  return { ...row, note, good, says: good ? "" : SAID.hangs(side, degrees(Math.abs(value - wanted)), value > wanted) };
}

/**
 * The verdict on a stage; `met` whether its target is met where that is not its `hit` (a recheck's `still_within`).
 * @param {Stage} stage
 * @param {boolean | null} [met]
 * @returns {Verdict}
 */
export function verdictOf(stage, met = stage.hit) {
  const target = tolerant(stage.target);
  const angles = formOf(target) === "hanging-angle";
  const read = angles
    ? { left: stage.hanging_deg.left ?? null, right: stage.hanging_deg.right ?? null }
    : heightsOf(stage);
  const judge = angles ? hangRow : heightRow;
  const both = read.left !== null && read.right !== null;
  const judged = [
    ...SIDES.flatMap((side) => {
      const value = read[/** @type {Side} */ (side)];
      return value === null ? [] : [judge(/** @type {Side} */ (side), value, target)];
    }),
    ...(both && !angles ? [leanRow(/** @type {any} */ (read), target)] : []),
  ];
  const rows = judged.map(({ says, ...row }) => row);
  const state = !both ? "unread" : met === null ? "unjudged" : met ? "on" : "off";
  // A lean that a side out of its gate brings along is not said beside it.
  const sides = judged.filter((row) => row.key !== "lean" && row.says);
  const beyond = (sides.length ? sides : judged).map((row) => row.says).filter(Boolean);
  // No height is asked of one side by itself.
  if (formOf(target) === "cross-weight") beyond.push(SAID.cross);
  const title = state === "off" ? SAID.off(beyond.join(", ")) : SAID[state];
  return { state, angles, title, rows, read };
}

const bare = (/** @type {number} */ mm) => brief(mm).replace(/\s(mm|in)$/, "");

/**
 * What the plan of a stage predicted beside what was measured, in one line; "" without a plan.
 * @param {Stage} stage
 * @param {boolean} [part] only a part of its turns was made, as the steps ask: it predicted for all of them
 */
export function predictedWords(stage, part = false) {
  const { promised, followed } = stage;
  if (!promised || part) return "";
  const { left_mm: left, right_mm: right, left_sd_mm: leftSd, right_sd_mm: rightSd } = promised;
  const chance = inHundred(promised.odds);
  const other = followed === false ? " Other teeth were turned than planned." : "";
  const of = stage.reached;
  if (!known(left) || !known(right) || !known(leftSd) || !known(rightSd) || !known(of.left_mm) || !known(of.right_mm))
    return `Predicted chance: ${chance}.${other}`;
  const each = [
    { value: left, sd: leftSd },
    { value: right, sd: rightSd },
  ];
  const was = `${each.map(bareSpread).join(" and ")} ${lengthUnit()}`;
  const is = `${bare(of.left_mm)} and ${bare(of.right_mm)}`;
  return `Predicted ${was} (90 in 100), measured ${is}. Chance was ${chance}.${other}`;
}

/**
 * The target in a few words for under the drawing: "250 within 5 mm", "left 250, right 245, within 5 mm"; "" for none.
 * @param {Stage["target"]} given
 */
export function gateWords(given) {
  const target = /** @type {any} */ (tolerant(given));
  const { left_mm: left, right_mm: right } = target;
  if (!known(left) || !known(right)) return "";
  const within = brief(target.tolerance_mm);
  return Math.abs(left - right) < 0.05
    ? `${brief(left)}, within ${within}`
    : `left ${brief(left)}, right ${brief(right)}, within ${within}`;
}
