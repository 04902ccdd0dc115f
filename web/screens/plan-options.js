/* The options side by side, each a large key: odds, teeth, heights, lean, work. One is chosen and shown in full. */

import { h } from "../parts/dom.js";
import { inHundred, spread, turns } from "../work/numbers.js";
import { largerLift, liftWords } from "../work/lift.js";
import { titled } from "../work/sentence.js";

const known = ({ left, right }) => left.body_height_mm && right.body_height_mm;
/** Both heights; where a mark was never read, by how much each side rises. */
const heights = ({ left, right }) =>
  known({ left, right })
    ? `${spread(left.body_height_mm, "")}/ ${spread(right.body_height_mm, "mm")}`
    : `not read; rises by ${spread(left.rise_mm, "")}/ ${spread(right.rise_mm, "mm")}`;

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
      fact("left", turns(option.left)),
      fact("right", turns(option.right)),
      fact("heights", heights(option)),
      fact(known(option) ? "lean" : "lean changes by", spread(option.lean_mm, "mm")),
      fact("ends turned", String(option.ends_disturbed)),
      fact("largest lift", liftWords(largerLift(option.left.lift, option.right.lift))?.force ?? "none"),
    ),
  );
}

/** The group of options. */
export const options = (list, chosen, onchoose) =>
  h(
    "fieldset",
    { class: "options" },
    h("legend", null, h("h2", { text: "Side by side" })),
    h(
      "div",
      { class: "cards" },
      list.map((option, i) => card(option, i, chosen, onchoose)),
    ),
  );
