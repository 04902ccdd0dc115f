/* The cautions of a step with its own figures in them: which of safety.js's texts holds, and the force filled in. */

import { isNothing, liftRange } from "./lift.js";
import { STEPS } from "./step-cautions.js";
import { unloadWords } from "./turn-facts.js";

/** @typedef {import("./safety.js").Caution} Caution */

/** A text with its gaps filled. @param {string} text @param {Record<string, string>} gaps */
const filled = (text, gaps) => text.replace(/\{(\w+)\}/g, (_, name) => gaps[name]);

/** The text of a caution where a lift is meant; a lift that nobody has worked out is told without figures.
 * @param {Caution} caution @param {any} lifts */
function lifted(caution, lifts) {
  if (!lifts) return caution.unknown ?? caution.text;
  if (isNothing(lifts)) return caution.nothing ?? caution.text;
  const { low, high, unit, range } = liftRange(lifts);
  return range
    ? filled(caution.text, { low, high, unit })
    : filled(caution.exact ?? caution.text, { force: high, unit });
}

/** The text of a caution where a screw is turned: with what is still wound in at full droop.
 * @param {Caution} caution @param {any} screw as a plan keeps it */
function wound(caution, screw) {
  if (!screw) return caution.unknown ?? caution.text;
  const words = unloadWords(screw);
  return words ? filled(caution.text, words) : (caution.nothing ?? caution.text);
}

/** Where a step's cautions stand: a turn's by any end, an adjuster's by its kind.
 * @param {{key: string, caution?: string, adjust?: { kind: string }}} step */
function keyOf({ key, caution, adjust }) {
  if (caution) return caution;
  if (adjust && adjust.kind !== "screw") return `${key}-${adjust.kind}`;
  return key.startsWith("turn-") ? "turn" : key;
}

/**
 * The cautions of a step.
 * @param {{key: string, caution?: string, lift?: string, lifts?: any, screw?: any, adjust?: { kind: string }}} step
 * @returns {{word: string, text: string}[]}
 */
export function cautionsOf(step) {
  const said = (/** @type {Caution} */ caution) =>
    step.screw !== undefined ? wound(caution, step.screw) : step.lift ? lifted(caution, step.lifts) : caution.text;
  return (STEPS[keyOf(step)] ?? []).map((caution) => ({
    word: caution.word,
    text: said(caution),
  }));
}
