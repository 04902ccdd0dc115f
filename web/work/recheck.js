/* After some hundred kilometres the heights are read again: how far the car has settled, whether that is what cars
   do, whether it is still on target, and what to do. A recheck is a stage of its own and changes nothing of
   hand-over day. Draws nothing. */

import { BELIEFS, FRICTION_SD_MM, KINDS, SETTLING_MM } from "../model/facts.js";
import { whole } from "./due.js";
import { NINETY, plain } from "./numbers.js";
import { keptAbout, keptCar, keptTarget } from "./next-job.js";
import { SIDES } from "./readings.js";
import { readingsOf, stageOf } from "./sheet.js";
import { bareSpread, brief, lengthUnit } from "./units.js";
import { heightsOf, verdictOf } from "./verdict.js";
import { markOf } from "./wish.js";

/** @import { Folded, Sheet, Side, Sides, Stage } from "../types/sheet.d.ts" */

/** @typedef {{ mean: number, sd: number, apart: number }} Expected mm against hand-over day;
 *   `apart` one standard deviation of the two sides' difference. */
/** @typedef {{ km: number, state: "fine" | "settled-off" | "odd" | "unread", title: string, text: string,
 *   good: boolean, verdict: import("./verdict.js").Verdict, settled: Sides<number | null>,
 *   expected: Expected }} Recheck */

/** @typedef {"nothing" | "rubbers" | "bars" | "pivots"} Renewed */

/** What may have been renewed, in words; pivots are a front axle's. How far each settles is believed, no more. */
export const RENEWED = /** @type {{ value: Renewed, label: string, front?: boolean }[]} */ ([
  { value: "nothing", label: "Nothing" },
  { value: "rubbers", label: "Outer rubbers", front: false },
  { value: "pivots", label: "Pivots tightened anew", front: true },
  { value: "bars", label: "Bars" },
]);

/** What was renewed at this visit; null where nobody said.
 * @param {any} car
 * @returns {Renewed | null}
 */
export const renewedOf = (car) => car?.renewed ?? null;

/** "About 1 mm lower after some hundred km" and between what nine in ten settle, from what is believed; nothing is
 * planned for it.
 * @param {any} car
 */
export function settlesWords(car) {
  const [mean, sd] = SETTLING_MM[renewedOf(car) ?? "not-known"];
  const [low, high] = [mean - NINETY * sd, mean + NINETY * sd].map((mm) => brief(Math.abs(Math.round(mm))));
  return SAID.settles(brief(Math.abs(mean)), low, high);
}

/** Beyond so many standard deviations it is called more than settling: one sound car in a hundred. */
const ALARM = 2.576;
/** Kilometres offered to be typed over. Common practice ("after some hundred kilometres"), no source. */
export const USUAL_KM = 300;

const SAID = {
  fine: (/** @type {string} */ km) => `On target after ${km} km`,
  fineText: "Nothing to do.",
  off: (/** @type {string} */ title, /** @type {string} */ km) => `${title}, after ${km} km`,
  offText: "The car settled as cars do. A new job from here brings it back.",
  odd: (/** @type {string} */ sides) => `More than settling: ${sides}`,
  oddOn:
    "Still on target. Check tyres, load and place, read again. If it stays: check arm bolts and cover before driving.",
  oddOff: "Check tyres, load and place, read again. If it stays: check arm bolts and cover before driving.",
  noVerdict: (/** @type {string} */ km) => `Read after ${km} km`,
  sank: (/** @type {string} */ side, /** @type {string} */ by, /** @type {boolean} */ low) =>
    `${side} ${by} ${low ? "lower" : "higher"}`,
  settles: (/** @type {string} */ by, /** @type {string} */ low, /** @type {string} */ high) =>
    `Expect about ${by} lower after some hundred km. Of ten cars nine end from ${low} lower to ${high} higher ` +
    "(common practice, no source). Nothing is planned for it.",
  same: (/** @type {string} */ side) => `${side} as at hand-over`,
};

/** Share of a car's settling that it has reached after so many kilometres, 0 to 1 (as the model has it).
 * @param {number} km
 */
export const share = (km) => 1 - Math.exp(-km / BELIEFS.SETTLING_KM);

/**
 * How far a side stands above hand-over day by what cars do, and how far that may be off: settling, friction, tape.
 * @param {number} km
 * @param {{ what?: keyof typeof KINDS, then?: number, now?: number, renewed?: Renewed | null }} [read] kind, how often
 *   each was read, what was renewed at the visit
 * @returns {Expected}
 */
