/* What a plan promises, as an entry of the logbook: written when a teardown is begun by it, read back by every step.

   Owns the entry's body. It holds what the steps need, so that a teardown goes on without a solver, after a reload, and
   on another phone. */

import { FORMS } from "../model/facts.js";
import { adjustsAlone, turnsNothing, workName } from "./adjuster.js";
import { teardownWords } from "./readings.js";
import { lengthSpread } from "./units.js";
import { inDegrees } from "./sheet.js";

/** @import { End, Plan, PlanRow, PlannedSide, Sheet, Side, Sides } from "../types/sheet.d.ts" */
/** @import { Estimate, Option, SolveAnswer, TargetBody, TeethBody } from "../types/wire.d.ts" */

/** @typedef {{ [side in Side]?: import("./sheet.js").Turned | null }} Teeth What a plan or a move turns. */

/** @type {Side[]} */
const SIDES = ["left", "right"];
/** @type {End[]} */
const ENDS = ["inner", "outer"];
/** What a plan keeps of an adjuster beside its turns, so that its steps need no solver. */
const LEFT = /** @type {("raise_turns_left" | "lower_turns_left" | "screw")[]} */ ([
  "raise_turns_left",
  "lower_turns_left",
  "screw",
]);
/** All that a side can be turned by. */
const TURNED = /** @type {(End | "turns")[]} */ ([...ENDS, "turns"]);
const TARGET = /** @type {(keyof TargetBody)[]} */ (["as", ...new Set(Object.values(FORMS).flat())]);
/**
 * @param {Estimate} estimate
 * @returns {Estimate}
 */
const estimate = ({ value, sd }) => ({ value, sd });
/**
 * What an object says of these names.
 * @template {object} T
 * @template {keyof T} K
 * @param {T} object
 * @param {K[]} names
 * @returns {{ [name in K]?: NonNullable<T[name]> }}
 */
const said = (object, names) =>
  /** @type {any} */ (
    Object.fromEntries(names.filter((name) => (object[name] ?? null) !== null).map((name) => [name, object[name]]))
  );

/**
 * The body of the plan entry for an option of an answer, for the teardown with that number: in teeth, or in degrees
 * where they are not counted; its target with the heights that it comes to. What is not known is left out, never
 * nothing or 0.
 * @param {{ option: Option, answer: Pick<SolveAnswer, "options" | "now" | "target">, target: TargetBody,
 *   teardown: number }} plan
 * @returns {Plan}
 */
export function promised({ option, answer, target, teardown }) {
  const still = answer.options.find(turnsNothing);
  const alone = adjustsAlone(option);
  const aimed = /** @type {{ left_mm: number | null, right_mm: number | null }} */ (answer.target);
  /** @type {(name: Side) => PlannedSide} */
  const side = (name) => {
    const then = option[name];
    const now = answer.now[name];
    return {
      ...(alone ? { inner: 0, outer: 0 } : said(then, inDegrees(option) ? ["turn_deg"] : ENDS)),
      ...(then.turns ? { turns: then.turns, ...said(then, LEFT) } : {}),
      ...(then.body_height_mm
        ? { body_height_mm: estimate(then.body_height_mm) }
        : { rise_mm: estimate(then.rise_mm) }),
      hanging_deg: then.hanging_deg,
      riding_deg: then.riding_deg,
      lift: then.lift,
      lift_now: still?.[name].lift ?? null,
      hanging_now_deg: estimate(now.hanging_deg),
    };
  };
  return {
    teardown,
    label: option.label,
    odds: option.odds,
    lean_mm: estimate(option.lean_mm),
    target: {
      ...said(target, TARGET),
      ...said(aimed, ["left_mm", "right_mm"]),
    },
    left: side("left"),
    right: side("right"),
    cautions: option.cautions,
  };
}

/**
 * What a plan promises of a side: a height, or by how much it rises where its mark was never read.
 * @param {Pick<PlannedSide, "body_height_mm" | "rise_mm">} side
 */
export function promisedOf({ body_height_mm: height, rise_mm: rise }) {
  if (height) return lengthSpread(height);
  return rise
    ? `${lengthSpread({ value: Math.abs(rise.value), sd: rise.sd })} ${rise.value < 0 ? "lower" : "higher"}`
    : "not read";
}

/**
 * The same of both sides.
 * @param {Sides<Pick<PlannedSide, "body_height_mm" | "rise_mm">>} plan
 */
export const promisedWords = (plan) => SIDES.map((side) => `${side} ${promisedOf(plan[side])}`).join(", ");

/**
 * Whether a plan turns a side: by teeth, or by degrees where they are not counted.
 * @param {Plan} plan
 * @param {Side} side
 */
