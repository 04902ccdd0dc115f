/* A compact list of what is done, each a row that is ticked: boxes underneath, so that Space and screen readers
   work. */

import { h } from "./dom.js";
import { icon } from "./icons.js";

/**
 * Rows to tick. `ontick(key, done)` gives whether it was kept; where not, the box goes back.
 * @param {{rows: {key: string, text: string, done: boolean}[], label: string,
 *   ontick: (key: string, done: boolean, text: string) => Promise<boolean>}} what
 * @returns {HTMLElement}
 */
export function ticks({ rows, label, ontick }) {
  const row = (/** @type {{key: string, text: string, done: boolean}} */ { key, text, done }) => {
    const set = async () => {
      if (!(await ontick(key, box.checked, text))) box.checked = !box.checked;
    };
    const box = h("input", { id: `tick-${key}`, type: "checkbox", checked: done, onchange: set });
    return h(
      "li",
      null,
      h("label", { class: "tick-row" }, box, h("span", { class: "box" }, icon("tick")), h("span", { text })),
    );
  };
  return h("ul", { class: "tick-rows", "aria-label": label }, rows.map(row));
}
