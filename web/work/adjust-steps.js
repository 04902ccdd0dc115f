/* The steps that turn a plan's adjusters: of an adjustment, which turns nothing else, and of a teardown after its
   teeth. Which of them are done is teardown-steps.js's. Decides only. */

import { ACROSS, CHECK, DOWN, FAST, HOW, LOOSE, READY } from "./adjust-order.js";
import { adjusterName, adjusterOf, firstPart, sprungOf, turnWords } from "./adjuster.js";
import { tearsSide } from "./promise.js";
import { titled } from "./sentence.js";
import { length } from "./units.js";

/** @import { Plan, Sheet, Side } from "../types/sheet.d.ts" */
/** @import { Adjusts } from "./adjuster.js" */
/** @import { Told } from "./teardown-order.js" */
/** What a step turns: `turns` now, `planned` in all, of which wheels; `screw` what the thread bears.
 * @typedef {{ kind: Adjusts, turns: number, planned: number, sides: Side[], screw: any }} Adjust */
/** `screw` of a step before a screw is undone: what its thread bears.
 * @typedef {Told & { side: Side | null, lifts: null, adjust?: Adjust, screw?: any }} AdjustStep */

const FULL = 360;
const MIDDLE = "Leave it at its middle";
const FROM_MIDDLE = "from its middle";
/** @type {readonly Side[]} */
const SIDES = ["left", "right"];

/** @param {Side | null} side @returns {(step: Told) => AdjustStep} */
const of = (side) => (step) => ({ ...step, side, lifts: null });

/** Whether no screw was turned in this job before that stage. @param {Sheet} sheet @param {number} teardown */
const isFirst = (sheet, teardown) =>
  !sheet.moves.some((move) => move.teardown < teardown && SIDES.some((side) => move[side]?.turns));

/**
 * How far an eccentric stands from its middle before that stage, raising positive, [turn].
 * @param {Sheet} sheet @param {Side} side @param {number} teardown
 */
function stands(sheet, side, teardown) {
  const found = /** @type {any} */ (sheet.car).adjuster?.at_deg?.[side] ?? 0;
  const before = sheet.moves.filter((move) => move.teardown < teardown);
  return before.reduce((sum, move) => sum + (move[side]?.turns ?? 0), found / FULL);
}

/** What is said of an eccentric that was centred before the teeth: where it ends, from its middle.
 * @param {number} turns */
const fromMiddle = (turns) =>
  turnWords(turns, "eccentric") === turnWords(0) ? MIDDLE : `${titled(turnWords(turns, "eccentric"))} ${FROM_MIDDLE}`;

/** What a step turns of a plan's turns, and of whose. @param {Plan} plan @param {Sheet} sheet @param {Side[]} sides
 * @param {boolean} alone @returns {Adjust} */
function turnOf(plan, sheet, sides, alone) {
  const kind = adjusterOf(sheet.car)?.kind ?? "screw";
  const { turns: planned = 0, screw = null } = plan[sides[0]];
  const turns = alone ? firstPart(planned, { kind, first: isFirst(sheet, plan.teardown) }) : planned;
  return { kind, turns, planned, sides, screw };
}

/** What the bolt shows of so many turns: its own length, where the thread's pitch was read. @param {Sheet} sheet
 * @param {number} turns */
function checkOf(sheet, turns) {
  const pitch = /** @type {any} */ (sheet.car).adjuster?.pitch_mm ?? null;
  return CHECK(pitch === null ? null : length(Math.abs(turns) * pitch, 1));
}

/**
 * The step that turns one adjuster, `sides` its wheels.
 * @param {Plan} plan @param {Sheet} sheet @param {Side[]} sides @param {boolean} alone
 * @returns {AdjustStep}
 */
function turning(plan, sheet, sides, alone) {
  const [wheel] = sides;
  const one = sides.length === 1;
  const across = Boolean(adjusterOf(sheet.car)?.across);
  const adjust = turnOf(plan, sheet, sides, alone);
  const { kind, turns, planned } = adjust;
  const centred = kind === "eccentric" && tearsSide(plan, wheel);
  const check = kind === "screw" ? checkOf(sheet, turns) : "";
  const text = [across && one ? ACROSS(wheel) : "", HOW[kind], check];
  return {
    key: "adjust",
    kind: "adjust",
    name: centred ? fromMiddle(planned + stands(sheet, wheel, plan.teardown)) : titled(turnWords(turns, kind)),
    text: text.filter(Boolean).join(" "),
    side: one ? wheel : null,
    lifts: null,
    drawn: across ? "across" : `${kind}-${planned > 0 ? "raise" : "lower"}`,
    adjust,
  };
}

/**
 * The steps that turn the adjusters of a plan: loosen, turn, tighten, wheel by wheel, or once where there is one for
 * both.
 * @param {Plan} plan
 * @param {Sheet} sheet
 * @param {boolean} alone
 * @returns {AdjustStep[]}
 */
export function turningSteps(plan, sheet, alone) {
  const adjuster = adjusterOf(sheet.car);
  const kind = adjuster?.kind ?? "screw";
  const turned = SIDES.filter((side) => plan[side]?.turns);
  if (!turned.length) return [];
  const groups = adjuster?.shared ? [turned] : turned.map((side) => [side]);
  return groups.flatMap((sides) => {
    const there = adjuster?.across && sides.length === 1 ? `${ACROSS(sides[0])} ` : "";
    const own = (/** @type {Told} */ step) =>
      of(sides.length === 1 ? sides[0] : null)({ ...step, text: `${there}${step.text ?? ""}` });
    const { screw = null } = plan[sides[0]];
    const loose = LOOSE[kind].map((step) => (kind === "screw" ? { ...own(step), screw } : own(step)));
    return [...loose, turning(plan, sheet, sides, alone), ...FAST[kind].map(own)];
  });
}

/** An axle without an anti-roll bar is not asked to take its link off: a rear one, unless the car says it has one.
 * @param {Sheet} sheet */
const hasBar = ({ car }) => {
  const given = /** @type {any} */ (car).anti_roll_n_per_mm;
  return given === undefined || given === null ? sprungOf(car) === "front" : given > 0;
};

/**
 * Every step of an adjustment, in order.
 * @param {Plan} plan
 * @param {Sheet} sheet
 * @returns {AdjustStep[]}
 */
export function adjustSteps(plan, sheet) {
  const ready = READY.filter(({ key }) => key !== "link-off" || hasBar(sheet));
  return [...ready.map(of(null)), ...turningSteps(plan, sheet, true), ...DOWN.map(of(null))];
}

/** "Adjusting screw". @param {Adjust} adjust */
export const adjustWhere = ({ kind }) => adjusterName(kind);