export const turnsSide = (plan, side) => Boolean(plan[side]?.turns) || tearsSide(plan, side);

/**
 * Whether a plan takes a side apart: it turns an end of its bar.
 * @param {Plan} plan
 * @param {Side} side
 */
export const tearsSide = (plan, side) =>
  ENDS.some((end) => plan[side]?.[end]) || (inDegrees(plan) && Boolean(plan[side]?.turn_deg));

/**
 * The plan a teardown goes by: the one its move names, else the last one made for it; null where there is none. While
 * a side that the last one turns is not in the move yet, it is the last: the look at the second side writes another.
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {number} teardown
 * @returns {PlanRow | null}
 */
export function planFor(sheet, teardown) {
  const plans = (sheet.plans ?? []).filter((plan) => plan.teardown === teardown);
  const last = plans.at(-1) ?? null;
  const move = moveOf(sheet, teardown);
  if (move && last && SIDES.some((side) => !move[side] && turnsSide(last, side))) return last;
  return plans.find((plan) => plan.id === move?.plan) ?? last;
}

/**
 * The move of a teardown, or undefined.
 * @param {Pick<Sheet, "moves">} sheet
 * @param {number} teardown
 */
export const moveOf = (sheet, teardown) => sheet.moves.find((move) => move.teardown === teardown);

/**
 * "teardown 2", "adjustment 1": what the stage of that number is called, by what was turned or is planned for it.
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {number} number
 */
export const stageName = (sheet, number) => `${stageWork(sheet, number)} ${number}`;

/**
 * "as found", "after teardown 2", "after adjustment 1".
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {number} [number]
 */
export const afterStage = (sheet, number = 0) => teardownWords(number, stageName(sheet, number));

/** What a move turned, as a heading: "Teardown 2, teeth turned", "Adjustment 1".
 * @param {Teeth & { teardown: number }} move */
export const movedName = (move) =>
  workName(move) === "adjustment" ? `Adjustment ${move.teardown}` : `Teardown ${move.teardown}, teeth turned`;

/**
 * Whether that stage is a teardown or an adjustment.
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {number} number
 */
export const stageWork = (sheet, number) => workName(moveOf(sheet, number) ?? planFor(sheet, number));

/**
 * Whether a part of what its plan turns was made in a stage: the adjusters alone, the same way, and not as far.
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {number} number
 */
export function inPart(sheet, number) {
  const [move, plan] = [moveOf(sheet, number), planFor(sheet, number)];
  if (!move || !plan || !adjustsAlone(move) || !adjustsAlone(plan) || sameTeeth(move, plan)) return false;
  return SIDES.every((side) => {
    const [is, all] = [move[side]?.turns ?? 0, plan[side]?.turns ?? 0];
    return is * all >= 0 && Math.abs(is) <= Math.abs(all);
  });
}

/**
 * Whether both turn the same teeth at every end of a side, and its adjuster alike.
 * @param {Teeth | null | undefined} one
 * @param {Teeth | null | undefined} other
 */
export const sameTeeth = (one, other, sides = SIDES) =>
  sides.every((side) => TURNED.every((name) => (one?.[side]?.[name] ?? 0) === (other?.[side]?.[name] ?? 0)));

/**
 * @param {Plan} one
 * @param {Plan} other
 */
const sameTurns = (one, other) =>
  inDegrees(one) === inDegrees(other) &&
  sameTeeth(one, other) &&
  (!inDegrees(one) || SIDES.every((side) => one[side].turn_deg === other[side].turn_deg));

/**
 * Whether a plan on the sheet already promises just this.
 * @param {PlanRow | null | undefined} plan
 * @param {Plan} body
 */
export const alreadyPromised = (plan, body) =>
  plan !== null &&
  plan !== undefined &&
  sameTurns(plan, body) &&
  plan.odds === body.odds &&
  TARGET.every((name) => plan.target?.[name] === body.target?.[name]);

/**
 * Whether the teeth turned on a side are those of a plan, which one in degrees has none of.
 * @param {Plan} plan
 * @param {Teeth | null | undefined} move
 * @param {Side} side
 */
export const byPlan = (plan, move, side) => !inDegrees(plan) && sameTeeth(plan, move, [side]);

/**
 * The hanging angle the plan of a teardown gives a side whose teeth were turned by it, [deg], or null.
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @param {Side} side
 * @param {number} teardown
 */
export function plannedHanging(sheet, side, teardown) {
  const plan = planFor(sheet, teardown);
  const move = moveOf(sheet, teardown);
  return plan && move?.[side] && byPlan(plan, move, side) ? (plan[side].hanging_deg ?? null) : null;
}
