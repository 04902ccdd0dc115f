/* Which steps the teardown of a plan has, and which are done. A plan makes them, the sheet says which are done: those
   ticked, and those whose figures are there or whose tooth is turned, so that a job begun by an older order of the
   steps opens where its work stands. Nothing is drawn or written here. */

import { CENTRE, DOWN, FAST, LOOSE } from "./adjust-order.js";
import { adjustSteps, turningSteps } from "./adjust-steps.js";
import { adjusterOf, adjusts, adjustsAlone, armsAcross } from "./adjuster.js";
import { teeth } from "./numbers.js";
import { moveOf, planFor, stageName, tearsSide } from "./promise.js";
import { ofAxle } from "./sentence.js";
import { at, inDegrees, readingsOf } from "./sheet.js";
import { otherAxle } from "./weighing.js";
import { ACROSS, AFTER, APART, BAR, BEFORE, END_NAMES, FOUND, LOOK, READ, TOGETHER, TURN } from "./teardown-order.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { End, Plan, ReadingRow, Sheet, StepRow } from "../types/sheet.d.ts" */
/** @import { Lift } from "../types/wire.d.ts" */

/** @typedef {import("./teardown-order.js").Side} Side */
/** @typedef {import("./teardown-order.js").Told} Told */
/**
 * What a step turns; `where` and `what` are the two halves of its name.
 * @typedef {{end: End, teeth: number, where: string, what: string}} Turn
 */
/**
 * A step: as told, its side (null for the car), the lift it means, the end and teeth or the adjuster that it turns.
 * @typedef {Told & {side: Side | null, lifts: Lift | null, turn?: Turn, adjust?: import("./adjust-steps.js").Adjust,
 *   screw?: any}} Step
 */

/** The teardown of the other axle that is under way. @typedef {{number: number, name: string}} Walk */

/** @type {Side[]} */
export const SIDES = ["left", "right"];
/** @type {End[]} */
const ENDS = ["inner", "outer"];

/** What centring an eccentric does already. */
const SCRIBE = "scribe";
/** Steps of a side that take nothing apart. */
const OF_ADJUSTERS = [
  "adjust",
  ...[LOOSE, FAST].flatMap((by) =>
    Object.values(by)
      .flat()
      .map(({ key }) => key),
  ),
];

const COUNTS = [
  ["car", "bar", "inner_teeth"],
  ["car", "bar", "outer_teeth"],
];
const SIZES = [
  ["car", "bar", "diameter_mm"],
  ["car", "bar", "length_mm"],
];
const allKnown = (/** @type {Sheet} */ sheet, /** @type {string[][]} */ paths) =>
  paths.every((path) => (at(sheet, path) ?? null) !== null);

/** Whether both ends are counted. @param {Sheet} sheet */
export const counted = (sheet) => allKnown(sheet, COUNTS);
/** Whether the bar's diameter and length are known. @param {Sheet} sheet */
export const measured = (sheet) => allKnown(sheet, SIZES);

/** The ticks of a teardown that hold; a name with a slash is no step of this axle's.
 * @param {Sheet} sheet @param {number} teardown @returns {StepRow[]} */
const ticksOf = (sheet, teardown) =>
  (sheet.steps ?? []).filter(
    (row) => (row.teardown ?? 0) === teardown && row.done !== false && !row.step.includes("/"),
  );

/** Whether a step of that teardown is ticked. Teeth and bar are one answer for both sides, whichever asked.
 * @param {Sheet} sheet @param {number} teardown @param {{key: string, side: Side | null}} step */
export const isTicked = (sheet, teardown, { key, side }) =>
  ticksOf(sheet, teardown).some(
    (row) => row.step === key && (BAR.some((one) => one.key === key) || (row.side ?? null) === side),
  );

/** Whether a tooth of a side is turned: the log says so, or an end of it is ticked.
 * @param {Sheet} sheet @param {number} teardown @param {Side} side */
export const isTurned = (sheet, teardown, side) =>
  Boolean(moveOf(sheet, teardown)?.[side]) ||
  ENDS.some((end) => isTicked(sheet, teardown, { key: `turn-${end}`, side }));

/** What was read of a side hanging as this teardown found it.
 * @param {Sheet} sheet @param {number} teardown @param {Side} side @returns {ReadingRow[]} */
export const foundOf = (sheet, teardown, side) =>
  readingsOf(sheet, { what: "hanging-angle", side, teardown: teardown - 1, pose: undefined });

/** Whether adjusters are turned: the log says so of their wheels, in a teardown by turns of its own.
 * @param {Sheet} sheet @param {Plan} plan @param {import("./adjust-steps.js").Adjust} adjust */
function isAdjusted(sheet, plan, { sides }) {
  const move = moveOf(sheet, plan.teardown);
  return sides.every((side) => (adjustsAlone(plan) ? Boolean(move?.[side]) : Boolean(move?.[side]?.turns)));
}

/** Whether a step is done: ticked, or what it asks is there.
 * @param {Sheet} sheet @param {Plan} plan @param {Step} step */
