/* A hazard at the step where it bites: signal word with its triangle on a band of ink, the text whole on pale ground.
   Never folded away, never cut: a shell holds its main key until the end was seen. */

import { h, s } from "./dom.js";

/** WARNING could kill or maim, CAUTION could injure, NOTICE could damage (the pattern of ANSI Z535 and ISO 3864). */
export const SIGNALS = ["WARNING", "CAUTION", "NOTICE"];

/** Figures keep their units, and a range its ends, on one line. */
const together = (/** @type {string} */ text) =>
  text
    .replace(/(\d) (?=(?:N·m|N|mm|kg|J|in|°|teeth|tooth)(?!\w))/g, "$1\u00a0")
    .replace(/(\d) to (?=\d)/g, "$1\u00a0to ");

const triangle = () =>
  s(
    "svg",
    { class: "triangle", viewBox: "0 0 30 27", "aria-hidden": "true" },
    s("path", { d: "M15 1.5L29 25.5H1Z" }),
    s("path", { class: "bang", d: "M15 9V17" }),
    s("circle", { cx: 15, cy: 21.4, r: 1.9 }),
  );

/**
 * A warning. `text` is one paragraph or several; `signal` one of SIGNALS.
 * @param {{text: string | string[], signal?: string, level?: import("./dom.js").Heading}} what
 * @returns {HTMLElement}
 */
export function warning({ text, signal = SIGNALS[0], level = "h2" }) {
  return h(
    "section",
    { class: `warn ${signal.toLowerCase()}` },
    h(level, { class: "signal" }, signal === "NOTICE" ? null : triangle(), signal),
    [text].flat().map((part) => h("p", { text: together(part) })),
  );
}
