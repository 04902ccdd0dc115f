/* One number being typed: its label, its figure, its unit, and on which side of nought it lies in words.

   Owns the text and the sign while they are typed, for pad and keyboard alike; hands every change up. Lengths may be
   typed in inches (units.js); value and size are millimetres all the same. A signed
   number is a magnitude and one of two ways; until a way is chosen the number is not complete, so that no sign is
   ever assumed. A figure that was prefilled gives way to the first digit typed. */

import { h } from "./dom.js";
import { cleaned, magnitude, pressed, textOf, wholeOf } from "../work/typed.js";
import { inchText, inches, toMm } from "../work/units.js";

/** @typedef {{ text: string, sign: number | null, unit?: string, prefilled?: boolean }} State What is typed. */

let count = 0;

const MM = "mm";
const SIXTEENTH = 16;
const PART = /^1\/(2|4|8|16)$/;

/**
 * The text to start from, in the unit that is typed; `mm` is the value it stands for while it is left alone.
 * @param {Partial<State> | null | undefined} state
 * @param {boolean} inch
 * @returns {{ text: string, mm: number | null }}
 */
function first(state, inch) {
  const text = state?.text ?? "";
  if (inch === (state?.unit === "in")) return { text, mm: null };
  const size = magnitude(text);
  if (size === null) return { text: "", mm: null };
  return inch ? { text: inchText(size), mm: size } : { text: textOf(toMm(size)), mm: null };
}

/**
 * A field. `ways` is [positive, negative] in words or undefined; `state` is {text, sign, prefilled}, sign 1, -1 or
 * null. Presses: what typed.js takes, "more" and "less" (toward plus and minus), "up" and "down" (the figure as it is
 * shown, out on the other side below nought), and with inches a part, "1/2" to "1/16", added to what stands there.
 * `onchange(state)` after every key, `onnext()` on Enter, `onactive()` when focused.
 * @param {object} of
 * @param {string} of.label
 * @param {string} [of.unit]
 * @param {boolean} [of.whole]
 * @param {string[]} [of.ways]
 * @param {number} [of.nudge]
 * @param {boolean} [of.shown]
 * @param {Partial<State> | null} [of.state]
 * @param {(state: State) => void} [of.onchange]
 * @param {() => void} [of.onnext]
 * @param {() => void} [of.onactive]
 */
