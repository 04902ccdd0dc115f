/* What the server last said of itself, remembered for when there is none. */

import { recall } from "./base.js";

/** Whether the server that this page last met keeps a simulated book. */
export const simulated = async () => (await recall("simulated")) === true;

/** Addresses that the server says: its help page, where devices best reach it, its public copy of the app. */
export const TOLD = /** @type {const} */ (["help", "address", "public_copy"]);

/**
 * One of these as the server last said it; null where it has not, or there is none.
 * @param {typeof TOLD[number]} name
 */
export const told = async (name) => (await recall(name)) ?? null;

/** @type {string | null} */
let help = null;
told("help").then(
  (found) => {
    help = found;
  },
  () => {},
);

/** Where the shop's PC shows, by plain http, how to trust its certificate; as it said, or by custom the next port. */
export const helpPage = () => help ?? `http://${location.hostname}:${Number(location.port || 443) + 1}/`;
