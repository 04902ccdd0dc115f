/* What a plan promises, as an entry of the logbook: written when a teardown is begun by it, read back by every step.

   Owns the entry's body. It holds what the steps need, so that a teardown goes on without a solver, after a reload, and
   on another phone. */

import { FORMS } from "../model/facts.js";
import { lengthSpread } from "./units.js";
import { inDegrees } from "./sheet.js";

const SIDES = ["left", "right"];
const ENDS = ["inner", "outer"];
const TARGET = ["as", ...new Set(Object.values(FORMS).flat())];
const estimate = ({ value, sd }) => ({ value, sd });
const said = (object, names) =>
  Object.fromEntries(names.filter((name) => (object[name] ?? null) !== null).map((name) => [name, object[name]]));

/** The body of the plan entry for an option of an answer, for the teardown with that number: in teeth, or in degrees where they
    are not counted; its target with the heights that it comes to. What is not known is left out, never nothing or 0. */
export function promised({ option, answer, target, teardown }) {
  const still = answer.options.find((each) => each.ends_disturbed === 0);
  const side = (name) => {
    const then = option[name];
    const now = answer.now[name];
    return {
      ...said(then, inDegrees(option) ? ["turn_deg"] : ENDS),
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
    target: { ...said(target, TARGET), ...said(answer.target, ["left_mm", "right_mm"]) },
    left: side("left"),
    right: side("right"),
    cautions: option.cautions,
  };
}

/** What a plan promises of a side: a height, or by how much it rises where its mark was never read. */
export function promisedOf({ body_height_mm: height, rise_mm: rise }) {
  if (height) return lengthSpread(height);
  return rise
    ? `${lengthSpread({ value: Math.abs(rise.value), sd: rise.sd })} ${rise.value < 0 ? "lower" : "higher"}`
    : "not read";
}

/** The same of both sides. */
export const promisedWords = (plan) => SIDES.map((side) => `${side} ${promisedOf(plan[side])}`).join(", ");

/** The plan a teardown goes by: the one its move names, else the last one made for it; null where there is none. */
export function planFor(sheet, teardown) {
  const plans = (sheet.plans ?? []).filter((plan) => plan.teardown === teardown);
  const move = moveOf(sheet, teardown);
  return plans.find((plan) => plan.id === move?.plan) ?? plans.at(-1) ?? null;
}

/** The move of a teardown, or undefined. */
export const moveOf = (sheet, teardown) => sheet.moves.find((move) => move.teardown === teardown);

/** Whether both turn the same teeth at every end of a side. */
export const sameTeeth = (one, other, sides = SIDES) =>
  sides.every((side) => ENDS.every((end) => (one?.[side]?.[end] ?? 0) === (other?.[side]?.[end] ?? 0)));

const sameTurns = (one, other) =>
  inDegrees(one) === inDegrees(other) &&
  sameTeeth(one, other) &&
  (!inDegrees(one) || SIDES.every((side) => one[side].turn_deg === other[side].turn_deg));

/** Whether a plan on the sheet already promises just this. */
export const alreadyPromised = (plan, body) =>
  Boolean(plan) &&
  sameTurns(plan, body) &&
  plan.odds === body.odds &&
  TARGET.every((name) => plan.target?.[name] === body.target[name]);

/** Whether the teeth turned on a side are those of a plan, which one in degrees has none of. */
export const byPlan = (plan, move, side) => !inDegrees(plan) && sameTeeth(plan, move, [side]);

/** The hanging angle the plan of a teardown gives a side whose teeth were turned by it, [deg], or null. */
export function plannedHanging(sheet, side, teardown) {
  const plan = planFor(sheet, teardown);
  const move = moveOf(sheet, teardown);
  return plan && move?.[side] && byPlan(plan, move, side) ? plan[side].hanging_deg : null;
}
