/* The steps of a teardown, in the order of the work, each with the caution that bites there. A plan makes them; the
   sheet says which are done. Words and order only: nothing is drawn or written here.

   Order and cautions are common practice of the trade, no source; the car's own manual goes before them. */

import { teeth } from "./numbers.js";
import { planFor } from "./promise.js";
import { inDegrees } from "./sheet.js";

export const SIDES = ["left", "right"];
const ENDS = ["inner", "outer"];

const BEFORE = [
  {
    key: "stands", name: "Body on rated stands",
    text: "Level, hard ground. The wheels that stay down are chocked. Push the car from the side before you go near it.",
    caution: "Never go under a car held by a jack.",
  },
  {
    key: "eyes", name: "Eye protection on, manual open",
    text: "Fasteners, torques and locking as the car's own manual says; new ones where it says so.",
    caution: "Rust and old rubber let go suddenly.",
  },
]; // prettier-ignore

const APART = [
  { key: "wheel-off", name: "Wheel off", text: "Put it flat under the sill, out of the arm's arc." },
  {
    key: "bolts-out", name: "Hold the arm, bolts out",
    text: "Hold the arm with a jack or tool that cannot slip. Damper's lower bolt and arm-to-axle bolts out, hand-brake cable free.",
    caution: "Brake hose and drive-joint boot must not be stretched.",
  },
  {
    key: "arm-down", name: "Let the arm down under control", lift: "lift_now",
    text: "Ease it off its stop until the bar is relaxed.",
    caution: "A wound bar can break bones. Keep clear of the arm's arc. Use a tool that cannot slip, never hands, and never the car's weight on the jack alone.",
  },
  {
    key: "cover-off", name: "Cover off",
    text: "Mark with a paint pen how arm, bar and housing sit. Then nothing is lost.",
    caution: "Do not file, weld, clamp or chip a bar. A nicked or pitted bar breaks.",
  },
]; // prettier-ignore

const TURN = {
  inner: "Draw arm and bar together until the inner splines are free. Turn both, count the teeth, push home.",
  outer: "Pull the arm off its splines, leave the bar. Turn the arm, count the teeth, push home.",
};

const TOGETHER = [
  {
    key: "arm-up", name: "Lift the arm onto its stop", lift: "lift",
    text: "With a tool that holds the arm and cannot slip off it.",
    caution: "This winds the bar up. Keep clear of the arm's arc, never lift by hand, never with the car's weight on the jack alone.",
  },
  {
    key: "cover-on", name: "Cover on",
    text: "Long studs or bolts first, in a diagonal. Then the short ones, one at a time.",
    caution: "Until the cover is tight the arm can slip off its stop. Stay out of its arc.",
  },
  {
    key: "bolts-in", name: "Bolt arm, axle and damper up",
    text: "Arm to axle, damper's lower bolt, hand-brake cable. Torques as the car's own manual says.",
    caution: "Brake hose and drive-joint boot must not be stretched.",
  },
  { key: "wheel-on", name: "Wheel on" },
]; // prettier-ignore

/** What follows the covers where nobody has counted the teeth: no tooth is turned by a plan in degrees. */
const COUNT = {
  key: "count", name: "Count the teeth at both ends", count: true,
  text: "Enter them and plan again: the plan in whole teeth follows. Turn nothing before it.",
}; // prettier-ignore

const AFTER = [
  {
    key: "down", name: "Down on its wheels",
    text: "Wheel bolts to torque. Tools and stands out, chocks away last.",
    caution: "Nobody under or beside the car while it comes down.",
  },
]; // prettier-ignore

/** Steps of one side of a plan: apart, each end that turns, the reading, together. */
function sideSteps(plan, side) {
  const lifted = (step) => ({ ...step, side, lifts: step.lift ? plan[side][step.lift] : null });
  if (inDegrees(plan)) return APART.map(lifted);
  const ends = ENDS.filter((end) => plan[side][end]);
  const turns = ends.map((end, i) => ({
    key: `turn-${end}`,
    name: `${end === "inner" ? "Inner" : "Outer"} end: ${teeth(plan[side][end])}`,
    text: TURN[end],
    caution: i === 0 ? "Left and right bars differ: never swap them. Some splines go in one position only." : undefined,
    turn: { end, teeth: plan[side][end] },
  }));
  const read = {
    key: "read",
    name: "Read the arm hanging relaxed",
    text: "Lift it lightly to take up the play, let it hang. Gauge on the datum, then on the arm, the same way round.",
    read: true,
  };
  return [...APART, ...turns, read, ...TOGETHER].map(lifted);
}

/** Sides that a plan turns. */
const turning = (plan) =>
  SIDES.filter((side) => plan[side].inner || plan[side].outer || (inDegrees(plan) && plan[side].turn_deg));

/** Every step of a plan, in order: {key, side or null, name, text, caution, lifts, turn, read, count}. One in degrees goes as far as
    the count of the teeth. */
export const stepsOf = (plan) => [
  ...BEFORE.map((step) => ({ ...step, side: null })),
  ...turning(plan).flatMap((side) => sideSteps(plan, side)),
  ...(inDegrees(plan) ? [COUNT] : AFTER).map((step) => ({ ...step, side: null })),
];

/** Whether a step of that teardown is ticked. */
export const isDone = (sheet, teardown, step) =>
  (sheet.steps ?? []).some(
    (row) =>
      row.step === step.key &&
      (row.teardown ?? 0) === teardown &&
      (row.side ?? null) === step.side &&
      row.done !== false,
  );

/** The teardown being worked on: a plan made for the next one, else the last one while its steps are open; null where none is. */
export function underWay(sheet) {
  if (planFor(sheet, sheet.teardowns + 1)) return sheet.teardowns + 1;
  const plan = planFor(sheet, sheet.teardowns);
  const ticked = plan ? stepsOf(plan).map((step) => isDone(sheet, plan.teardown, step)) : [];
  return ticked.includes(true) && ticked.includes(false) ? plan.teardown : null;
}

/** The number of a teardown route, and its plan; null where there is none. */
export function teardownAt(ctx) {
  const number = Number(ctx.words[1] ?? underWay(ctx.sheet) ?? ctx.sheet.teardowns);
  const plan = planFor(ctx.sheet, number);
  return plan ? { number, plan } : null;
}