export function isDone(sheet, plan, step) {
  const number = plan.teardown;
  const side = /** @type {Side} */ (step.side);
  if (step.kind === "look" && inDegrees(plan)) return false;
  if (isTicked(sheet, number, step)) return true;
  const turned = () => isTurned(sheet, number, side);
  if (step.kind === "found") return turned() || foundOf(sheet, number, side).length > 0;
  if (step.kind === "look") return turned();
  if (step.kind === "turn") return Boolean(moveOf(sheet, number)?.[side]);
  if (step.adjust) return isAdjusted(sheet, plan, step.adjust);
  const any = () => SIDES.some((one) => isTurned(sheet, number, one));
  if (step.kind === "count") return counted(sheet) || any();
  if (step.kind === "caliper") return measured(sheet) || any();
  return false;
}

/** The ends of a side that a plan turns. @param {Plan} plan @param {Side} side */
const endsOf = (plan, side) => ENDS.filter((end) => plan[side][end]);

/** The sides of a teardown: those whose ends the plan turns, and those that were begun by an earlier one.
 * @param {Plan} plan @param {Sheet} sheet @returns {Side[]} */
export const sidesOf = (plan, sheet) => {
  const apart = (/** @type {StepRow} */ row) => !OF_ADJUSTERS.includes(row.step);
  return SIDES.filter(
    (side) => tearsSide(plan, side) || ticksOf(sheet, plan.teardown).some((row) => row.side === side && apart(row)),
  );
};

/** Steps of one side: apart, what the arm and the bar in hand show, the last look, each end that turns, its adjuster,
 * their reading, together. The plan's hanging angle is with both: read between them, it would look like a tooth out.
 * @param {Plan} plan @param {Side} side @param {{ first: boolean, centred: boolean, adjusted: Told[] }} about
 * @returns {Told[]} */
function sideSteps(plan, side, { first, centred, adjusted }) {
  const apart = [...APART, FOUND, ...(first ? BAR : []), LOOK, ...(centred ? [CENTRE] : [])];
  if (inDegrees(plan)) return apart;
  const turned = endsOf(plan, side).map((end) => {
    const count = plan[side][end] ?? 0;
    const [where, what] = [END_NAMES[end], teeth(count)];
    return {
      key: `turn-${end}`,
      kind: /** @type {const} */ ("turn"),
      name: `${where}: ${what}`,
      text: TURN[end],
      turn: { end, teeth: count, where, what },
    };
  });
  return [...apart, ...turned, ...adjusted, ...(turned.length ? [READ] : []), ...TOGETHER];
}

/** Whether a side's adjuster is turned while its arm hangs free: its teeth are turned too, and it is that wheel's own.
 * @param {Plan} plan @param {Sheet} sheet @param {Side} side */
const setHanging = (plan, sheet, side) =>
  Boolean(plan[side].turns) && endsOf(plan, side).length > 0 && !adjusterOf(sheet.car)?.shared;

/** A plan without the turns of these sides. @param {Plan} plan @param {Side[]} sides @returns {Plan} */
const without = (plan, sides) => sides.reduce((rest, side) => ({ ...rest, [side]: { ...rest[side], turns: 0 } }), plan);

/** The steps that turn a side's adjuster on its free arm; an eccentric was scribed as it was centred.
 * @param {Plan} plan @param {Sheet} sheet @param {Side} side @returns {Step[]} */
function adjustedHanging(plan, sheet, side) {
  if (!setHanging(plan, sheet, side)) return [];
  const others = SIDES.filter((one) => one !== side);
  return turningSteps(without(plan, others), sheet, false).filter(({ key }) => key !== SCRIBE);
}

/** The steps that turn the other adjusters once the car has stood on its teeth: it is rolled, then lifted again.
 * @param {Plan} plan @param {Sheet} sheet @returns {Step[]} */
function adjustedAfter(plan, sheet) {
  const rest = without(
    plan,
    SIDES.filter((side) => setHanging(plan, sheet, side)),
  );
  if (!adjusts(rest)) return [];
  const drive = { ...DOWN[DOWN.length - 1], side: null, lifts: null };
  return [drive, ...turningSteps(rest, sheet, false)];
}

/** Every step of a plan, in order. One in degrees goes as far as the look that makes whole teeth of it.
 * @param {Plan} plan @param {Sheet} sheet @returns {Step[]} */
export function stepsOf(plan, sheet) {
  if (adjustsAlone(plan)) return adjustSteps(plan, sheet);
  const sides = sidesOf(plan, sheet);
  const degrees = inDegrees(plan);
  const eccentric = adjusterOf(sheet.car)?.kind === "eccentric";
  const alone = (/** @type {Told} */ step) => ({ ...step, side: null, lifts: null });
  const of = (/** @type {Side} */ side, /** @type {number} */ i) =>
    sideSteps(plan, side, {
      first: i === 0,
      centred: eccentric && setHanging(plan, sheet, side),
      adjusted: degrees ? [] : adjustedHanging(plan, sheet, side),
    }).map((step) => ({
      ...step,
      ...(armsAcross(sheet.car) ? ACROSS[step.key] : {}),
      side,
      lifts: (step.lift && plan[side][step.lift]) ?? null,
    }));
  return [
    ...BEFORE.map(alone),
    ...(degrees ? sides.slice(0, 1) : sides).flatMap(of),
    ...(degrees ? [] : AFTER.map(alone)),
    ...(degrees ? [] : adjustedAfter(plan, sheet)),
  ];
}

