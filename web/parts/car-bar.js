/* The bar above a screen in rows: back, the car, and one way further (the log). Nothing here wraps to a second row. */

import { h } from "./dom.js";
import { icon } from "./icons.js";

/**
 * The bar. `back` what the back key does, `name` the car's, `href` where the name leads; `to` the one way further;
 * `saved` a word instead of it where nothing leads further; `more` parts for a wide window.
 * @param {{back?: (() => void) | null, name: string, href?: string | null, title?: string,
 *   to?: {words: string, href: string} | null, saved?: string, more?: Node | null}} what
 * @returns {HTMLElement}
 */
export function carBar({ back, name, href, title, to, saved, more }) {
  return h(
    "div",
    { class: "car-bar" },
    back ? h("button", { type: "button", class: "back", "aria-label": "Back", onclick: back }, icon("back")) : null,
    h(href ? "a" : "div", { class: "car", href, title }, h("span", { text: name })),
    saved ? h("span", { class: "saved", role: "status", text: saved }) : null,
    to ? h("a", { class: "to", href: to.href }, to.words) : null,
    more ?? null,
  );
}
