/* What the two nudge keys say, for eye and ear: half a degree further tail down, one millimetre more, a sixteenth inch. */

import { plain } from "./numbers.js";
import { inches } from "./units.js";

/** @typedef {{ text: string, heard: string, arrow?: "down" | "up" }} Label */

/**
 * Labels for the pad, from a question or a kind of reading.
 * @param {{ nudge?: number, unit?: string, ways?: string[], signed?: boolean }} of
 * @returns {{ fractions?: boolean, more: Label, less: Label }}
 */
export function nudges({ nudge = 1, unit = "", ways, signed }) {
  const arm = signed || ways?.[0].startsWith("tail");
  const size = nudge === 0.5 ? "½" : plain(nudge, nudge < 0.1 ? 2 : 0);
  if (arm) {
    return {
      more: { text: `${size}°`, heard: " further tail down", arrow: "down" },
      less: { text: `${size}°`, heard: " further tail up", arrow: "up" },
    };
  }
  if (unit.trim() === "mm" && inches())
    return {
      fractions: true,
      more: { text: "+1/16", heard: " inch more" },
      less: { text: "−1/16", heard: " inch less" },
    };
  const tail = [" mm", " kg", "°"].includes(unit) ? unit : "";
  return { more: { text: `+${size}${tail}`, heard: " more" }, less: { text: `−${size}${tail}`, heard: " less" } };
}