export function field({
  label,
  unit = "",
  whole = false,
  ways,
  nudge = 1,
  shown = false,
  state,
  onchange,
  onnext,
  onactive,
}) {
  const id = `field-${(count += 1)}`;
  const inch = unit.trim() === MM && inches();
  const start = first(state, inch);
  const how = { whole, fractions: inch };
  /** @type {State} */
  const now = { text: start.text, sign: state?.sign ?? (ways ? null : 1) };
  let prefilled = Boolean(state?.prefilled && start.text);
  /** @type {(() => void)[]} */
  const watchers = [];
  const input = h("input", {
    id, class: "figure", inputmode: "none", autocomplete: "off", autocorrect: "off", spellcheck: "false",
    enterkeyhint: "next", size: 4, placeholder: "–", "aria-describedby": `${id}-way ${id}-error`, maxlength: 10,
  }); // prettier-ignore
  const way = h("span", { class: "way", id: `${id}-way` });
  const error = h("p", { class: "error", id: `${id}-error`, role: "alert" });
  const node = h(
    "div",
    { class: "field", onclick: () => input.focus() },
    h("label", { for: id, text: label }),
    h("div", { class: "read" }, input, h("span", { class: "unit", text: inch ? "in" : unit.trim() }), way),
    error,
  );

  /** The magnitude in the unit of the question. */
  const sizeNow = () => {
    const size = magnitude(now.text);
    if (!inch || size === null) return size;
    // What was not touched stays what it was: 214 mm must not come back as 213.995.
    return start.mm !== null && now.text === start.text ? start.mm : Number(toMm(size).toFixed(2));
  };
  const value = () => {
    const size = sizeNow();
    if (size === null) return null;
    if (size === 0) return 0;
    return now.sign === null ? null : size * now.sign;
  };
  const draw = () => {
    if (input.value !== now.text) input.value = now.text;
    const size = sizeNow();
    const which = !ways || !size ? "" : now.sign === null ? "which way?" : ways[now.sign > 0 ? 0 : 1];
    way.textContent = [which, inch && size ? `${textOf(size)} mm` : ""].filter(Boolean).join(", ");
    node.classList.toggle("prefilled", prefilled);
    for (const watcher of watchers) watcher();
  };
  const stateNow = () => ({ ...now, ...(inch ? { unit: "in" } : {}), ...(prefilled ? { prefilled } : {}) });
  const changed = () => {
    tell("");
    draw();
    onchange?.(stateNow());
  };
  const tell = (/** @type {string} */ text) => {
    error.textContent = text.charAt(0).toUpperCase() + text.slice(1);
    input.toggleAttribute("aria-invalid", Boolean(text));
    if (text) input.setAttribute("aria-invalid", "true");
  };
  const turn = (/** @type {number | null} */ sign) => {
    now.sign = sign;
    changed();
  };
  /**
   * Move by one nudge toward plus (1) or minus (-1), through nought and out on the other side.
   * @param {number} direction
   */
  const nudgeBy = (direction, unsigned = false) => {
    const from = (magnitude(now.text) ?? 0) * (now.sign ?? 1);
    // Inches go to the next sixteenth.
    const to = inch
      ? Math.round(from * SIXTEENTH + direction) / SIXTEENTH
      : Number((from + direction * nudge).toFixed(4));
    if ((!ways || unsigned) && to < 0) return;
    now.text = inch ? inchText(toMm(Math.abs(to))) : textOf(to);
    if (ways && !unsigned && to !== 0) now.sign = Math.sign(to);
    changed();
  };
  /**
   * Move the figure as it is shown; what goes below nought comes out on the other side, where there are two.
   * @param {number} direction
   */
  const step = (direction) => {
    const unknown = ways && now.sign === null;
    // Where no way is chosen yet, a step chooses none.
    if (unknown && direction < 0 && !((magnitude(now.text) ?? 0) > 0)) return;
    nudgeBy(now.sign === -1 ? -direction : direction, unknown);
  };
  const addPart = (/** @type {number} */ part) => {
    const size = (prefilled ? 0 : (magnitude(now.text) ?? wholeOf(now.text))) + 1 / part;
    now.text = inchText(toMm(size));
  };
  const press = (/** @type {string} */ key) => {
    if (key === "more") return nudgeBy(1);
    if (key === "less") return nudgeBy(-1);
    if (key === "up") return step(1);
    if (key === "down") return step(-1);
    const part = inch ? PART.exec(key) : null;
    if (part) addPart(Number(part[1]));
    else now.text = pressed(prefilled && key !== "delete" ? "" : now.text, key, how);
    prefilled = false;
    return changed();
  };

  input.addEventListener("input", () => {
    now.text = cleaned(input.value, how);
    input.value = now.text;
    prefilled = false;
    changed();
  });
  input.addEventListener("focus", () => {
    // A keyboard's first digit takes the place of what is selected.
    if (prefilled) input.select();
    onactive?.();
  });
  input.addEventListener("keydown", (event) => {
    const sign = ["-", "−"].includes(event.key) ? -1 : event.key === "+" ? 1 : 0;
    if (sign && ways) turn(sign);
    else if (event.key === "ArrowUp") press(shown ? "up" : "more");
    else if (event.key === "ArrowDown") press(shown ? "down" : "less");
    else if (event.key === "Enter") onnext?.();
    else return;
    event.preventDefault();
  });
  const put = (/** @type {Partial<State>} */ { prefilled: given = false, ...next }) => {
    prefilled = given;
    Object.assign(now, next);
    draw();
  };
  /**
   * Hear of every change, from whatever hand; at once too.
   * @param {() => void} watcher
   */
  const watch = (watcher) => {
    watchers.push(watcher);
    watcher();
  };
  draw();
  const spoken = () => `${now.text || "empty"}${inch ? " inches" : unit}`;
  return {
    node,
    input,
    error,
    press,
    turn,
    put,
    value,
    tell,
    ways,
    state: stateNow,
    size: sizeNow,
    spoken,
    inch,
    whole,
    label,
    unit,
    nudge,
    watch,
  };
}

/**
 * The state of a field showing a value.
 * @param {number | null | undefined} value
 * @param {boolean} [signed]
 * @returns {State | undefined}
 */
export const stateOf = (value, signed) =>
  value === undefined || value === null
    ? undefined
    : { text: textOf(value), sign: signed ? (value < 0 ? -1 : value > 0 ? 1 : null) : 1 };
