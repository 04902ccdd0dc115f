/* The unit of lengths that was chosen in this browser: kept, and in force before anything is drawn. */

import { useLengths } from "../work/units.js";

const PLACE = "bothends/lengths";

function kept() {
  try {
    return localStorage.getItem(PLACE) === "in" ? "in" : "mm";
  } catch {
    return "mm";
  }
}

/**
 * Choose a unit for this browser.
 * @param {"mm" | "in"} unit
 */
export function setLengths(unit) {
  useLengths(unit);
  try {
    localStorage.setItem(PLACE, unit);
  } catch {
    // It holds as long as the page does.
  }
}

useLengths(kept());
