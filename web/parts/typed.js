/* The text of a number being typed, one key at a time. Pure: text in, text out; no sign, which has keys of its own. */

import { decimalMark } from "./numbers.js";

const LONGEST = 7;

/** Only digits and one decimal mark, as this phone writes it; comma and point both count. */
export function cleaned(text, whole = false) {
  let out = "";
  for (const c of text) {
    if (c >= "0" && c <= "9") out += c;
    else if ((c === "." || c === ",") && !whole && !out.includes(decimalMark)) out += (out === "" ? "0" : "") + decimalMark;
  }
  return out.slice(0, LONGEST);
}

/** The text after one key: a digit, the mark, or "delete". */
export function pressed(text, key, whole = false) {
  if (key === "delete") return text.slice(0, -1);
  return cleaned(text === "0" && key >= "0" && key <= "9" ? key : text + key, whole);
}

/** The magnitude typed, or null where nothing is. */
export function magnitude(text) {
  const value = Number.parseFloat(text.replace(decimalMark, "."));
  return Number.isFinite(value) ? value : null;
}

/** The text of a magnitude, without needless zeros. */
export const textOf = (value) => String(Number(Math.abs(value).toFixed(3))).replace(".", decimalMark);
