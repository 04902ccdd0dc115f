/* A sentence for a number: one form for one, another for several, as the language counts. */

const RULES = new Intl.PluralRules("en");

/**
 * The sentence for `n`, its gap {n} filled.
 * @param {number} n
 * @param {string} one such as "{n} change not synced"
 * @param {string} other such as "{n} changes not synced"
 * @returns {string}
 */
export const counted = (n, one, other) => (RULES.select(n) === "one" ? one : other).replace("{n}", String(n));
