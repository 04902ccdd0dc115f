/* One number being typed: its label, its figure, its unit, and on which side of nought it lies in words.

   Owns the text and the sign while they are typed, for pad and keyboard alike; hands every change up. A signed
   number is a magnitude and one of two ways; until a way is chosen the number is not complete, so that no sign is
   ever assumed. */

import { h } from "./dom.js";
import { cleaned, magnitude, pressed, textOf } from "./typed.js";

let count = 0;

/**
 * A field. `ways` is [positive, negative] in words or undefined; `state` is {text, sign}, sign 1, -1 or null.
 * `onchange(state)` after every key, `onnext()` on Enter, `onactive()` when focused.
 * Returns {node, input, press, nudge, turn, put, value, state, tell}.
 */
export function field({ label, unit = "", whole = false, ways, nudge = 1, state, onchange, onnext, onactive }) {
  const id = `field-${(count += 1)}`;
  const now = { text: state?.text ?? "", sign: state?.sign ?? (ways ? null : 1) };
  const input = h("input", {
    id, class: "figure", inputmode: "none", autocomplete: "off", autocorrect: "off", spellcheck: "false",
    enterkeyhint: "next", size: 4, placeholder: "–", "aria-describedby": `${id}-way ${id}-error`, maxlength: 9,
  }); // prettier-ignore
  const way = h("span", { class: "way", id: `${id}-way` });
  const error = h("p", { class: "error", id: `${id}-error`, role: "alert" });
  const node = h(
    "div",
    { class: "field", onclick: () => input.focus() },
    h("label", { for: id, text: label }),
    h("div", { class: "read" }, input, h("span", { class: "unit", text: unit.trim() }), way),
    error,
  );

  const value = () => {
    const size = magnitude(now.text);
    if (size === null) return null;
    if (size === 0) return 0;
    return now.sign === null ? null : size * now.sign;
  };
  const draw = () => {
    if (input.value !== now.text) input.value = now.text;
    const size = magnitude(now.text);
    way.textContent = !ways || !size ? "" : now.sign === null ? "which way?" : ways[now.sign > 0 ? 0 : 1];
  };
  const changed = () => {
    tell("");
    draw();
    onchange?.({ ...now });
  };
  const tell = (text) => {
    error.textContent = text.charAt(0).toUpperCase() + text.slice(1);
    input.toggleAttribute("aria-invalid", Boolean(text));
    if (text) input.setAttribute("aria-invalid", "true");
  };
  const turn = (sign) => {
    now.sign = sign;
    changed();
  };
  /** Move by one nudge toward plus (1) or minus (-1), through nought and out on the other side. */
  const nudgeBy = (direction) => {
    const from = (magnitude(now.text) ?? 0) * (now.sign ?? 1);
    const to = Number((from + direction * nudge).toFixed(4));
    if (!ways && to < 0) return;
    now.text = textOf(to);
    if (ways && to !== 0) now.sign = Math.sign(to);
    changed();
  };
  const press = (key) => {
    if (key === "more") nudgeBy(1);
    else if (key === "less") nudgeBy(-1);
    else {
      now.text = pressed(now.text, key, whole);
      changed();
    }
  };

  input.addEventListener("input", () => {
    now.text = cleaned(input.value, whole);
    input.value = now.text;
    changed();
  });
  input.addEventListener("focus", () => onactive?.());
  input.addEventListener("keydown", (event) => {
    const sign = { "-": -1, "−": -1, "+": 1 }[event.key];
    if (sign && ways) turn(sign);
    else if (event.key === "ArrowUp") nudgeBy(1);
    else if (event.key === "ArrowDown") nudgeBy(-1);
    else if (event.key === "Enter") onnext?.();
    else return;
    event.preventDefault();
  });
  const put = (next) => {
    Object.assign(now, next);
    draw();
  };
  draw();
  return { node, input, press, turn, put, value, tell, ways, state: () => ({ ...now }), size: () => magnitude(now.text) };
}

/** The state of a field showing a value. */
export const stateOf = (value, signed) =>
  value === undefined || value === null ? undefined : { text: textOf(value), sign: signed ? (value < 0 ? -1 : value > 0 ? 1 : null) : 1 };
