/* Cautions, always in the open: never folded away, never a tooltip. */

import { h, s } from "./dom.js";

const sign = () =>
  s(
    "svg",
    { class: "sign", viewBox: "0 0 32 32", "aria-hidden": "true" },
    s("path", { d: "M16 3 L30 28 H2 Z" }),
    s("path", { class: "bang", d: "M16 11 V19 M16 23 V24.5" }),
  );

/**
 * A block of cautions under a heading; nothing when there are none.
 * @param {string} heading
 * @param {string[]} list
 * @param {"h2" | "h3" | "h4"} [level]
 */
export function cautions(heading, list, level = "h2") {
  if (!list.length) return null;
  return h(
    "section",
    { class: "cautions" },
    h(level, null, sign(), heading),
    h(
      "ul",
      null,
      list.map((text) => h("li", { text })),
    ),
  );
}
