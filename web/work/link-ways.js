/* Where a link to a job can lead, and where it then opens. Decides; asks nobody. */

import { onlyHere } from "./addresses.js";

/** @typedef {"anywhere" | "back" | "shop" | "here"} WayName */
/**
 * @typedef {object} Way
 * @property {WayName} name
 * @property {string} base the address that the link begins with, a folder
 * @property {string} label of the key that chooses it
 * @property {string} opens where the link opens, in a sentence
 */
/**
 * @typedef {object} Known What is known of addresses; null where nothing is.
 * @property {string} home of this page
 * @property {boolean} copy whether this page is a public copy
 * @property {string | null} shop as its server last said
 * @property {string | null} publicCopy the shop's, as its server last said
 * @property {string | null} sender of the shop that this job came from
 */

const PRIVATE = /^(10\.|192\.168\.|172\.(1[6-9]|2\d|3[01])\.|169\.254\.|\[f[cde])/;
const LOCAL = /(^|\.)(local|lan|internal|home\.arpa|localdomain)$/;

const host = (/** @type {string} */ address) => new URL(address).host;

/**
 * Whether an address is one of a network of its own, which nobody outside of it reaches.
 * @param {string} address
 */
export function ofNetwork(address) {
  const { hostname } = new URL(address);
  return LOCAL.test(hostname) || PRIVATE.test(hostname) || !/[.:]/.test(hostname);
}

const SAID = {
  anywhere: "For anybody",
  shop: "In the shop",
  here: "This PC’s own",
  back: (/** @type {string} */ at) => `Back to ${at}`,
  opensHere:
    "This is this PC’s own address: the link opens on this PC only. Whoever gets it pastes it into their own copy of " +
    "the app.",
  opensAnywhere: (/** @type {string} */ at) =>
    `Opens anywhere, in any browser, with the public copy at ${at}. The job is in the link itself: nobody who passes ` +
    "it on, and no server, needs to keep it.",
  opensNetwork: (/** @type {string} */ at) =>
    `Opens only on the network of ${at}, on devices that trust the shop’s certificate. Elsewhere it does not open.`,
  opensWide: (/** @type {string} */ at) => `Opens wherever ${at} can be reached.`,
  pasted: "There it can be pasted too.",
};

/**
 * Where a link to an address opens.
 * @param {string} address
 */
function opensAt(address) {
  if (onlyHere(address)) return SAID.opensHere;
  return ofNetwork(address) ? SAID.opensNetwork(host(address)) : SAID.opensWide(host(address));
}

/** @param {string} base @returns {Way} */
const anywhere = (base) => ({
  name: "anywhere",
  base,
  label: SAID.anywhere,
  opens: onlyHere(base) ? SAID.opensHere : SAID.opensAnywhere(host(base)),
});

/**
 * The ways, best first; there is always one.
 * @param {Known} known
 * @returns {Way[]}
 */
export function waysOf({ home, copy, shop, publicCopy, sender }) {
  /** @type {Way[]} */
  const ways = [];
  const own = copy ? null : onlyHere(home) ? shop : home;
  if (sender && sender !== own && sender !== home)
    ways.push({
      name: "back",
      base: sender,
      label: SAID.back(host(sender)),
      opens: `${opensAt(sender)} ${SAID.pasted}`,
    });
  if (copy) return [...ways, anywhere(home)];
  if (publicCopy) ways.push(anywhere(publicCopy));
  if (own && !onlyHere(own)) ways.push({ name: "shop", base: own, label: SAID.shop, opens: opensAt(own) });
  if (!ways.length) ways.push({ name: "here", base: home, label: SAID.here, opens: SAID.opensHere });
  return ways;
}

/**
 * The address that a job is to come back to: of this shop, or of the one that it came from; undefined where neither is
 * known to lead anywhere.
 * @param {Known} known
 * @returns {string | undefined}
 */
export function wayBack({ home, copy, shop, sender }) {
  const own = copy ? null : onlyHere(home) ? shop : home;
  return own && !onlyHere(own) ? own : (sender ?? own ?? undefined);
}
