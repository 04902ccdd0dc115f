/* What an arm read hanging after its teeth were turned: on target, a tooth out and at which end, or something else.

   The model on this phone judges, with the move and the reading in the log; this only words it. */

import { readingsOf } from "./sheet.js";
import { ANGLE_SD_WITH_DATUM, KINDS } from "../model/facts.js";
import { angle, NINETY, plain, teeth, way } from "./numbers.js";
import { byPlan, moveOf } from "./promise.js";
import { repair } from "./repair.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { MoveRow, Plan, ReadingRow, Sheet, Side } from "../types/sheet.d.ts" */
/** @import { Doubt, SolveAnswer } from "../types/wire.d.ts" */

/** Spread of a gauge where the reading names none, and what a clean pair of readings may differ by, [deg]. */
const GAUGE_SD = { zeroed: KINDS["hanging-angle"].sd, datum: ANGLE_SD_WITH_DATUM };
const MODEL_SD = KINDS["hanging-angle"].error;

/** @typedef {"none" | "right" | "tooth" | "slip" | "off" | "open"} State */
/**
 * A verdict: in words, what to do about it; what would take it over as it is, and the key's words for that.
 * @typedef {{state: State, title?: string, text?: string, remedy?: string, take?: string, fix?: Item[] | null}} Verdict
 */

/**
 * Readings of that side, hanging, after that teardown.
 * @param {Sheet} sheet
 * @param {{teardown: number}} plan
 * @param {Side} side
 * @returns {ReadingRow[]}
 */
export const readIn = (sheet, plan, side) =>
  readingsOf(sheet, { what: "hanging-angle", side, teardown: plan.teardown });

/**
 * What the gauge should show: the arm relative to the body, and its spread (one standard deviation), [deg].
 * @param {Plan} plan
 * @param {Side} side
 * @param {ReadingRow} [reading] with its own spread
 * @returns {{arm: number, sd: number}}
 */
export function expected(plan, side, reading) {
  const gauge =
    reading?.sd ??
    (reading && (reading.datum === undefined || reading.datum === null) ? GAUGE_SD.zeroed : GAUGE_SD.datum);
  const before = plan[side].hanging_now_deg?.sd ?? GAUGE_SD.datum;
  return { arm: /** @type {number} */ (plan[side].hanging_deg), sd: Math.hypot(before, gauge, MODEL_SD) };
}

const mean = (/** @type {number[]} */ list) => list.reduce((sum, each) => sum + each, 0) / list.length;
const relative = (/** @type {ReadingRow} */ reading) => reading.value - (reading.datum ?? 0);

/**
 * "8.8 ± 0.6° arm down": the range that holds 90 in 100.
 * @param {{arm: number, sd: number}} expectation
 */
export const expectedWords = ({ arm, sd }) =>
  `${plain(Math.abs(arm), 1)} ± ${plain(NINETY * sd, 1)}°${arm ? ` ${way(arm)}` : ""}`;

/**
 * A tooth out, in words.
 * @param {Doubt} doubt
 * @param {Plan} planned
 * @param {MoveRow} move
 */
function toothWords(doubt, planned, move) {
  const { end } = doubt;
  const side = /** @type {Side} */ (doubt.side);
  if (doubt.repaired_value === null || doubt.repaired_value === undefined || (end !== "inner" && end !== "outer"))
    return { title: "This does not fit the teeth entered", text: doubt.text };
  const is = Math.round(doubt.repaired_value);
  const turned = move[side]?.[end] ?? 0;
  const was = planned[side][end] ?? turned;
  const many = Math.abs(is) > Math.abs(was);
  const off = turned - is;
  const also = doubt.also ? ` Nearly as well explained: ${doubt.also.text}` : "";
  const out = Math.abs(off);
  const by = out === 1 ? "one tooth" : `${out} teeth`;
  return {
    title: `${out === 1 ? "One tooth" : `${out} teeth`} too ${many ? "many" : "few"} at the ${end} end`,
    text: `It hangs as with ${teeth(is)}, not ${is * was > 0 ? Math.abs(was) : teeth(was)}.${also}`,
    remedy: `Turn it ${by} ${way(off)}, then read again.`,
    take: `Keep ${teeth(is)}`,
  };
}

