/* That a job's customer was erased, in words. */

import { shortDate } from "./dates.js";

/** @import { Sheet } from "../types/sheet.d.ts" */

const SAID = {
  on: (/** @type {string} */ day) => `Customer erased on ${day}`,
  some: "Customer erased",
};

/**
 * "Customer erased on 3 May 2026", "" where nobody was.
 * @param {Pick<Sheet, "erased">} sheet
 */
export function erasedWords({ erased }) {
  if (!erased) return "";
  return erased.at ? SAID.on(shortDate(erased.at)) : SAID.some;
}
