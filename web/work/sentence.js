/* A text of the model or the fold as a sentence or a label. */

/**
 * First letter large; labels come from the model in small letters.
 * @param {string} label
 */
export const titled = (label) => label.charAt(0).toUpperCase() + label.slice(1);

/**
 * A sentence from the fold, as one.
 * @param {string} text
 */
export const sentence = (text) => `${text.replace(/^./, (c) => c.toUpperCase())}.`;
