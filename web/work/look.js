/* The last look at the plan before a tooth is turned: with what the free arm and the bar in hand have shown, does the
   plan stay, or is another tooth better? What to ask the model, what its answers come to, and the plan to write. A
   side that is turned already stays as it is; then the look is for the other side alone.

   The plan that the last look writes is the one that is judged. Asks, draws and writes nothing itself. */

import { turnsNothing } from "./adjuster.js";
import { HARDLY } from "./flow.js";
import { inHundred, plain, teeth, way } from "./numbers.js";
import { gainWords } from "./plan-ways.js";
import { moveOf, promised, sameTeeth } from "./promise.js";
import { inDegrees } from "./sheet.js";
import { END_NAMES } from "./teardown-order.js";
import { isTicked, SIDES } from "./teardown-steps.js";

/** @import { End, PlanRow, Sheet, Side } from "../types/sheet.d.ts" */
/** @import { Option, SolveAnswer, SolveRequest, TargetBody } from "../types/wire.d.ts" */
/** @import { Turned } from "./sheet.js" */

/** @typedef {{inner: number, outer: number, turns?: number}} Teeth */
/** @typedef {{state: "stays" | "changes" | "counted" | "leave" | "doubt" | "forbidden", title: string, lines: string[],
 *   chance: string, option: Option | null}} Look */

/** @type {End[]} */
const ENDS = ["inner", "outer"];
/** A simpler way chosen with the plan is kept to, unless it now costs more than this. */
const DEARER = 0.2;

const teethOf = (/** @type {Turned | null | undefined} */ side) => ({
  inner: side?.inner ?? 0,
  outer: side?.outer ?? 0,
  ...(side?.turns ? { turns: side.turns } : {}),
});

/** The teeth of a side that can no longer be planned: those of the move, or of the plan where an end of it is ticked.
 * @param {Sheet} sheet @param {PlanRow} plan @param {Side} side @returns {Teeth | null} */
function fixed(sheet, plan, side) {
  const move = moveOf(sheet, plan.teardown);
  if (move?.[side]) return teethOf(move[side]);
  const begun = ENDS.some((end) => isTicked(sheet, plan.teardown, { key: `turn-${end}`, side }));
  return begun ? teethOf(plan[side]) : null;
}

/** The sides that the look is for. @param {Sheet} sheet @param {PlanRow} plan @returns {Side[]} */
export const openSides = (sheet, plan) => SIDES.filter((side) => !fixed(sheet, plan, side));

/** A request whose move of a teardown turns so many teeth, its sides held.
 * @param {SolveRequest} request @param {number} teardown @param {Record<Side, Teeth>} turned @param {Side[]} sides */
function withMove(request, teardown, turned, sides) {
  const log = (request.log ?? []).filter((row) => !(row.kind === "move" && row.teardown === teardown));
  const held = { ...request.car?.held };
  for (const side of sides) held[side] = [...ENDS];
  return {
    ...request,
    car: { ...request.car, held },
    log: [...log, { kind: /** @type {const} */ ("move"), teardown, ...turned }],
  };
}

/**
 * What to ask: as the sheet stands, and with one side turned that side's teeth as they are and both its ends held.
 * @param {SolveRequest} request the solve request of the sheet
 * @param {Sheet} sheet
 * @param {PlanRow} plan
 */
export function lookRequest(request, sheet, plan) {
  const open = openSides(sheet, plan);
  if (open.length === SIDES.length) return request;
  const turned = { left: teethOf(fixed(sheet, plan, "left")), right: teethOf(fixed(sheet, plan, "right")) };
  return withMove(
    request,
    plan.teardown,
    turned,
    SIDES.filter((side) => !open.includes(side)),
  );
}

/**
 * What to ask for the chance of the plan as it stands, all its teeth turned; null where it has none, or for a plan in
 * degrees.
 * @param {SolveRequest} request
 * @param {Sheet} sheet
 * @param {PlanRow} plan
 */
export function keptRequest(request, sheet, plan) {
  if (inDegrees(plan)) return null;
  const turned = Object.fromEntries(SIDES.map((side) => [side, fixed(sheet, plan, side) ?? teethOf(plan[side])]));
  return withMove(request, plan.teardown, /** @type {Record<Side, Teeth>} */ (turned), SIDES);
}

/**
 * The ends that a plan may turn on a side: those that it turns; both where it is in degrees.
 * @param {PlanRow} plan
 * @param {Side} side
 */
const waysOf = (plan, side) =>
  ENDS.filter((end) => (inDegrees(plan) ? Boolean(plan[side].turn_deg) : Boolean(plan[side][end])));

/** The option to go by: the best of those that turn no other ends than the plan, unless another is far better.
 * @param {SolveAnswer} answer @param {PlanRow} plan @param {Side[]} open */
function chosen(answer, plan, open) {
  const [best, ...others] = answer.options;
  const within = (/** @type {Option} */ option) =>
    open.every((side) => ENDS.every((end) => !option[side][end] || waysOf(plan, side).includes(end)));
  const simple = [best, ...others].find((option) => within(option) && !option.stopped_by.length) ?? best;
  return best.odds - simple.odds > DEARER ? best : simple;
}

