/* What a figure is typed with: the figure in its box between minus and plus, the digits in the order hands know, and in
   a column beside them the two ways an arm goes (up above down), or the parts of an inch. With a fine pointer on a wide
   window digits come from the keyboard and only box, minus, plus and ways are drawn (style/pad.css).

   Knows no question: fields (field.js) own what is typed, so that a key, a keyboard and a draft are one thing. */

import { choice, choose } from "./choice.js";
import { h, say, unseen } from "./dom.js";
import { repeating } from "./hold.js";
import { armSign, icon } from "./icons.js";
import { decimalMark, plain } from "../work/numbers.js";

/** @typedef {ReturnType<typeof import("./field.js").field>} Field */

/** Parts of an inch, as a press and as they are seen. */
const PARTS = Object.entries({ "1/2": "½", "1/4": "¼", "1/8": "⅛", "1/16": "1⁄16" });
const ARM = /^(arm|tail) down/;
let groups = 0;

/** What minus and plus are called: "1 mm more", "a sixteenth inch less". */
function stepName(/** @type {Field} */ field, /** @type {string} */ which) {
  if (field.inch) return `a sixteenth inch ${which}`;
  const places = Number.isInteger(field.nudge) ? 0 : String(field.nudge).split(".")[1].length;
  return `${plain(field.nudge, places)}${field.unit} ${which}`;
}

/** The digits, point, nought and delete. */
function digits(/** @type {Field} */ field, /** @type {(key: string) => void} */ press) {
  const key = (
    /** @type {string} */ name,
    /** @type {any} */ label,
    cls = "",
    /** @type {string | undefined} */ heard = undefined,
  ) =>
    h(
      "button",
      {
        type: "button",
        class: `key ${cls}`.trim(),
        "data-press": name,
        "aria-label": heard,
        onclick: () => press(name),
      },
      label,
    );
  const mark = field.whole
    ? h("span", { class: "no-key" })
    : key(".", decimalMark, "quiet", decimalMark === "," ? "decimal comma" : "decimal point");
  return h(
    "div",
    { class: "digits" },
    [..."123456789"].map((digit) => key(digit, digit)),
    mark,
    key("0", "0"),
    key("delete", icon("delete"), "quiet", "delete"),
  );
}

/** The two ways of a signed figure: an arm's with its picture, up above down. */
function wayKeys(/** @type {Field} */ field, /** @type {"left" | "right"} */ side) {
  const [plus, minus] = field.ways ?? [];
  const arm = ARM.test(plus);
  const label = (/** @type {string} */ words, /** @type {boolean} */ down) => [
    arm ? armSign(side, down) : null,
    h("span", { class: "words", text: words }),
    // Heard with the figure, which takes it (field.js).
    h("kbd", { "aria-hidden": "true", text: down ? "+" : "−" }),
  ];
  const options = [
    { value: "1", label: label(plus, true) },
    { value: "-1", label: label(minus, false) },
  ];
  const node = choice({
    name: `way-${(groups += 1)}`,
    legend: `${plus} or ${minus}`,
    cls: "two-ways",
    options: arm ? options.reverse() : options,
    chosen: null,
    onchoose: (/** @type {string} */ value) => field.turn(Number(value)),
  });
  field.watch(() => {
    const { sign } = field.state();
    choose(node, sign === null ? null : String(sign));
  });
  return node;
}

/** The parts of an inch: each adds itself, so that any sixteenth is one to four taps. */
function inchKeys(/** @type {(key: string) => void} */ press) {
  return h(
    "div",
    { class: "parts-of-inch", role: "group", "aria-label": "Add a part of an inch" },
    PARTS.map(([name, label]) =>
      h(
        "button",
        { type: "button", class: "key", "data-press": name, onclick: () => press(name) },
        label,
        unseen(" inch more"),
      ),
    ),
  );
}

/**
 * Figures with their keys, for a shell's `typed`.
 *
 * `fields` are one or more of field.js, made with `shown: true`; `side` the side an arm is seen from; `onactive(field)`
 * hears which one is typed into. The label of a single field is heard only: the screen's title says it.
 * @param {{fields: Field[], side?: "left" | "right", onactive?: (field: Field) => void, below?: Node | null}} what
 * @returns {{node: HTMLElement, activate: (field: Field) => void, active: () => Field}}
 */
export function pad({ fields, side = "left", onactive, below }) {
  let now = fields[0];
  const press = (/** @type {string} */ key) => {
    now.press(key);
    say(now.spoken());
  };
  const less = repeating(
    h("button", { type: "button", class: "key quiet one-step", "data-press": "less" }, icon("minus")),
    () => press("down"),
  );
  const more = repeating(
    h("button", { type: "button", class: "key quiet one-step", "data-press": "more" }, icon("plus")),
    () => press("up"),
  );
  const keys = h("div", { class: "pad" });
  const draw = () => {
    const ways = now.ways ? wayKeys(now, side) : null;
    const inch = now.inch ? inchKeys(press) : null;
    less.setAttribute("aria-label", stepName(now, "less"));
    more.setAttribute("aria-label", stepName(now, "more"));
    keys.className = ["pad", ways ? "with-ways" : "", inch ? "with-parts" : ""].filter(Boolean).join(" ");
    keys.replaceChildren(digits(now, press), ...[inch, ways].filter((part) => part !== null));
    for (const field of fields) field.node.classList.toggle("active", field === now);
  };
  const activate = (/** @type {Field} */ field) => {
    if (field === now) return;
    now = field;
    draw();
    onactive?.(field);
  };
  for (const field of fields) field.input.addEventListener("focus", () => activate(field));
  const node = h(
    "div",
    { class: `typed${fields.length > 1 ? " many" : ""}` },
    h(
      "div",
      { class: "value-row" },
      less,
      h(
        "div",
        { class: "values" },
        fields.map((field) => field.node),
      ),
      more,
    ),
    // Under the row: the box has one line, and what is wrong is said whole.
    fields.map((field) => field.error),
    below ?? null,
    keys,
  );
  // The field keeps the focus while keys are tapped, so that a keyboard can go on where a finger stopped.
  node.addEventListener("pointerdown", (event) => {
    if (/** @type {Element} */ (event.target).closest("button")) event.preventDefault();
  });
  draw();
  return { node, activate, active: () => now };
}
