/* Ask one thing in front of the page: large keys with a sentence each. The browser's own dialog keeps the focus. */

import { h } from "./dom.js";

/**
 * Resolves to the value picked, or null when it was closed.
 * @param {{ title: string, options: { value: string, label: string, text: string }[], chosen?: string | null }} of
 * @returns {Promise<string | null>}
 */
export function pickOne({ title, options, chosen }) {
  return new Promise((resolve) => {
    const dialog = h(
      "dialog",
      { "aria-labelledby": "dialog-title" },
      h(
        "form",
        { method: "dialog" },
        h("h2", { id: "dialog-title", text: title }),
        options.map(({ value, label, text }) =>
          h(
            "button",
            { class: `key wide entry${value === chosen ? " on" : ""}`, value, autofocus: value === chosen },
            h("strong", { text: label }),
            h("span", { text }),
          ),
        ),
      ),
    );
    // Whoever goes back leaves the question too.
    const leave = () => dialog.close("");
    addEventListener("popstate", leave, { once: true });
    dialog.addEventListener("close", () => {
      removeEventListener("popstate", leave);
      dialog.remove();
      resolve(dialog.returnValue || null);
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}
