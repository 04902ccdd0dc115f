/* What is said of a device that holds some of the shop's jobs only. Draws nothing. */

import { grouped } from "./numbers.js";
import { counted } from "./plural.js";
import { named } from "./this-device.js";

/**
 * @typedef {object} Holding As shop/fetch-rest.js finds it.
 * @property {number} here
 * @property {number | null} of
 * @property {boolean} [then] whether `of` is from when the shop was last asked
 * @property {boolean} asked whether the others were asked for
 */

/** The key that has all of them fetched. */
export const FETCH_ALL = "Fetch all";

/**
 * "240 of 10,000 jobs"; where the shop cannot be asked, of how many is from the last time, if there was one.
 * @param {Holding} held
 */
function share({ here, of, then }) {
  const some = `${grouped(here)} of the shop’s jobs`;
  if (of === null) return some;
  return then ? `${some} (${grouped(of)} when it was last asked)` : `${grouped(here)} of ${grouped(of)} jobs`;
}

/**
 * How many are here, and how the others come.
 * @param {Holding} held
 */
export const holdingWords = (held) =>
  [
    named(`{Here} holds ${share(held)}.`),
    held.asked ? "The others come while no job is open." : "Any other is at the shop and comes when it is opened.",
  ].join(" ");

/**
 * What a list lacks that this device alone has told.
 * @param {Holding} held
 */
export const lackWords = (held) =>
  named(`{Here} holds ${share(held)}. The others are at the shop: look again where it can be reached.`);

/** How many jobs the shop has still to read, in a sentence; lists and figures lack them. @param {number} n */
export const unreadWords = (n) => counted(n, "{n} job is still to be read.", "{n} jobs are still to be read.");

/**
 * What a file of this device's data lacks.
 * @param {Holding} held
 */
export const partWords = (held) => named(`${share(held)} are on {here}; the shop’s export has all.`);

/**
 * What goes along to another address of the app, and how the others come there.
 * @param {Holding} held
 */
export const movingWords = (held) =>
  named(`${share(held)} are on {here} and go along. The others come from the shop there, as they do here.`);
