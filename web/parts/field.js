/* One number being typed, drawn: its label, its figure, its unit, and on which side of nought it lies in words. What is
   typed, by pad and keyboard alike, is figure.js's; every change is handed up. */

import { h } from "./dom.js";
import { Figure } from "./figure.js";
import { textOf } from "../work/typed.js";

/** @typedef {import("./figure.js").State} State */

/** Least width of a figure, in letters: what is typed must not push its unit about. */
const LETTERS = 4;
let count = 0;

/** The input of a figure. */
const inputOf = (/** @type {string} */ id) =>
  h("input", {
    id,
    class: "figure",
    inputmode: "none",
    autocomplete: "off",
    autocorrect: "off",
    spellcheck: "false",
    enterkeyhint: "next",
    size: LETTERS,
    placeholder: "–",
    "aria-describedby": `${id}-way ${id}-error`,
    maxlength: 10,
  });

/** The keys of the two ways. */
const KEYS = (/** @type {string[]} */ [plus, minus]) => `Plus key for ${plus}, minus key for ${minus}`;

/**
 * A field. `ways` is [positive, negative] in words or undefined; `state` is as kept by `onchange`; `shown` where the
 * arrow keys move the figure as it is shown (parts/pad.js), not toward plus and minus.
 * @param {{label: string, unit?: string, whole?: boolean, ways?: string[], nudge?: number, shown?: boolean,
 *   state?: Partial<State> | null, onchange?: (state: State) => void, onnext?: () => void, onactive?: () => void}} what
 *   `onchange` after every key, `onnext` on Enter, `onactive` when focused
 * @returns what stands on the page (node, input, error), what presses do (press, turn, put, tell), what is typed
 * (value, size, state, spoken), and what it was made of; `watch(f)` calls f now and after every change
 */
export function field({ label, shown = false, onchange, onnext, onactive, ...what }) {
  const id = `field-${(count += 1)}`;
  const figure = new Figure(what);
  const { unit = "", whole = false, ways, nudge = 1 } = what;
  const { inch } = figure;
  /** @type {(() => void)[]} */
  const watchers = [];
  const input = inputOf(id);
  if (ways) {
    input.setAttribute("aria-keyshortcuts", "+ -");
    input.setAttribute("aria-description", KEYS(ways));
  }
  const way = h("span", { class: "way", id: `${id}-way` });
  const error = h("p", { class: "error", id: `${id}-error`, role: "alert" });
  const node = h(
    "div",
    { class: `field${inch ? " inch" : ""}`, onclick: () => input.focus() },
    h("label", { for: id, text: label }),
    h("div", { class: "read" }, input, h("span", { class: "unit", text: inch ? "in" : unit.trim() }), way),
    error,
  );

  const draw = () => {
    if (input.value !== figure.text) input.value = figure.text;
    // Where the style cannot fit the field to its text; digits in bold are wider than the letter that this counts in.
    input.size = Math.max(LETTERS, figure.text.length + 1);
    input.toggleAttribute("data-long", figure.text.length > LETTERS);
    way.textContent = figure.beside();
    node.classList.toggle("prefilled", figure.prefilled);
    node.classList.toggle("way-chosen", Boolean(ways && figure.sign));
    for (const watcher of watchers) watcher();
  };
  const tell = (/** @type {string} */ text) => {
    error.textContent = text.charAt(0).toUpperCase() + text.slice(1);
    if (text) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  };
  const changed = () => {
    tell("");
    draw();
    onchange?.(figure.state());
  };
  const turn = (/** @type {number} */ sign) => {
    figure.sign = sign;
    changed();
  };
  const press = (/** @type {string} */ key) => {
    figure.press(key);
    changed();
  };
  const put = (/** @type {Partial<State>} */ next) => {
    figure.put(next);
    draw();
  };
  const watch = (/** @type {() => void} */ watcher) => {
    watchers.push(watcher);
    watcher();
  };
  listen(input, { figure, shown, changed, turn, press, onnext, onactive });
  draw();
  const value = () => figure.value();
  const size = () => figure.size();
  const state = () => figure.state();
  const spoken = () => figure.spoken();
  const made = { label, unit, whole, ways, nudge, inch };
  return { ...made, node, input, error, press, turn, put, tell, watch, value, size, state, spoken };
}

/**
 * What a keyboard does in the input.
 * @param {HTMLInputElement} input
 * @param {{ figure: Figure, shown: boolean, changed: () => void, turn: (sign: number) => void,
 *   press: (key: string) => void, onnext?: () => void, onactive?: () => void }} what
 */
function listen(input, { figure, shown, changed, turn, press, onnext, onactive }) {
  input.addEventListener("input", () => {
    figure.type(input.value);
    input.value = figure.text;
    changed();
  });
  input.addEventListener("focus", () => {
    // A keyboard's first digit takes the place of what is selected.
    if (figure.prefilled) input.select();
    onactive?.();
  });
  input.addEventListener("keydown", (event) => {
    const sign = ["-", "−"].includes(event.key) ? -1 : event.key === "+" ? 1 : 0;
    if (sign && figure.ways) turn(sign);
    else if (event.key === "ArrowUp") press(shown ? "up" : "more");
    else if (event.key === "ArrowDown") press(shown ? "down" : "less");
    else if (event.key === "Enter") onnext?.();
    else return;
    event.preventDefault();
  });
}

/**
 * The state of a field showing a value.
 * @param {number | null | undefined} value
 * @param {unknown} [signed] whether it has two ways
 * @returns {State | undefined}
 */
export const stateOf = (value, signed) =>
  value === undefined || value === null
    ? undefined
    : { text: textOf(value), sign: signed ? (value < 0 ? -1 : value > 0 ? 1 : null) : 1 };
