/* What narrows the shop's statistics: days, who entered the teardown, which car. */

import { h } from "../../parts/dom.js";
import { narrows, ofWhat } from "../../work/pc/shop-asks.js";

/** @import { Calibration } from "../../types/wire.d.ts" */
/** @import { Asked, Name } from "../../work/pc/shop-asks.js" */

const SAID = {
  label: "Which teardowns",
  since: "From",
  until: "Until",
  by: "Entered by",
  car: "Car",
  anybody: "anybody",
  any: "any car",
  all: "Show all",
};

/**
 * The fields, filled once the names to choose from are known, and what the figures are of.
 * @param {Asked} asked
 * @param {(change: Partial<Asked>) => void} changed
 */
export function narrowing(asked, changed) {
  /** @param {"since" | "until"} name */
  const day = (name) => {
    const input = h("input", { id: `shop-${name}`, type: "date", value: asked[name] });
    input.addEventListener("change", () => changed({ [name]: input.value }));
    return input;
  };
  /** @param {"by" | "car"} name */
  const choice = (name) => {
    const input = h("select", { id: `shop-${name}` });
    input.addEventListener("change", () => changed({ [name]: input.value }));
    return input;
  };
  const fields = { since: day("since"), until: day("until"), by: choice("by"), car: choice("car") };
  const told = h("p", { class: "where", role: "status" });
  const all = h("button", { type: "button", class: "chip off", onclick: () => clear() }, SAID.all);
  const show = () => {
    told.textContent = ofWhat(asked);
    all.hidden = !narrows(asked);
  };
  const clear = () => {
    for (const field of Object.values(fields)) field.value = "";
    changed({ since: "", until: "", by: "", car: "" });
    fields.since.focus();
  };
  /** @param {HTMLSelectElement} select @param {string} none @param {string[]} names @param {string} chosen */
  const fill = (select, none, names, chosen) => {
    const known = chosen && !names.includes(chosen) ? [...names, chosen] : names;
    select.replaceChildren(
      ...["", ...known].map((value) => h("option", { value, selected: value === chosen }, value || none)),
    );
  };
  fill(fields.by, SAID.anybody, [], asked.by);
  fill(fields.car, SAID.any, [], asked.car);
  show();
  const names = /** @type {Name[]} */ (Object.keys(fields));
  return {
    node: h(
      "div",
      { class: "narrowing" },
      h(
        "form",
        { class: "finding", "aria-label": SAID.label, onsubmit: (event) => event.preventDefault() },
        names.map((name) =>
          h("div", { class: "find" }, h("label", { for: `shop-${name}`, text: SAID[name] }), fields[name]),
        ),
        all,
      ),
      told,
    ),
    show,
    /** @param {Calibration["choices"]} choices */
    offer({ by, cars }) {
      fill(fields.by, SAID.anybody, by, asked.by);
      fill(fields.car, SAID.any, cars, asked.car);
    },
  };
}
