/* What stands beside a reading: what was read before in the same pose, the reading that is being changed, where the car
   stood, how the gauge is used, the way to the phone as gauge. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { spreadOf } from "../parts/repeats.js";
import { obstacle } from "../parts/tilt.js";
import { readRoute } from "../work/guide.js";
import { valueOf } from "../work/readings.js";
import { lastSpot, newSpot } from "../work/spots.js";
import { strikeOf } from "../work/sheet.js";
import { ZERO_WORDS } from "../parts/gauge-zero.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { ReadingRow, Side, What } from "../types/sheet.d.ts" */
/** @import { Route } from "../work/guide.js" */

const WORDS = {
  before: "Read before:",
  entered: (/** @type {string} */ value) => `Entered as ${value}.`,
  strike: "Remove reading",
  same: "Same place as before",
  other: "Another place",
  spot: "Where does the car stand?",
  phone: "By phone",
};

/** Earlier readings of the same place, each a key that opens it, and their spread.
 * @param {JobContext} ctx @param {ReadingRow[]} readings @returns {Element | null} */
export function before(ctx, readings) {
  if (!readings.length) return null;
  return h(
    "p",
    { class: "before" },
    h("span", { text: WORDS.before }),
    readings.map((row) =>
      h("a", { class: "key small", href: ctx.href(readRoute({ ...row, entry: row.id })), text: valueOf(row) }),
    ),
    readings.length > 1 ? h("span", { text: spreadOf(readings) }) : null,
  );
}

/** The reading that is changed, and the key that removes it.
 * @param {JobContext} ctx @param {ReadingRow} entry @returns {Element} */
export function entered(ctx, entry) {
  const strike = async () => {
    if (!(await ctx.save([strikeOf(entry)]))) return;
    ctx.solved(entry.id);
    ctx.go({ words: ["list"] });
  };
  return h(
    "p",
    { class: "before" },
    h("span", { text: WORDS.entered(valueOf(entry)) }),
    h("button", { type: "button", class: "key small danger", onclick: strike }, WORDS.strike),
  );
}

/** Whether the car stands where it stood.
 * @param {JobContext} ctx @param {string} spot @param {(spot: string) => void} onchoose @returns {Element} */
export function spotKeys(ctx, spot, onchoose) {
  const last = lastSpot(ctx.sheet);
  return choice({
    name: "spot",
    legend: WORDS.spot,
    cls: "compact spot",
    chosen: spot === last ? "same" : "other",
    options: [
      { value: "same", label: WORDS.same },
      { value: "other", label: WORDS.other },
    ],
    onchoose: (/** @type {string} */ value) => onchoose(value === "same" ? last : newSpot(ctx.sheet)),
  });
}

/** In the drawing's corner: how the gauge is used, and the phone as gauge where this may be one.
 * @param {JobContext} ctx @param {string} how @param {What} what @param {Side} side @returns {Element} */
export function corner(ctx, how, what, side) {
  const phone = matchMedia("(pointer: coarse)").matches && obstacle() !== "missing";
  const { zero: _, ...query } = ctx.query;
  const key = (/** @type {string} */ words, /** @type {Route} */ to, /** @type {string} */ heard) =>
    h("a", { class: "corner-key", href: ctx.href(to), "aria-label": heard, text: words });
  return h(
    "div",
    { class: "corner-keys" },
    key(ZERO_WORDS[how], { words: ctx.words, query: { ...query, zero: 1 } }, `Gauge: ${ZERO_WORDS[how]}. Change`),
    phone ? key(WORDS.phone, { words: ["gauge", what, side], query }, WORDS.phone) : null,
  );
}

/** In the drawing's other corner: a photo of the gauge. It comes once the screen stands.
 * @param {JobContext} ctx @param {What} what @param {Side} side @param {number} teardown @returns {Element} */
export function photoCorner(ctx, what, side, teardown) {
  const place = h("div");
  const about = /** @type {const} */ ({ shows: "gauge", side, what, teardown });
  import("../parts/photo-key.js").then(
    ({ photoCorner }) => place.replaceWith(photoCorner(ctx, about, { stays: true })),
    () => {},
  );
  return place;
}
