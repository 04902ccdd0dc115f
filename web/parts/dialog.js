/* Ask one thing in front of the page: large keys with a sentence each. The browser's own dialog keeps the focus. */

import { h, inFront } from "./dom.js";

/**
 * Resolves to the value picked, or null when it was closed; `lines` are said above the options.
 * @param {{title: string, options: {value: string, label: string, text?: string}[], chosen?: string | null,
 *   lines?: string[]}} what
 * @returns {Promise<string | null>}
 */
export function pickOne({ title, options, chosen, lines = [] }) {
  return new Promise((resolve) => {
    const dialog = h(
      "dialog",
      { "aria-labelledby": "dialog-title" },
      h(
        "form",
        { method: "dialog" },
        h("h2", { id: "dialog-title", text: title }),
        lines.length
          ? h(
              "ul",
              { class: "dialog-lines" },
              lines.map((text) => h("li", { text })),
            )
          : null,
        options.map(({ value, label, text }) =>
          h(
            "button",
            { class: `key wide entry${value === chosen ? " on" : ""}`, value, autofocus: value === chosen },
            h("strong", { text: label }),
            text ? h("span", { text }) : null,
          ),
        ),
      ),
    );
    inFront(dialog, () => resolve(dialog.returnValue || null));
  });
}
