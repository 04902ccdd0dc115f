/* Numbers as people read them: decimals, units, plus-minus, arm down and arm up, chances.

   Owns rounding and wording only; values stay in degrees, millimetres, kilograms, newtons as the contract has them. */

import { NINETY } from "../model/facts.js";

const MARK = new Intl.NumberFormat().formatToParts(1.5).find((part) => part.type === "decimal")?.value ?? ".";

/** The decimal mark of this phone's language. */
export const decimalMark = MARK;

/**
 * A number with fixed decimals and this phone's mark; a true minus sign.
 * @param {number} value
 */
export function plain(value, places = 1) {
  const text = Math.abs(value).toFixed(places);
  const sign = value < 0 && Number(text) !== 0 ? "−" : "";
  return sign + text.replace(".", MARK);
}

/**
 * How many there are, from a thousand on in groups of three digits: "10,000".
 * @param {number} count
 */
export const grouped = (count) => String(count).replace(/\B(?=(\d{3})+$)/g, ",");

/**
 * A number with no more decimals than it needs, up to `most`.
 * @param {number} value
 */
export const short = (value, most = 3) =>
  plain(value, 0 + Math.min(most, (String(Number(Math.abs(value).toFixed(most))).split(".")[1] ?? "").length));

/**
 * "arm down", "arm up" or "level", for an angle or a count of teeth.
 * @param {number} value
 */
export const way = (value) => (value > 0 ? "arm down" : value < 0 ? "arm up" : "level");

/**
 * "3.1° arm down".
 * @param {number} value
 */
export function angle(value, places = 1) {
  const text = plain(Math.abs(value), places);
  return Number(Math.abs(value).toFixed(places)) === 0 ? `${text}°` : `${text}° ${way(value)}`;
}

/** What is said where nothing is turned. */
const STILL = "no change";

export { NINETY };

/**
 * "249.9 ± 2.4 mm": an estimate never without its spread, the range that holds 90 in 100.
 * @param {{ value: number, sd: number }} estimate one standard deviation in `sd`
 * @param {string} unit
 */
export const spread = ({ value, sd }, unit, places = 0) =>
  `${plain(value, places)} ± ${plain(NINETY * sd, places)} ${unit}`;

/**
 * "5.7° arm down", "no change": what a side is turned by where its teeth are not counted; in the words of the model's
 * own sentences.
 * @param {number} deg
 */
export function turn(deg) {
  const text = plain(Math.abs(deg), 1);
  return Number(Math.abs(deg).toFixed(1)) === 0 ? STILL : `${text}° arm ${deg > 0 ? "down" : "up"}`;
}

/**
 * "3 teeth arm up", "1 tooth arm down", "no change".
 * @param {number} count
 */
export function teeth(count) {
  if (count === 0) return STILL;
  return `${Math.abs(count)} ${Math.abs(count) === 1 ? "tooth" : "teeth"} ${way(count)}`;
}

/**
 * What a side of a plan turns: "inner 3 teeth arm up, outer 4 teeth arm down", or degrees; `still` where nothing.
 * @param {import("./sheet.js").Turned} side
 */
export function turns({ inner = null, outer = null, turn_deg: deg }, still = STILL) {
  if (inner === null && outer === null) return deg && turn(deg) !== STILL ? turn(deg) : still;
  return (
    [inner ? `inner ${teeth(inner)}` : "", outer ? `outer ${teeth(outer)}` : ""].filter(Boolean).join(", ") || still
  );
}

/** @param {number} odds */
const hundred = (odds) =>
  odds > 0 && odds < 0.005 ? "under 1" : odds < 1 && odds >= 0.995 ? "over 99" : String(Math.round(odds * 100));

/**
 * "91 in 100".
 * @param {number} odds
 */
export const inHundred = (odds) => `${hundred(odds)} in 100`;