/**
 * The plan's own teeth as an option, by the answer to `keptRequest`.
 * @param {SolveAnswer} kept
 * @param {PlanRow} plan
 * @param {Side[]} open
 */
function asPlanned(kept, plan, open) {
  // The way that turns nothing is among every answer's options.
  const still = /** @type {Option} */ (kept.options.find(turnsNothing));
  const side = (/** @type {Side} */ name) => ({
    ...still[name],
    ...(open.includes(name) ? teethOf(plan[name]) : { inner: 0, outer: 0 }),
  });
  return { ...still, label: /** @type {string} */ (plan.label), left: side("left"), right: side("right") };
}

/** "Inner end: 4 rather than 3 teeth arm up". @param {End} end @param {number} is @param {number} was */
function changed(end, is, was) {
  const name = END_NAMES[end];
  if (is === was) return is ? `${name}: ${teeth(is)}, as planned` : "";
  if (is && was && Math.sign(is) === Math.sign(was)) return `${name}: ${Math.abs(is)} rather than ${teeth(was)}`;
  return `${name}: ${is ? teeth(is) : "none"} rather than ${was ? teeth(was) : "none"}`;
}

const plannedLine = (/** @type {End} */ end, /** @type {number} */ count) => `${END_NAMES[end]}: ${teeth(count)}`;

/** The lines of a side. @param {Option} option @param {PlanRow} plan @param {Side} side */
function linesOf(option, plan, side) {
  if (inDegrees(plan)) {
    const lines = ENDS.filter((end) => option[side][end]).map((end) => plannedLine(end, option[side][end] ?? 0));
    const was = plan[side].turn_deg ?? 0;
    const is = option[side].turn_deg;
    return [
      ...(lines.length ? lines : ["Nothing is to be turned."]),
      `That is ${plain(Math.abs(is), 1)}° ${way(is)}; planned were ${plain(Math.abs(was), 1)}° ${way(was)}.`,
    ];
  }
  return ENDS.map((end) => changed(end, option[side][end] ?? 0, plan[side][end] ?? 0)).filter(Boolean);
}

/**
 * Nothing to turn by: what is in the way.
 * @param {Look["state"]} state
 * @param {string} title
 * @param {string[]} lines
 */
const stopped = (state, title, lines) => ({ state, title, lines, chance: "", option: null });

/**
 * What the look comes to for a side.
 * @param {{answer: SolveAnswer, kept: SolveAnswer | null, sheet: Sheet, plan: PlanRow, side: Side}} found answers to
 *   the two requests
 * @returns {Look}
 */
export function looked({ answer, kept, sheet, plan, side }) {
  const open = openSides(sheet, plan);
  const option = chosen(answer, plan, open);
  const texts = () => answer.doubts.map((doubt) => doubt.text);
  if (answer.withheld) return stopped("doubt", "A reading does not fit", texts());
  if (option.stopped_by.length) return stopped("forbidden", "Not possible as planned", option.stopped_by);
  const before = kept ? asPlanned(kept, plan, open) : null;
  if (kept && before && stays(option, before, plan, open) && !stops(kept)) {
    const by = sameTeeth(option, plan, open) ? { ...option, label: before.label } : before;
    const lines = linesOf(by, plan, side);
    return { state: "stays", title: "The plan stays", lines, chance: inHundred(by.odds), option: by };
  }
  return changes({ option, before, plan, side, open });
}

/** Whether a plan stays: the same teeth, or others for next to nothing.
 * @param {Option} option @param {Option} before @param {PlanRow} plan @param {Side[]} open */
const stays = (option, before, plan, open) => sameTeeth(option, plan, open) || option.odds - before.odds < HARDLY;

/** A plan that changes, or that has whole teeth for the first time.
 * @param {{option: Option, before: Option | null, plan: PlanRow, side: Side, open: Side[]}} about @returns {Look} */
function changes({ option, before, plan, side, open }) {
  const other = open.find((each) => each !== side);
  const too = other && !inDegrees(plan) && !sameTeeth(option, plan, [other]);
  const elsewhere = too ? [`The ${other} side changes too.`] : [];
  const chance = gainWords(before ? before.odds : plan.odds, option.odds);
  if (!ENDS.some((end) => option[side][end]))
    return { state: "leave", title: "Turn nothing on this side", lines: elsewhere, chance, option };
  const lines = [...linesOf(option, plan, side), ...elsewhere];
  return inDegrees(plan)
    ? { state: "counted", title: "The plan in whole teeth", lines, chance, option }
    : { state: "changes", title: "The plan changes", lines, chance, option };
}

/** Whether a measured limit forbids what an answer's first option is. @param {SolveAnswer} kept */
const stops = (kept) => kept.options[0].stopped_by.length > 0;

/**
 * The body of the plan entry that the look writes; of a side turned already, its teeth as they are.
 * @param {{answer: SolveAnswer, look: Look, sheet: Sheet, plan: PlanRow, target: TargetBody}} found
 */
export function lookBody({ answer, look, sheet, plan, target }) {
  const body = promised({ option: /** @type {Option} */ (look.option), answer, target, teardown: plan.teardown });
  for (const side of SIDES) Object.assign(body[side], fixed(sheet, plan, side) ?? {});
  return body;
}
