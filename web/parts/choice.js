/* Large keys of which one is chosen: radio buttons underneath, so arrows, Tab and screen readers work as they should. */

import { h } from "./dom.js";

/**
 * A group of keys. `options` is a list of {value, label, cls}; `chosen` may be null (none yet).
 * `onchoose(value)` hears of every change.
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

/** Choose from outside; null chooses none. */
export function choose(group, value) {
  for (const input of group.querySelectorAll("input")) input.checked = input.value === value;
}
