/* The text of a number being typed, one key at a time. Pure: text in, text out; no sign, which has keys of its own.

   A number is digits with one decimal mark, or with inches digits and a fraction: "8.25", "8 1/4", "3/8". */

import { decimalMark } from "./numbers.js";

const LONGEST = 7;
const LONGEST_FRACTION = 9;
const FRACTION = /^(?:(\d+) )?(\d+)\/(\d+)$/;

/** @typedef {{ whole?: boolean, fractions?: boolean }} How Which numbers can be typed. */

const DIGIT = /^\d$/;
const DIGITS = /^\d+$/;
const TO_STROKE = /^(\d+ )?\d+$/;

/**
 * What a character adds to a number typed so far; "" where it does not belong there.
 * @param {string} out
 * @param {string} c
 * @param {How} how
 */
function added(out, c, { whole, fractions }) {
  if (DIGIT.test(c)) return c;
  if (c === "." || c === ",") {
    const point = !whole && !out.includes(decimalMark) && !/[ /]/.test(out);
    return point ? `${out === "" ? "0" : ""}${decimalMark}` : "";
  }
  if (!fractions) return "";
  if (c === " ") return DIGITS.test(out) ? c : "";
  return c === "/" && TO_STROKE.test(out) ? c : "";
}

/**
 * Only what belongs to a number, as this phone writes it; comma and point both count, space and stroke in a fraction.
 * @param {string} text
 * @param {How} [how]
 */
export function cleaned(text, { whole = false, fractions = false } = {}) {
  let out = "";
  for (const c of text) out += added(out, c, { whole, fractions });
  return out.slice(0, fractions ? LONGEST_FRACTION : LONGEST);
}

/**
 * The text after one key: a digit, the mark, " ", "/" or "delete".
 * @param {string} text
 * @param {string} key
 * @param {How} [how]
 */
export function pressed(text, key, how) {
  if (key === "delete") return text.slice(0, -1);
  return cleaned(text === "0" && key >= "0" && key <= "9" ? key : text + key, how);
}

/**
 * The magnitude typed, or null where nothing is, or only half a fraction.
 * @param {string} text
 */
export function magnitude(text) {
  const parts = FRACTION.exec(text.trim());
  if (parts) {
    const value = Number(parts[1] ?? 0) + Number(parts[2]) / Number(parts[3]);
    return Number.isFinite(value) ? value : null;
  }
  if (/[ /]/.test(text.trim())) return null;
  const value = Number.parseFloat(text.replace(decimalMark, "."));
  return Number.isFinite(value) ? value : null;
}

/**
 * The whole number at the head of a text, 0 where there is none: what stands before half a fraction.
 * @param {string} text
 * @returns {number}
 */
export const wholeOf = (text) => Number.parseInt(/^\d+(?= |$)/.exec(text)?.[0] ?? "0", 10);

/**
 * The text of a magnitude, without needless zeros.
 * @param {number} value
 */
export const textOf = (value) => String(Number(Math.abs(value).toFixed(3))).replace(".", decimalMark);
