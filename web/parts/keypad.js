/* <key-pad>: our own number pad, large enough for a glove. Speaks by a "press" event whose detail is a digit, ".",
   "delete", "more", "less", "second" or "next"; with fractions also " " and "/". Takes labels by `show()`; does not know
   what is being typed. */

import { h, unseen } from "./dom.js";
import { decimalMark } from "../work/numbers.js";

/** @import { Child } from "./dom.js" */
/** @import { Label } from "../work/nudges.js" */

/**
 * @typedef {object} Labels
 * @property {boolean} [whole]
 * @property {boolean} [fractions]
 * @property {Label} more
 * @property {Label} less
 * @property {string | null} [second]
 * @property {string} [next]
 */

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

class KeyPad extends HTMLElement {
  listening = false;

  /** @param {Labels} labels a nudge is what is seen, and what is heard after it */
  show({ whole = false, fractions = false, more, less, second, next = "Next" }) {
    /** @type {(press: string, label: Child, cls?: string, spoken?: string) => HTMLElement} */
    const key = (press, label, cls = "", spoken = undefined) =>
      h("button", { type: "button", class: `key ${cls}`, "data-press": press, "aria-label": spoken }, label);
    /** @type {(press: string, label: Label) => HTMLElement} */
    const nudge = (press, { text, heard, arrow }) =>
      key(press, [text, unseen(heard)], `tool nudge ${arrow ? `points ${arrow}` : ""}`);
    const digits = DIGITS.map((d) => key(d, d, "digit"));
    const side = [key("delete", "⌫", "tool", "delete"), nudge("more", more), nudge("less", less)];
    const rows = [0, 1, 2].flatMap((i) => [...digits.slice(3 * i, 3 * i + 3), side[i]]);
    const mark = whole
      ? h("span", { class: "blank" })
      : key(".", decimalMark, "digit", decimalMark === "," ? "decimal comma" : "decimal point");
    const last = second ? [key("second", second, "tool"), key("next", next, "main")] : [key("next", next, "main wide")];
    const parts = fractions
      ? [
          key(" ", ["8 ¼", unseen(": space before a fraction")], "tool wide"),
          key("/", "/", "tool wide", "fraction stroke"),
        ]
      : [];
    this.classList.toggle("fractions", fractions);
    this.replaceChildren(...rows, ...parts, mark, key("0", "0", "digit"), ...last);
    if (this.listening) return;
    this.listening = true;
    // The field keeps the focus while keys are tapped, so a keyboard can go on where a finger stopped.
    const hit = (/** @type {Event} */ event) => /** @type {Element} */ (event.target).closest("button");
    this.addEventListener("pointerdown", (event) => {
      if (hit(event)) event.preventDefault();
    });
    this.addEventListener("click", (event) => {
      const pressed = hit(event)?.dataset.press;
      if (pressed) this.dispatchEvent(new CustomEvent("press", { detail: pressed }));
    });
  }
}

customElements.define("key-pad", KeyPad);

/**
 * A pad with labels and a listener for its presses.
 * @param {Labels} labels
 * @param {(key: string) => void} onpress
 */
export function keyPad(labels, onpress) {
  const pad = /** @type {KeyPad} */ (document.createElement("key-pad"));
  pad.show(labels);
  pad.addEventListener("press", (event) => onpress(/** @type {CustomEvent<string>} */ (event).detail));
  return pad;
}
