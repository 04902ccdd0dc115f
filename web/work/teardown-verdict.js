/* What an arm read hanging after its teeth were turned: right, a tooth out and at which end, or something else.

   The model on this phone judges, with the move and the reading in the log; this only words it. */

import { readingsOf } from "./sheet.js";
import { ANGLE_SD_WITH_DATUM, KINDS } from "../model/facts.js";
import { angle, plain, teeth, way } from "./numbers.js";
import { byPlan, moveOf } from "./promise.js";
import { repair } from "./repair.js";

/** Spread of a gauge where the reading names none, and what a clean pair of readings may differ by, [deg]. */
const GAUGE_SD = { zeroed: KINDS["hanging-angle"].sd, datum: ANGLE_SD_WITH_DATUM };
const MODEL_SD = KINDS["hanging-angle"].error;
const OTHER = { inner: "outer", outer: "inner" };

/** Readings of that side, hanging, after that teardown. */
export const readIn = (sheet, plan, side) =>
  readingsOf(sheet, { what: "hanging-angle", side, teardown: plan.teardown });

/** What the gauge should show: {arm} relative to the body, and its spread, [deg]. */
export function expected(plan, side, reading) {
  const gauge =
    reading?.sd ??
    (reading && (reading.datum === undefined || reading.datum === null) ? GAUGE_SD.zeroed : GAUGE_SD.datum);
  const before = plan[side].hanging_now_deg?.sd ?? GAUGE_SD.datum;
  return { arm: plan[side].hanging_deg, sd: Math.hypot(before, gauge, MODEL_SD) };
}

const mean = (list) => list.reduce((sum, each) => sum + each, 0) / list.length;
const relative = (reading) => reading.value - (reading.datum ?? 0);

/** A tooth out, in words. */
function toothWords(doubt, planned, move) {
  const { side, end } = doubt;
  if (doubt.repaired_value === null || doubt.repaired_value === undefined || !OTHER[end])
    return { title: "That does not fit the teeth entered", text: doubt.text };
  const is = Math.round(doubt.repaired_value);
  const was = planned[side][end] ?? move[side][end];
  const many = Math.abs(is) > Math.abs(was);
  const off = move[side][end] - is;
  const also = doubt.also ? ` Nearly as likely: ${doubt.also.text}` : "";
  const by = Math.abs(off) === 1 ? "one tooth" : `${Math.abs(off)} teeth`;
  return {
    title: `That is ${by} too ${many ? "many" : "few"} at the ${end} end`,
    text: `It hangs as if the ${end} end had been turned ${teeth(is)}, not ${teeth(was)}.${also}`,
    remedy: `To put it right: turn the ${end} end by ${by} ${way(off)}, then read again.`,
    take: `Leave it so: ${teeth(is)}`,
  };
}

/** The reading itself is doubted: what likely happened, and what would fit. */
function slipWords({ doubt, id }, readings, sheet) {
  const fix = repair(
    doubt,
    readings.find((each) => each.id === id),
    sheet,
  );
  const value = fix && doubt.guess !== "sides swapped" ? angle(doubt.repaired_value) : "";
  return {
    state: "slip",
    fix,
    title: "That reading does not fit",
    text: `${doubt.guess.charAt(0).toUpperCase()}${doubt.guess.slice(1)}?${value ? ` ${value} would fit.` : ""}`,
    take: fix ? (value ? `Take ${value}` : "Exchange left and right") : undefined,
  };
}

const withoutDatum = ({ reference, datum }) => reference === "gravity" && (datum === undefined || datum === null);

/** How far it hangs from where the plan wanted it, where nothing is doubted; `fine` what one tooth at both ends makes, [deg]. */
function offWords(plan, side, readings, fine) {
  const got = mean(readings.map(relative));
  const { arm, sd } = expected(plan, side, readings.at(-1));
  const off = got - arm;
  const text = `Hangs at ${angle(got)} to the body; ${angle(arm)} ± ${plain(sd, 1)}° was to be.`;
  if (Math.abs(off) <= 2 * sd) return { state: "right", title: "Right", text };
  return {
    state: "off",
    title: `${plain(Math.abs(off), 1)}° further ${way(off)} than it should be`,
    text: `${text} Less than a whole tooth: read again.${fine === null ? "" : ` One tooth out at both ends, against each other, makes ${plain(fine, 1)}°.`}`,
  };
}

/** The verdict by what the model answers to the job's request; `ids` names the entry of each of the request's log. */
export function judged({ sheet, ids, plan, side, answer }) {
  const readings = readIn(sheet, plan, side);
  const move = moveOf(sheet, plan.teardown);
  const found = answer.doubts.map((doubt) => ({ doubt, id: ids[doubt.log_index] }));
  const about = found.find(({ doubt, id }) => move && id === move.id && doubt.side === side);
  if (about) {
    const fix = repair(about.doubt, { ...move, kind: "move" }, sheet);
    return { state: "tooth", fix, ...toothWords(about.doubt, plan, move) };
  }
  const slip = found.find(({ id }) => readings.some((reading) => reading.id === id));
  if (slip) return slipWords(slip, readings, sheet);
  if (readings.some(withoutDatum)) {
    return {
      state: "open",
      title: "Nothing speaks against it",
      text: "Read without a datum, so only the difference between the sides can tell.",
    };
  }
  if (!byPlan(plan, move, side)) {
    const got = mean(readings.map(relative));
    return { state: "right", title: "Right", text: `Fits the teeth as entered: ${angle(got)} to the body.` };
  }
  return offWords(plan, side, readings, answer.step_deg.fine);
}

/**
 * The verdict on a side: {state, title, text, remedy, take, fix}. States: "none" (not read), "right", "tooth", "slip" (the
 * reading itself is doubted), "off" (further out than the spread explains), "open" (cannot be told).
 */
export async function verdict(ctx, plan, side) {
  if (!readIn(ctx.sheet, plan, side).length) return { state: "none" };
  const { sheet } = ctx;
  const { request, ids } = ctx.request;
  let answer;
  try {
    answer = await ctx.model.checked(request);
  } catch (problem) {
    return { state: "open", title: "This cannot be checked yet", text: problem.detail ?? String(problem.message) };
  }
  return judged({ sheet, ids, plan, side, answer });
}
