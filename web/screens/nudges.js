/* What the two nudge keys say: half a degree more tail down, one millimetre more, for eye and ear. */

import { plain } from "../parts/numbers.js";

/** Labels for the pad, from a question or a kind of reading. */
export function nudges({ nudge = 1, unit = "", ways, signed }) {
  const arm = signed || ways?.[0].startsWith("tail");
  const size = nudge === 0.5 ? "½" : plain(nudge, nudge < 0.1 ? 2 : 0);
  const spoken = `${nudge === 0.5 ? "half a" : nudge} ${unit.trim() === "°" ? "degree" : unit.trim() === "mm" ? "millimetre" : unit.trim()}`.trim();
  if (arm) return { more: `▼ ${size}°`, less: `▲ ${size}°`, moreSpoken: `${spoken} further tail down`, lessSpoken: `${spoken} further tail up` };
  const tail = unit.trim() === "mm" || unit.trim() === "kg" || unit.trim() === "°" ? unit : "";
  return { more: `+${size}${tail}`, less: `−${size}${tail}`, moreSpoken: `${spoken} more`, lessSpoken: `${spoken} less` };
}
