/* What the front of the hand-over sheet says, in sentences for the owner: what was done, how the car stands against the
   target, how it settled. What is in dispute is said to be so and never chosen between. Draws nothing. */

import { sprungOf } from "../adjuster.js";
import { plain } from "../numbers.js";
import { SIDES } from "../readings.js";
import { titled } from "../sentence.js";
import { tolerant } from "../sheet.js";
import { onPaper } from "../units.js";
import { CROSS, crossedWords } from "../weighing.js";
import { aimWords, formOf, markOf, withinWords } from "../wish.js";

/** @import { Folded, Sheet, Side, Stage } from "../../types/sheet.d.ts" */

/** What is in dispute: heights by "teardown side", readings of all kinds by "kind teardown side", teardowns, and the
 * sentences to print.
 * @typedef {{ heights: Set<string>, readings: Set<string>, moves: Set<number>, lines: string[] }} Dispute */
/** @typedef {Pick<Folded, "sheet" | "stages">} Job */

/** Sums of decimal readings: what rounding alone leaves is no miss. */
const SLACK = 1e-6;
const TIMES = ["", "once", "twice"];
const SAID = {
  untouched: "Nothing was taken apart. The car was measured.",
  adjusted: (/** @type {string} */ axle, /** @type {string} */ times) =>
    `${axle} springs adjusted ${times}. That sets the height of this car.`,
  adjustedOn: (/** @type {string} */ axle, /** @type {string} */ times, /** @type {string} */ which) =>
    `${axle} springs adjusted ${times}, ${which}. That sets the height of this car.`,
  times: (/** @type {number} */ n) => TIMES[n] ?? `${n} times`,
  both: "on both sides",
  on: { left: "on the left side", right: "on the right side" },
  asBefore: (/** @type {string} */ side) => `the ${side} side now stands as high as before`,
  higher: (/** @type {string} */ side, /** @type {string} */ by) => `the ${side} side now stands ${by} higher`,
  lower: (/** @type {string} */ side, /** @type {string} */ by) => `the ${side} side now stands ${by} lower`,
  noPlan: "No plan was kept of this work: what was done is on record, what was predicted is not.",
  noPlanOf: (/** @type {string} */ steps) =>
    `Of work step ${steps} no plan was kept: what was done is on record, what was predicted is not.`,
  notYet: "Heights have not been measured yet.",
  disputed: "Whether the car is level is in dispute: see below.",
  armsUnknown: "Whether the arms are on target has not been measured since the last work.",
  armsOn: "On target: both arms are within what was set.",
  armsOff: "Off target: an arm is further off than was set.",
  unknown: "Both heights have not been measured since the last work, so whether it is level is not known.",
  equal: "both sides are equally high",
  leans: (/** @type {string} */ side, /** @type {string} */ by) => `the ${side} side is ${by} higher`,
  level: (/** @type {string} */ how, /** @type {string} */ within) => `Level: ${how}; target: within ${within}.`,
  notLevel: (/** @type {string} */ how, /** @type {string} */ within) => `Not level: ${how}; target: within ${within}.`,
  onTarget: (/** @type {string} */ within) => `On target: both heights are within ${within}.`,
  offTarget: (/** @type {string} */ within) => `Off target: a height is more than ${within} off.`,
  target: (/** @type {string} */ aim, /** @type {string} */ within) => `Target: ${aim}, each ${within}.`,
  rechecked: (/** @type {string} */ km, /** @type {string} */ sides) => `Rechecked after ${km} km: ${sides}.`,
  asThatDay: (/** @type {string} */ side) => `the ${side} side as on that day`,
  sinceHigher: (/** @type {string} */ side, /** @type {string} */ by) => `the ${side} side ${by} higher`,
  sinceLower: (/** @type {string} */ side, /** @type {string} */ by) => `the ${side} side ${by} lower`,
  inDispute: "in dispute",
  notMeasured: "not measured",
  notSaid: "not said",
  asFound: (/** @type {string} */ share) => `${share} as found`,
  now: (/** @type {string} */ share) => `${share} now`,
};

