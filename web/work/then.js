/* What the next screen is, in few words, for the small line of the key that leads to it. */

import { READINGS } from "./readings.js";

const SAID = {
  "ask/car.arm_mm": "then arm length",
  "ask/car.adjuster.lever_mm": "then the anchor lever",
  "ask/car.adjuster.pitch_mm": "then the thread’s pitch",
  ask: "then the next figure",
  ground: "then the verdict",
  list: "back to the log",
  plan: "then the plan",
  pose: "then the board test",
  propped: "back to the steps",
  target: "then the target",
  teardown: "back to the steps",
  zero: "then the angles",
};

/**
 * "then right", "then lever by tape", "then the plan".
 * @param {{words: string[]}} to
 * @param {{words: string[]}} from
 * @returns {string}
 */
export function thenWords(to, from) {
  const [screen, what, side] = to.words;
  if (screen === "read") {
    if (from.words[0] === "read" && from.words[1] === what) return `then ${side}`;
    const name = /** @type {Record<string, {title: string}>} */ (READINGS)[what]?.title.toLowerCase() ?? "";
    return `then ${name}, ${side}`;
  }
  const table = /** @type {Record<string, string>} */ (SAID);
  return table[to.words.join("/")] ?? table[screen] ?? "";
}