/** A plan in degrees as it will be in teeth: every end that is not held is turned.
 * @param {any} plan @param {any} sheet */
function inTeeth(plan, sheet) {
  const side = (/** @type {Side} */ name) => {
    const held = sheet.car?.held?.[name] ?? [];
    return {
      ...plan[name],
      ...Object.fromEntries(ENDS.map((end) => [end, plan[name]?.turn_deg && !held.includes(end) ? 1 : 0])),
    };
  };
  return { ...plan, left: side("left"), right: side("right") };
}

/**
 * Where a step stands among all: "step 7 of 25"; "step 7 of about 31" while the teeth are not counted, for then it is
 * not known yet which ends turn.
 * @param {any} sheet
 * @param {any} plan
 * @param {number} here its place, from 0
 */
export function placeOf(sheet, plan, here) {
  const about = inDegrees(plan) ? "about " : "";
  const all = stepsOf(about ? inTeeth(plan, sheet) : plan, sheet).length;
  return `step ${here + 1} of ${about}${all}`;
}

/** Steps, which of them are done, and the first that is not (the length of the list where all are).
 * @param {Sheet} sheet @param {Plan} plan */
export function progress(sheet, plan) {
  const steps = stepsOf(plan, sheet);
  const done = steps.map((step) => isDone(sheet, plan, step));
  const first = done.indexOf(false);
  return { steps, done, next: first < 0 ? steps.length : first };
}

/** The last step that is ticked, so that its tick can be taken back; null where none is.
 * @param {Sheet} sheet @param {Plan} plan @returns {Step | null} */
export const lastTicked = (sheet, plan) =>
  stepsOf(plan, sheet).findLast((step) => isTicked(sheet, plan.teardown, step)) ?? null;

/** Whether a teardown has a step ticked and a step still to do. @param {Sheet} sheet @param {Plan} plan */
function begun(sheet, plan) {
  const { steps, done } = progress(sheet, plan);
  return done.includes(false) && steps.some((step) => isTicked(sheet, plan.teardown, step));
}

/**
 * The teardown being worked on: the one a plan was made for that has steps to do, else the last one while its steps
 * are open; null where none is.
 * @param {Sheet} sheet
 * @returns {number | null}
 */
export function underWay(sheet) {
  const next = planFor(sheet, sheet.teardowns + 1);
  if (next && progress(sheet, next).done.includes(false)) return next.teardown;
  const last = planFor(sheet, sheet.teardowns);
  return last && begun(sheet, last) ? last.teardown : null;
}

/** The teardown of the other axle that is under way, by its ticks: they name that axle; null where none is.
 * @param {Sheet} sheet @returns {number | null} */
export function underWayThere(sheet) {
  const axle = otherAxle(sheet.car);
  const rows = (sheet.steps ?? []).filter((row) => row.done !== false && row.step.startsWith(`${axle}/`));
  const last = Math.max(0, ...rows.map(({ teardown }) => teardown ?? 0));
  const moved = sheet.other?.moves.some(({ teardown }) => teardown === last) && last === sheet.teardowns;
  const open = last > sheet.teardowns || moved;
  return open && !rows.some((row) => row.teardown === last && row.step === `${axle}/down`) ? last : null;
}

/** Its number and name, "Front: teardown 1"; null where none is.
 * @param {Sheet} sheet @param {number | null} [number] @param {Plan | null} [plan] where this device has it
 * @returns {Walk | null} */
export function walkThere(sheet, number = underWayThere(sheet), plan = null) {
  const known = /** @type {any} */ ({ plans: plan ? [plan] : [], moves: sheet.other?.moves ?? [] });
  return number ? { number, name: ofAxle(otherAxle(sheet.car), stageName(known, number)) } : null;
}

/** Whether work on a teardown has begun: a step is ticked or a tooth turned. A plan that was kept is no work yet.
 * @param {Sheet} sheet @param {Plan} plan */
export const hasBegun = (sheet, plan) =>
  Boolean(moveOf(sheet, plan.teardown)) || stepsOf(plan, sheet).some((step) => isTicked(sheet, plan.teardown, step));

/** The number of a teardown route, and its plan; null where there is none. @param {JobContext} ctx */
export function teardownAt(ctx) {
  const number = Number(ctx.words[1] ?? underWay(ctx.sheet) ?? ctx.sheet.teardowns);
  const plan = planFor(ctx.sheet, number);
  return plan ? { number, plan } : null;
}
