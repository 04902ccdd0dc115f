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
  // One after the other: a tick that is still on its way to the disk must not swallow the next one.
  let before = Promise.resolve(true);
  const row = (/** @type {{key: string, text: string, done: boolean}} */ { key, text, done }) => {
    const set = async () => {
      const done = box.checked;
      before = before.then(() => ontick(key, done, text));
      if (!(await before)) box.checked = !done;
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