/** Whether the car was worked on: teeth were turned, or a step of a teardown was done; else nothing was undone that
 * could be checked.
 * @param {Pick<Sheet, "moves" | "steps">} sheet */
export const begun = ({ moves, steps }) =>
  moves.length > 0 || steps.some(({ step, done }) => done !== false && !step.startsWith("handover-"));

/** The stages of hand-over day: what is read when the car comes back is a matter of its own.
 * @param {Stage[]} stages */
export const ofTheDay = (stages) => stages.filter(({ after_km: km }) => km === null);

/** A stage's height of a side, null where it was not read or is in dispute.
 * @param {Stage} stage @param {Side} side @param {Dispute} open */
const settledHeight = (stage, side, open) =>
  open.heights.has(`${stage.teardown} ${side}`) ? null : stage.reached[`${side}_mm`];

/** A stage of which the drawing shows nothing that is in dispute.
 * @param {Stage} stage @param {Dispute} open @returns {Stage} */
export const settledStage = (stage, open) => ({
  ...stage,
  reached: {
    ...stage.reached,
    left_mm: settledHeight(stage, "left", open),
    right_mm: settledHeight(stage, "right", open),
  },
});

/** What was read of a side by the mark that the target is of, mm, or null.
 * @param {Stage} stage @param {Side} side @param {any} target @returns {number | null} */
const readOf = (stage, side, target) =>
  (markOf(target) === "hub-to-body" ? stage.hub_mm[side] : stage.reached[`${side}_mm`]) ?? null;

/** Which sides were taken apart, in words; what is in dispute counts on neither side.
 * @param {Sheet} sheet @param {Dispute} open */
function whichSides(sheet, open) {
  const moved = (/** @type {Side} */ side) =>
    sheet.moves.some(
      (move) => !open.moves.has(move.teardown) && Boolean(move[side]?.inner || move[side]?.outer || move[side]?.turns),
    );
  const [left, right] = SIDES.map(moved);
  if (left && right) return SAID.both;
  return left ? SAID.on.left : right ? SAID.on.right : "";
}

/** By how much a side's height changed, in words, or "".
 * @param {Side} side @param {Stage} first @param {Stage} last @param {Dispute} open */
function changed(side, first, last, open) {
  const [from, to] = [settledHeight(first, side, open), settledHeight(last, side, open)];
  if (from === null || to === null) return "";
  const mm = Math.round(to - from);
  if (mm === 0) return SAID.asBefore(side);
  return (mm > 0 ? SAID.higher : SAID.lower)(side, onPaper(Math.abs(mm)));
}

/** What was done, in sentences.
 * @param {Job} job @param {Dispute} open @returns {string[]} */
export function doneLines({ sheet, stages: all }, open) {
  const stages = ofTheDay(all);
  const many = sheet.moves.length;
  if (!many) return [SAID.untouched];
  const which = whichSides(sheet, open);
  const axle = titled(sprungOf(sheet.car));
  const lines = [which ? SAID.adjustedOn(axle, SAID.times(many), which) : SAID.adjusted(axle, SAID.times(many))];
  if (stages.length > 1) {
    const [first, last] = [stages[0], stages[stages.length - 1]];
    const change = SIDES.map((side) => changed(side, first, last, open)).filter(Boolean);
    if (change.length) lines.push(`${titled(change.join(", "))}.`);
  }
  const unplanned = stages.filter(({ teardown, promised }) => teardown > 0 && !promised);
  if (unplanned.length === many) lines.push(SAID.noPlan);
  else if (unplanned.length) lines.push(SAID.noPlanOf(unplanned.map(({ teardown }) => teardown).join(", ")));
  return lines;
}

/** Whether both arms are on target. @param {boolean | null} hit */
const armsWords = (hit) => (hit === null ? SAID.armsUnknown : hit ? SAID.armsOn : SAID.armsOff);

/** Two heights held against the target.
 * @param {number} left @param {number} right @param {any} target */
