/* A chance as a rack of twenty spline teeth, five in a hundred each: solid, what it is now; hatched, what the reading
   that is offered would add; outlined, the rest. */

import { h, s } from "./dom.js";
import { inHundred } from "../work/numbers.js";

const TEETH = 20;
const WIDE = 20;
const HIGH = 14.2;

/** How many teeth a chance fills. */
const filled = (/** @type {number | null | undefined} */ odds) => Math.round((odds ?? 0) * TEETH);

/** One tooth, left edge at x. */
function tooth(/** @type {number} */ x) {
  const edge = "M1 13.2L3 1H15L17 13.2Z";
  return s(
    "g",
    { class: "tooth", transform: `translate(${x + 1} 0)` },
    s("path", { class: "edge", d: edge }),
    s("path", { class: "hatch", d: "M2.1 8L6 1.4M2 13L9.6 1.4M7 13L13.8 1.4M11.6 13L16 6" }),
    s("path", { class: "full", d: edge }),
  );
}

/**
 * A rack. `chance` and `with` are from 0 to 1, or null where there is none; `heard` false where words beside it say it.
 * @param {{chance: number | null, with?: number | null, heard?: boolean}} what
 * @returns {{node: HTMLElement, show: (what: {chance: number | null, with?: number | null}) => void}}
 */
export function rack({ heard = true, ...what }) {
  const teeth = Array.from({ length: TEETH }, (_, i) => tooth(i * WIDE));
  const svg = s(
    "svg",
    { viewBox: `0 0 ${TEETH * WIDE} ${HIGH}`, preserveAspectRatio: "none", "aria-hidden": "true" },
    teeth,
  );
  const node = h("span", { class: "rack", role: heard ? "img" : null, "aria-hidden": heard ? null : "true" }, svg);
  const show = (/** @type {{chance: number | null, with?: number | null}} */ { chance, with: after }) => {
    const [solid, reached] = [filled(chance), filled(after ?? chance)];
    teeth.forEach((one, i) => one.setAttribute("data-fill", i < solid ? "solid" : i < reached ? "hatched" : "empty"));
    const more = after !== null && after !== undefined && reached > solid;
    const gain = more ? `, ${inHundred(after)} with what is offered` : "";
    if (heard) node.setAttribute("aria-label", (chance === null ? "no chance yet" : inHundred(chance)) + gain);
  };
  show(what);
  return { node, show };
}
