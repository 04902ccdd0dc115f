/* What was read before in the same pose, with its spread: each can be opened; the open one can be struck. */

import { strikeOf } from "../work/sheet.js";
import { h } from "./dom.js";
import { plain } from "../work/numbers.js";
import { READINGS, valueOf } from "../work/readings.js";
import { readRoute } from "../work/guide.js";

/** @import { ReadingRow } from "../types/sheet.d.ts" */
/** @import { JobContext } from "../types/context.d.ts" */

/**
 * Largest less smallest, in words; "" for fewer than two.
 * @param {ReadingRow[]} readings
 */
export function spreadOf(readings) {
  if (readings.length < 2) return "";
  const values = readings.map((r) => r.value - (r.datum ?? 0));
  const { unit, signed } = READINGS[readings[0].what];
  return `spread ${plain(Math.max(...values) - Math.min(...values), signed ? 1 : 0)}${unit}`;
}

/**
 * The strip above the drawing.
 * @param {JobContext} ctx
 * @param {ReadingRow[]} readings
 * @param {ReadingRow | null} [open] the one that is being changed
 */
export function before(ctx, readings, open) {
  if (open) {
    return h(
      "p",
      { class: "before" },
      h("span", { text: `Entered as ${valueOf(open)}.` }),
      h("button", { type: "button", class: "key small danger", onclick: async () => {
        if (!(await ctx.save([strikeOf(open)]))) return;
        ctx.solved(open.id);
        ctx.go({ words: ["list"] });
      } }, "Strike this reading"),
    ); // prettier-ignore
  }
  if (!readings.length) return null;
  return h(
    "p",
    { class: "before" },
    h("span", { text: `Read before: ` }),
    readings.map((r) =>
      h("a", { class: "key small", href: ctx.href(readRoute({ ...r, entry: r.id })), text: valueOf(r) }),
    ),
    readings.length > 1 ? h("span", { text: spreadOf(readings) }) : null,
  );
}
