/* Large keys of which one is chosen: radio buttons underneath, so that arrows, Tab and screen readers work as they
   should. */

import { h } from "./dom.js";

/** @import { Child } from "./dom.js" */

/** @typedef {{ value: string, label: Child, cls?: string }} Key */

/**
 * A group of keys. `chosen` may be null (none yet). `onchoose(value)` hears of every change.
 * @param {{ name: string, legend: string, options: Key[], chosen: string | null, onchoose: (value: string) => void,
 *   cls?: string }} of
 */
export function choice({ name, legend, options, chosen, onchoose, cls = "" }) {
  return h(
    "fieldset",
    { class: `choice ${cls}` },
    h("legend", { class: "unseen", text: legend }),
    options.map(({ value, label, cls: own = "" }) =>
      h(
        "label",
        { class: `key pick ${own}` },
        h("input", { type: "radio", name, value, checked: value === chosen, onchange: () => onchoose(value) }),
        h("span", null, label),
      ),
    ),
  );
}

/**
 * Choose from outside; null chooses none.
 * @param {HTMLElement} group
 * @param {string | null} value
 */
export function choose(group, value) {
  for (const input of group.querySelectorAll("input")) input.checked = input.value === value;
}
