/* A number while it is typed: its text, its sign, and whether it was prefilled. No page: field.js draws it.

   Lengths may be typed in inches (units.js); value and size are millimetres all the same. A signed number is a
   magnitude and one of two ways; until a way is chosen the number is not complete, so that no sign is ever assumed. A
   figure that was prefilled gives way to the first digit typed. */

import { cleaned, magnitude, pressed, textOf, wholeOf } from "../work/typed.js";
import { inchText, inches, toMm } from "../work/units.js";

/**
 * What is kept of a number being typed; sign 1, -1 or null (no way chosen yet); unit "in" where inches are typed.
 * @typedef {{text: string, sign: number | null, unit?: string, prefilled?: boolean}} State
 */

const MM = "mm";
const SIXTEENTH = 16;
const PART = /^1\/(2|4|8|16)$/;

/** The text to start from, in the unit that is typed; `mm` is the value it stands for while it is left alone. */
function first(/** @type {Partial<State> | null | undefined} */ state, /** @type {boolean} */ inch) {
  const text = state?.text ?? "";
  if (inch === (state?.unit === "in")) return { text, mm: null };
  const size = magnitude(text);
  if (size === null) return { text: "", mm: null };
  return inch ? { text: inchText(size), mm: size } : { text: textOf(toMm(size)), mm: null };
}

/** A number being typed. */
export class Figure {
  /**
   * @param {{unit?: string, whole?: boolean, ways?: string[], nudge?: number, state?: Partial<State> | null}} what
   *   `ways` is [positive, negative] in words or undefined; `nudge` one step, in the unit
   */
  constructor({ unit = "", whole = false, ways, nudge = 1, state }) {
    this.unit = unit;
    this.ways = ways;
    this.nudge = nudge;
    this.inch = unit.trim() === MM && inches();
    this.how = { whole, fractions: this.inch };
    this.start = first(state, this.inch);
    this.text = this.start.text;
    /** @type {number | null} */
    this.sign = state?.sign ?? (ways ? null : 1);
    this.prefilled = Boolean(state?.prefilled && this.text);
  }

  /** The magnitude in the unit of the question, or null. */
  size() {
    const size = magnitude(this.text);
    if (!this.inch || size === null) return size;
    // What was not touched stays what it was: 214 mm must not come back as 213.995.
    const { mm, text } = this.start;
    return mm !== null && this.text === text ? mm : Number(toMm(size).toFixed(2));
  }

  /** The signed number, or null while it is not complete. */
  value() {
    const size = this.size();
    if (!size) return size;
    return this.sign === null ? null : size * this.sign;
  }

  /**
   * What to keep of it.
   * @returns {State}
   */
  state() {
    const { text, sign } = this;
    return { text, sign, ...(this.inch ? { unit: "in" } : {}), ...(this.prefilled ? { prefilled: true } : {}) };
  }

  /** What is said beside the figure: its way in words, and with inches the millimetres. */
  beside() {
    const size = this.size();
    const which = !this.ways || !size ? "" : this.sign === null ? "which way?" : this.ways[this.sign > 0 ? 0 : 1];
    return [which, this.inch && size ? `${textOf(size)} mm` : ""].filter(Boolean).join(", ");
  }

  /** What is heard of it. */
  spoken() {
    return `${this.text || "empty"}${this.inch ? " inches" : this.unit}`;
  }

  /** Move by one nudge toward plus (1) or minus (-1), through nought and out on the other side. */
  move(/** @type {number} */ direction, unsigned = false) {
    const from = (magnitude(this.text) ?? 0) * (this.sign ?? 1);
    // Inches go to the next sixteenth.
    const to = this.inch
      ? Math.round(from * SIXTEENTH + direction) / SIXTEENTH
      : Number((from + direction * this.nudge).toFixed(4));
    if ((!this.ways || unsigned) && to < 0) return;
    this.text = this.inch ? inchText(toMm(Math.abs(to))) : textOf(to);
    if (this.ways && !unsigned && to !== 0) this.sign = Math.sign(to);
  }

  /** Move the figure as it is shown; below nought it comes out on the other side, where there are two. */
  step(/** @type {number} */ direction) {
    // Where no way is chosen yet, a step chooses none.
    const unknown = Boolean(this.ways) && this.sign === null;
    this.move(this.sign === -1 ? -direction : direction, unknown);
  }

  /**
   * One key: what typed.js takes; "more" and "less" (toward plus and minus); "up" and "down" (the figure as it is
   * shown); with inches a part, "1/2" to "1/16", added to what stands there.
   * @param {string} key
   */
  press(key) {
    if (key === "more") return this.move(1);
    if (key === "less") return this.move(-1);
    if (key === "up") return this.step(1);
    if (key === "down") return this.step(-1);
    const text = this.prefilled && key !== "delete" ? "" : this.text;
    const part = this.inch ? PART.exec(key) : null;
    this.text = part
      ? inchText(toMm((magnitude(text) ?? wholeOf(text)) + 1 / Number(part[1])))
      : pressed(text, key, this.how);
    this.prefilled = false;
    return undefined;
  }

  /** A text typed as a whole; only what belongs to a number stays. */
  type(/** @type {string} */ text) {
    this.text = cleaned(text, this.how);
    this.prefilled = false;
  }

  /** Put a state in place of what is typed. */
  put(/** @type {Partial<State>} */ { prefilled = false, ...next }) {
    this.prefilled = prefilled;
    if (next.text !== undefined) this.text = next.text;
    if (next.sign !== undefined) this.sign = next.sign;
  }
}