function heldAgainst(left, right, target) {
  const { left_mm: wantLeft, right_mm: wantRight, tolerance_mm: off, lean_mm: lean } = tolerant(target);
  const leans = Math.round(left - right);
  const agreed = typeof wantLeft === "number" && typeof wantRight === "number";
  const misses = agreed ? [left - wantLeft, right - wantRight] : [left, right];
  const how = leans === 0 ? SAID.equal : SAID.leans(leans > 0 ? "left" : "right", onPaper(Math.abs(leans)));
  const isLevel = Math.abs(misses[0] - misses[1]) <= lean + SLACK;
  const words = (isLevel ? SAID.level : SAID.notLevel)(how, onPaper(lean));
  if (!agreed) return words;
  const near = misses.every((miss) => Math.abs(miss) <= off + SLACK);
  return `${words} ${(near ? SAID.onTarget : SAID.offTarget)(onPaper(off))}`;
}

/** Whether it is level and on target, in a sentence.
 * @param {Job} job @param {Dispute} open */
export function levelWords({ sheet, stages }, open) {
  const last = ofTheDay(stages).at(-1);
  if (!last) return SAID.notYet;
  if (SIDES.some((side) => open.heights.has(`${last.teardown} ${side}`))) return SAID.disputed;
  const target = /** @type {any} */ ({ ...sheet.target, ...last.target });
  if (formOf(/** @type {any} */ (last.target)) === "hanging-angle") return armsWords(last.hit);
  const [left, right] = SIDES.map((side) => readOf(last, side, sheet.target));
  if (left === null || right === null) return last.teardown ? SAID.unknown : SAID.notYet;
  return heldAgainst(left, right, target);
}

/** The target in a sentence, or "".
 * @param {Stage | undefined} first @param {any} target */
export function targetLine(first, target) {
  const aim = aimWords({ ...first?.target, ...target });
  return aim ? SAID.target(aim, withinWords(target).replace(/;.*/, "")) : "";
}

/** How far it has settled since hand-over, in a sentence, or "".
 * @param {Stage[]} stages */
export function recheckLine(stages) {
  const last = stages.findLast(({ after_km: km }) => km !== null);
  if (!last?.settled) return "";
  const { settled } = last;
  const sides = SIDES.flatMap((side) => {
    const off = settled[`${side}_mm`];
    if (off === null) return [];
    const mm = Math.round(off);
    if (mm === 0) return [SAID.asThatDay(side)];
    return [(mm > 0 ? SAID.sinceHigher : SAID.sinceLower)(side, onPaper(Math.abs(mm)))];
  });
  return sides.length ? SAID.rechecked(plain(last.after_km ?? 0, 0), sides.join(", ")) : "";
}

/** Cross-weight as found and now, in a sentence; "" where it was never weighed.
 * @param {Stage[]} all @returns {string} */
export function crossLine(all) {
  const stages = ofTheDay(all);
  const [first, last] = [stages[0], stages[stages.length - 1]];
  if (!stages.some((stage) => stage.cross_percent)) return "";
  const found = SAID.asFound(crossedWords(first));
  const now = last.teardown > 0 ? [SAID.now(crossedWords(last))] : [];
  return `${CROSS}: ${[found, ...now].join("; ")}.`;
}

/**
 * The table of heights: of each side the target, as found, and now where something was turned since (else null).
 * @param {Job} job
 * @param {Dispute} open
 * @returns {{ hub: boolean, rows: { side: Side, target: string, found: string, now: string | null }[] }}
 */
export function heightRows({ sheet, stages: all }, open) {
  const stages = ofTheDay(all);
  const [first, last] = [stages[0], stages[stages.length - 1]];
  const target = /** @type {any} */ ({ ...first?.target, ...sheet.target });
  const cell = (/** @type {Stage | undefined} */ stage, /** @type {Side} */ side) => {
    if (!stage) return SAID.notMeasured;
    if (open.heights.has(`${stage.teardown} ${side}`)) return SAID.inDispute;
    const read = readOf(stage, side, target);
    return read === null ? SAID.notMeasured : onPaper(read);
  };
  return {
    hub: markOf(target) === "hub-to-body",
    rows: SIDES.map((side) => ({
      side,
      target: typeof target[`${side}_mm`] === "number" ? onPaper(target[`${side}_mm`]) : SAID.notSaid,
      found: cell(first, side),
      now: last && last.teardown > 0 ? cell(last, side) : null,
    })),
  };
}