/**
 * The reading itself is doubted: what likely happened, and what would fit.
 * @param {{doubt: Doubt, id: string}} about
 * @param {ReadingRow[]} readings
 * @param {Sheet} sheet
 * @returns {Verdict}
 */
function slipWords({ doubt, id }, readings, sheet) {
  const reading = /** @type {ReadingRow} */ (readings.find((each) => each.id === id));
  const fix = repair(doubt, reading, sheet);
  const fits = doubt.guess === "sides swapped" ? null : doubt.repaired_value;
  const value = fix && fits !== null ? angle(fits) : "";
  return {
    state: "slip",
    fix,
    title: "This reading does not fit",
    text: `${doubt.guess.charAt(0).toUpperCase()}${doubt.guess.slice(1)}?${value ? ` ${value} would fit.` : ""}`,
    take: fix ? (value ? `Use ${value}` : "Exchange left and right") : undefined,
  };
}

const withoutDatum = (/** @type {ReadingRow} */ { reference, datum }) =>
  reference === "gravity" && (datum === undefined || datum === null);

/**
 * How far it hangs from where the plan wanted it, where nothing is doubted.
 * @param {Plan} plan
 * @param {Side} side
 * @param {ReadingRow[]} readings
 * @param {number | null} fine what one tooth at both ends makes, [deg]
 * @returns {Verdict}
 */
function offWords(plan, side, readings, fine) {
  const got = mean(readings.map(relative));
  const { arm, sd } = expected(plan, side, readings.at(-1));
  const off = got - arm;
  const text = `Reads ${angle(got)}; expected ${expectedWords({ arm, sd })}, arm to body.`;
  if (Math.abs(off) <= 2 * sd) return { state: "right", title: "On target", text };
  const both = fine === null ? "" : ` One tooth out at both ends, against each other, makes ${plain(fine, 1)}°.`;
  return {
    state: "off",
    title: `${plain(Math.abs(off), 1)}° too far ${way(off)}`,
    text: `${text} No count of whole teeth explains that.`,
    remedy: `Read again.${both}`,
  };
}

/**
 * The verdict by what the model answers to the job's request; `ids` names the entry of each of the request's log.
 * @param {{sheet: Sheet, ids: string[], plan: Plan, side: Side, answer: SolveAnswer}} found
 * @returns {Verdict}
 */
export function judged({ sheet, ids, plan, side, answer }) {
  const readings = readIn(sheet, plan, side);
  const move = moveOf(sheet, plan.teardown);
  const found = answer.doubts.map((doubt) => ({ doubt, id: ids[doubt.log_index] }));
  const about = found.find(({ doubt, id }) => move && id === move.id && doubt.side === side);
  if (about && move) {
    const fix = repair(about.doubt, /** @type {any} */ ({ ...move, kind: "move" }), sheet);
    return { state: "tooth", fix, ...toothWords(about.doubt, plan, move) };
  }
  const slip = found.find(({ id }) => readings.some((reading) => reading.id === id));
  if (slip) return slipWords(slip, readings, sheet);
  if (readings.some(withoutDatum)) {
    return {
      state: "open",
      title: "No error found",
      text: "Read without the body, so only the difference between the sides can tell.",
    };
  }
  if (!byPlan(plan, move, side)) {
    const got = mean(readings.map(relative));
    return { state: "right", title: "Fits the teeth entered", text: `Reads ${angle(got)}, arm to body.` };
  }
  return offWords(plan, side, readings, answer.step_deg.fine);
}

/**
 * The verdict on a side. States: "none" (not read), "right" (on target), "tooth", "slip" (the reading itself is
 * doubted), "off" (further out than the spread explains), "open" (cannot be told).
 * @param {JobContext} ctx
 * @param {Plan} plan
 * @param {Side} side
 * @returns {Promise<Verdict>}
 */
export async function verdict(ctx, plan, side) {
  if (!readIn(ctx.sheet, plan, side).length) return { state: "none" };
  const { sheet } = ctx;
  const { request, ids } = ctx.request;
  let answer;
  try {
    answer = await ctx.model.checked(request);
  } catch (/** @type {any} */ problem) {
    return { state: "open", title: "This cannot be checked yet", text: problem.detail ?? String(problem.message) };
  }
  return judged({ sheet, ids, plan, side, answer });
}
