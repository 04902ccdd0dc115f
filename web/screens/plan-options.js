/* The options side by side, each a large key: odds, teeth, heights, lean, work. One is chosen and shown in full. */

import { h } from "../parts/dom.js";
import { inHundred, plain, spread, teeth } from "../parts/numbers.js";

const ends = ({ inner, outer }) => {
  const parts = [inner ? `inner ${teeth(inner)}` : "", outer ? `outer ${teeth(outer)}` : ""].filter(Boolean);
  return parts.join(", ") || "leave";
};

/** First letter large; labels come from the model in small letters. */
export const titled = (label) => label.charAt(0).toUpperCase() + label.slice(1);

function card(option, i, chosen, onchoose) {
  const fact = (name, value) => h("span", { class: "fact" }, h("span", { class: "name", text: `${name} ` }), value);
  return h(
    "label",
    { class: option.stopped_by.length ? "option stopped" : "option" },
    h("input", { type: "radio", name: "option", value: String(i), checked: i === chosen, onchange: () => onchoose(i) }),
    h(
      "span",
      { class: "inside" },
      h("strong", { class: "label", text: titled(option.label) }),
      h("span", { class: "odds", text: option.stopped_by.length ? "stopped" : inHundred(option.odds) }),
      fact("left", ends(option.left)),
      fact("right", ends(option.right)),
      fact("heights", `${spread(option.left.body_height_mm, "")}/ ${spread(option.right.body_height_mm, "mm")}`),
      fact("lean", spread(option.lean_mm, "mm")),
      fact("ends turned", String(option.ends_disturbed)),
      fact("largest lift", `${plain(Math.max(option.left.lift.force_n, option.right.lift.force_n), 0)} N`),
    ),
  );
}

/** The group of options. */
export const options = (list, chosen, onchoose) =>
  h(
    "fieldset",
    { class: "options" },
    h("legend", null, h("h2", { text: "Side by side" })),
    h("div", { class: "cards" }, list.map((option, i) => card(option, i, chosen, onchoose))),
  );
