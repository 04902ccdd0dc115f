/* What an arm read hanging after its teeth were turned: right, a tooth out and at which end, or something else.

   The model on this phone judges, with the move and the reading in the log; this only words it. */

import { readingsOf } from "./sheet.js";
import { checked } from "../model/check.js";
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

/**
 * The verdict on a side: {state, title, text, remedy, take, fix}. States: "none" (not read), "right", "tooth", "slip" (the
 * reading itself is doubted), "off" (further out than the spread explains), "open" (cannot be told).
 */
export async function verdict(ctx, plan, side) {
  const { sheet } = ctx;
  const readings = readIn(sheet, plan, side);
  if (!readings.length) return { state: "none" };
  const { request, ids } = ctx.request;
  const move = moveOf(sheet, plan.teardown);
  let answer;
  try {
    answer = await checked(request);
  } catch (problem) {
    return { state: "open", title: "This cannot be checked yet", text: problem.detail ?? String(problem.message) };
  }
  const found = answer.doubts.map((doubt) => ({ doubt, id: ids[doubt.log_index] }));
  const about = found.find(({ doubt, id }) => move && id === move.id && doubt.side === side);
  if (about) {
    const fix = repair(about.doubt, { ...move, kind: "move" }, sheet);
    return { state: "tooth", fix, ...toothWords(about.doubt, plan, move) };
  }
  const slip = found.find(({ id }) => readings.some((reading) => reading.id === id));
  if (slip) {
    const reading = readings.find((each) => each.id === slip.id);
    const fix = repair(slip.doubt, reading, sheet);
    const value = fix && slip.doubt.guess !== "sides swapped" ? angle(slip.doubt.repaired_value) : "";
    return {
      state: "slip",
      fix,
      title: "That reading does not fit",
      text: `${slip.doubt.guess.charAt(0).toUpperCase()}${slip.doubt.guess.slice(1)}?${value ? ` ${value} would fit.` : ""}`,
      take: fix ? (value ? `Take ${value}` : "Exchange left and right") : undefined,
    };
  }
  const got = mean(readings.map(relative));
  if (
    readings.some(
      (reading) => reading.reference === "gravity" && (reading.datum === undefined || reading.datum === null),
    )
  ) {
    return {
      state: "open",
      title: "Nothing speaks against it",
      text: "Read without a datum, so only the difference between the sides can tell.",
    };
  }
  if (!byPlan(plan, move, side)) {
    return { state: "right", title: "Right", text: `Fits the teeth as entered: ${angle(got)} to the body.` };
  }
  const { arm, sd } = expected(plan, side, readings.at(-1));
  const off = got - arm;
  if (Math.abs(off) <= 2 * sd)
    return {
      state: "right",
      title: "Right",
      text: `Hangs at ${angle(got)} to the body; ${angle(arm)} ± ${plain(sd, 1)}° was to be.`,
    };
  const fine = answer.step_deg.fine;
  return {
    state: "off",
    title: `${plain(Math.abs(off), 1)}° further ${way(off)} than it should be`,
    text: `Hangs at ${angle(got)} to the body; ${angle(arm)} ± ${plain(sd, 1)}° was to be. Less than a whole tooth: read again.${fine === null ? "" : ` One tooth out at both ends, against each other, makes ${plain(fine, 1)}°.`}`,
  };
}
