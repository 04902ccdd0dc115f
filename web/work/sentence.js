/* A text of the model or the fold as a sentence or a label. */

/**
 * First letter large; labels come from the model in small letters.
 * @param {string} label
 */
export const titled = (label) => label.charAt(0).toUpperCase() + label.slice(1);

/** The model's label of the way that turns nothing, and what people read instead. */
const STILL = { label: "leave it", words: "No change" };

/**
 * A way of turning: "Both ends", "No change".
 * @param {string} label of an option, or of the plan that it became
 */
export const wayName = (label) => (label === STILL.label ? STILL.words : titled(label));

/**
 * A sentence from the fold, as one.
 * @param {string} text
 */
export const sentence = (text) => `${text.replace(/^./, (c) => c.toUpperCase())}.`;

/**
 * A title as one of the other axle's, where a screen is of that: "Front: to what height?".
 * @param {string | undefined} axle
 * @param {string} words
 */
export const ofAxle = (axle, words) => (axle ? `${titled(axle)}: ${words[0].toLowerCase()}${words.slice(1)}` : words);
