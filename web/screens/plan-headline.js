/* The odds of an option, in words and number, and what limits it. Built once; `show` writes another option into it. Above the
   options stands the answer itself in one sentence, the model's own. */

import { h } from "../parts/dom.js";
import { inHundred, inWords, plain } from "../work/numbers.js";
import { lengthSpread, lengthsIn } from "../work/units.js";
import { formOf } from "../work/wish.js";
import { titled } from "../work/sentence.js";

/** The answer in one sentence: {node, show(answer)}. */
export function inOneSentence(answer) {
  const words = h("strong");
  // The model says arm down and up, the keys of this page tail down and up: one thing, two names, so it is said.
  const names = h("p", {
    class: "finer",
    text: "Arm down is tail down: it raises the car. Arm up is tail up: it lowers it.",
  });
  const node = h("div", { class: "headline" }, h("p", null, words), names);
  const show = ({ headline: { code, words: text } }) => {
    node.dataset.code = code;
    words.textContent = lengthsIn(text);
    names.classList.toggle("away", code !== "turn-degrees" && !/\barm (?:down|up)\b/.test(text));
  };
  show(answer);
  return { node, show };
}

/** What the odds are of. */
function landing({ left, right }, target) {
  if (formOf(target) === "hanging-angle") return "that both arms hang as wanted";
  return left.body_height_mm && right.body_height_mm
    ? "that both heights and the lean are right"
    : "that both sides change as wanted";
}

/** {node, show(option)}. `target` as the answer has it. */
export function headline(option, target) {
  const label = h("p", { class: "label" });
  const number = h("strong");
  const word = h("span");
  const meter = h("meter", { min: 0, max: 1, value: 0 });
  const after = h("p", { class: "finer" });
  const free = h("div", { class: "free" }, h("p", { class: "big" }, number, " ", word), meter, after);
  const why = h("ul");
  const stopped = h("div", { class: "free" }, h("p", { class: "big", text: "Cannot be had" }), why);
  const leans = document.createTextNode("");
  const lean = h("strong");
  const rest = document.createTextNode("");
  const node = h("section", { class: "odds" }, label, free, stopped, h("p", { class: "finer" }, leans, lean, rest));
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
    after.textContent = `${landing(next, target)} ${next.ends_disturbed ? "after this teardown" : "as the car stands"}.`;
    why.replaceChildren(...next.stopped_by.map((text) => h("li", { text: lengthsIn(text) })));
    leans.data = next.left.body_height_mm && next.right.body_height_mm ? "Lean " : "Lean changes by ";
    lean.textContent = lengthSpread(next.lean_mm);
    rest.data = `, rides at ${plain(next.ride_hz, 1)} Hz, diagonal load shifts by ${plain(next.cross_weight_kg, 0)} kg.`;
  };
  show(option);
  return { node, show };
}