export function expected(km, { what = "body-height", then = 1, now = 1, renewed = null } = {}) {
  const [mean, sd] = SETTLING_MM[renewed ?? "not-known"];
  const part = share(km);
  const tape = KINDS[what].sd ** 2 * (1 / then + 1 / now);
  // Each settling leaves friction of its own, which repeats in one settling share.
  const noise = 2 * FRICTION_SD_MM ** 2 + tape;
  const own = (part * BELIEFS.SETTLING_SIDE_MM) ** 2 / 2;
  return {
    mean: part * mean,
    sd: Math.sqrt((part * sd) ** 2 + own + noise),
    apart: Math.sqrt(2 * (own + noise)),
  };
}

const kmText = (/** @type {number} */ km) => plain(km, Number.isInteger(km) ? 0 : 1);

/** "left 2 mm lower, right as at hand-over".
 * @param {Sides<number | null>} settled
 */
export function settledWords(settled) {
  return SIDES.flatMap((side) => {
    const by = settled[/** @type {Side} */ (side)];
    if (by === null) return [];
    return Math.abs(by) < 0.05 ? SAID.same(side) : SAID.sank(side, brief(Math.abs(by)), by < 0);
  }).join(", ");
}

/** "−0.9 ± 4 mm": what cars do, the range that holds 90 in 100.
 * @param {Expected} expected
 */
export const expectedWords = ({ mean, sd }) => `${bareSpread({ value: mean, sd })} ${lengthUnit()}`;

/** Sides that stand further from hand-over day than settling explains. */
function oddSides(/** @type {Sides<number | null>} */ settled, /** @type {Expected} */ { mean, sd, apart }) {
  const { left, right } = settled;
  const out = /** @type {Side[]} */ (SIDES).filter((side) => {
    const by = settled[side];
    return by !== null && Math.abs(by - mean) > ALARM * sd;
  });
  if (out.length || left === null || right === null || Math.abs(left - right) <= ALARM * apart) return out;
  return [/** @type {Side} */ (Math.abs(left - mean) > Math.abs(right - mean) ? "left" : "right")];
}

/**
 * What a recheck tells: settled or wrong, within the target or not, what to do.
 * @param {Pick<Folded, "sheet">} job
 * @param {Stage} stage a recheck of it
 * @returns {Recheck}
 */
export function recheckOf({ sheet }, stage) {
  const km = /** @type {number} */ (stage.after_km);
  const what = /** @type {keyof typeof KINDS} */ (markOf(stage.target));
  const all = readingsOf(sheet, { what, pose: {}, teardown: stage.teardown });
  const often = (/** @type {number | null} */ at) =>
    Math.max(1, Math.floor(all.filter((row) => (row.after_km ?? null) === at).length / 2));
  const by = expected(km, { what, then: often(null), now: often(km), renewed: renewedOf(sheet.car) });
  const settled = { left: stage.settled?.left_mm ?? null, right: stage.settled?.right_mm ?? null };
  const verdict = verdictOf(stage, stage.still_within);
  const rest = { km, verdict, settled, expected: by };
  if (!whole(stage)) return { ...rest, state: "unread", title: verdict.title, text: "", good: false };
  const odd = oddSides(settled, by);
  const met = stage.still_within;
  if (odd.length) {
    const sides = settledWords({
      left: null,
      right: null,
      ...Object.fromEntries(odd.map((side) => [side, settled[side]])),
    });
    return { ...rest, state: "odd", title: SAID.odd(sides), text: met ? SAID.oddOn : SAID.oddOff, good: false };
  }
  if (met === false)
    return {
      ...rest,
      state: "settled-off",
      title: SAID.off(verdict.title, kmText(km)),
      text: SAID.offText,
      good: false,
    };
  const title = met === null ? SAID.noVerdict(kmText(km)) : SAID.fine(kmText(km));
  return { ...rest, state: "fine", title, text: SAID.fineText, good: true };
}

/**
 * The entries of a new job that begins where a recheck found the car: what is known of it, the target as heights,
 * both heights as found.
 * @param {Folded} job
 * @param {Stage} stage
 * @returns {[string, any][]}
 */
export function jobFrom({ sheet, request, stages }, stage) {
  const day = stageOf(stages, stage.teardown);
  const what = markOf(stage.target);
  const heights = heightsOf(stage);
  const posterior = sheet.closed?.posterior;
  return [
    [
      "job",
      { ...keptAbout(sheet), wish: `Bring it back on target, ${kmText(Number(stage.after_km))} km after hand-over` },
    ],
    ["car", keptCar(request.request.car)],
    ["target", keptTarget(request.request.target, /** @type {any} */ (day?.target ?? stage.target))],
    ...(posterior ? [/** @type {[string, any]} */ (["known", { use: true, job: sheet.job, posterior }])] : []),
    ...SIDES.map(
      (side) =>
        /** @type {[string, any]} */ ([
          "reading",
          { what, side, value: heights[/** @type {Side} */ (side)], teardown: 0 },
        ]),
    ),
  ];
}
