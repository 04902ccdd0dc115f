/* The odds of an option, in words and number, and what limits it. Built once; `show` writes another option into it. */

import { h } from "../parts/dom.js";
import { inHundred, inWords, plain } from "../parts/numbers.js";
import { lengthSpread } from "../parts/units.js";
import { titled } from "./plan-options.js";

/** {node, show(option)}. */
export function headline(option) {
  const label = h("p", { class: "label" });
  const number = h("strong");
  const word = h("span");
  const meter = h("meter", { min: 0, max: 1, value: 0 });
  const after = h("p", { class: "finer" });
  const free = h("div", { class: "free" }, h("p", { class: "big" }, number, " ", word), meter, after);
  const why = h("ul");
  const stopped = h("div", { class: "free" }, h("p", { class: "big", text: "Cannot be had" }), why);
  const lean = h("strong");
  const rest = document.createTextNode("");
  const node = h("section", { class: "odds" }, label, free, stopped, h("p", { class: "finer" }, "Lean ", lean, rest));
  const show = (next) => {
    const stops = next.stopped_by.length > 0;
    node.classList.toggle("stopped", stops);
    free.classList.toggle("away", stops);
    stopped.classList.toggle("away", !stops);
    label.textContent = titled(next.label);
    number.textContent = inHundred(next.odds);
    word.textContent = inWords(next.odds);
    meter.value = next.odds;
    meter.setAttribute("aria-label", `odds ${inHundred(next.odds)}`);
    after.textContent = `that both heights and the lean are right ${next.ends_disturbed ? "after this teardown" : "as the car stands"}.`;
    why.replaceChildren(...next.stopped_by.map((text) => h("li", { text })));
    lean.textContent = lengthSpread(next.lean_mm);
    rest.data = `, rides at ${plain(next.ride_hz, 1)} Hz, diagonal load shifts by ${plain(next.cross_weight_kg, 0)} kg.`;
  };
  show(option);
  return { node, show };
}
