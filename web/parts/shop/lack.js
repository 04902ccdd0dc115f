/* Why an answer of the shop is missing, what is shown in its place, and the way to mend it. */

import { h } from "../dom.js";
import { useStyle } from "../style.js";

/**
 * Why the shop's answer is missing, what is shown in its place, and the way to mend it.
 * @param {{ code: string, text: string }} lack
 * @param {string} instead
 * @param {() => void} again
 */
export function lackNote({ code, text }, instead, again) {
  useStyle("lack");
  const pair = code === "not-paired" || code === "key-refused" || code === "not-allowed";
  return h(
    "div",
    { class: "refused lack", role: "status" },
    h("p", null, h("strong", { text }), ` ${instead}`),
    h(
      "div",
      { class: "keys" },
      pair
        ? h("a", { class: "key", href: "#/pair" }, "Pair with the shop")
        : h("button", { type: "button", class: "key", onclick: again }, "Try again"),
    ),
  );
}
