/* What a question about a car or its target has: words, drawing, where it is kept. Unit, bounds and what is assumed
   until it is answered are the model's own (model/facts.js). */

import { FACTS } from "../model/facts.js";

/**
 * @typedef {object} Asking What a question has of its own.
 * @property {boolean} [needed] whether the first plan asks for it
 * @property {number} [nudge] what the nudge keys change it by
 * @property {string} [where] how it is measured
 * @property {"inner" | "outer" | "diameter" | "length" | "bore" | "none"} [view] the drawing of the bar that shows it
 * @property {string} [mode] the drawing of the car, or of its adjuster, that does
 * @property {"left" | "right"} [side]
 * @property {string[]} [ways] the words of either sign
 * @property {string} [gauge]
 * @property {string} [like] the question whose answer is offered
 * @property {string[]} [axles] the kinds of axle that have it
 * @property {string[]} [adjusters] the kinds of adjuster that have it
 * @property {"rear" | "front"} [sprung] the axle that has it, where the other one has not
 * @property {{ label: string, value: number }[]} [keys] usual answers, offered as large keys
 * @property {string} [assumed] what is taken until it is answered
 */
/**
 * @typedef {Asking & { key: string, path: string[], title: string, unit: string, whole?: boolean, nudge: number }}
 *   Question
 */

/** The two ways an arm goes: positive first. Arm down raises the car. */
export const ARM = ["arm down", "arm up"];

/**
 * @param {string} path
 * @param {string} title
 * @param {Asking} rest
 * @returns {Question}
 */
export function question(path, title, rest) {
  const { unit, whole, assumed } = FACTS[path];
  return {
    key: path,
    path: path.split("."),
    title,
    unit,
    whole,
    nudge: 1,
    assumed: rest.needed ? undefined : assumed,
    ...rest,
  };
}
