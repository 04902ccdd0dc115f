/* <key-pad>: our own number pad, large enough for a glove. Speaks by a "press" event whose detail is a digit, ".",
   "delete", "more", "less", "second" or "next"; with fractions also " " and "/". Takes labels by `show()`; does not know what is being typed. */

import { h, unseen } from "./dom.js";
import { decimalMark } from "../work/numbers.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

class KeyPad extends HTMLElement {
  /** {whole, fractions, more, less, second, next}; a nudge is {text, heard, arrow}: what is seen, what is heard after it. */
  show({ whole = false, fractions = false, more, less, second, next = "Next" }) {
    const key = (press, label, cls = "", spoken) =>
      h("button", { type: "button", class: `key ${cls}`, "data-press": press, "aria-label": spoken }, label);
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
    this.addEventListener("pointerdown", (event) => event.target.closest("button") && event.preventDefault());
    this.addEventListener("click", (event) => {
      const pressed = event.target.closest("button")?.dataset.press;
      if (pressed) this.dispatchEvent(new CustomEvent("press", { detail: pressed }));
    });
  }
}

customElements.define("key-pad", KeyPad);

/** A pad with labels and a listener for its presses. */
export function keyPad(labels, onpress) {
  const pad = document.createElement("key-pad");
  pad.show(labels);
  pad.addEventListener("press", (event) => onpress(event.detail));
  return pad;
}
