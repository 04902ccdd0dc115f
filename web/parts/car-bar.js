/* The bar above a screen: back, the car, what was saved last with its undo, and one way further (the log). Nothing here
   wraps to a second row. */

import { h } from "./dom.js";
import { icon } from "./icons.js";

/**
 * What was saved last, and how to take it back.
 * @typedef {{said: string, run: () => unknown}} Saved
 */

/** The note after saving: the word, and the key that takes it back. */
const savedNote = (/** @type {Saved} */ { said, run }) =>
  h(
    "div",
    { class: "saved", role: "status" },
    h("span", { class: "saved-word" }, "Saved", h("span", { class: "what", text: `: ${said}` })),
    h("button", { type: "button", class: "undo", "aria-label": `Undo: ${said}`, onclick: run }, "Undo"),
  );

/**
 * The bar. `back` what the back key does, `name` the car's, `href` where the name leads; `saved` what can be undone;
 * `to` the one way further (narrow: not where `more` stands); `more` parts for a wide window; `mark` what the shop
 * has to say.
 * @param {{back?: (() => void) | null, name: string, href?: string | null, title?: string,
 *   to?: {words: string, href: string, narrow?: boolean} | null, saved?: Saved | null, more?: Node | null,
 *   mark?: Node | null}} what
 * @returns {HTMLElement}
 */
export function carBar({ back, name, href, title, to, saved, more, mark }) {
  return h(
    "div",
    { class: "car-bar" },
    back ? h("button", { type: "button", class: "back", "aria-label": "Back", onclick: back }, icon("back")) : null,
    h(href ? "a" : "div", { class: "car", href, title }, h("span", { text: name })),
    mark ?? null,
    saved ? savedNote(saved) : null,
    more ?? null,
    to ? h("a", { class: to.narrow ? "to narrow" : "to", href: to.href }, to.words) : null,
  );
}
