/* What the server last said of itself, remembered for when there is none. */

import { recall } from "./base.js";

/** Whether the server that this page last met keeps a simulated book. */
export const simulated = async () => (await recall("simulated")) === true;

/** Where the shop's help page is, as its server last said; null where it has not. */
export const toldHelp = async () => (await recall("help")) ?? null;

/** @type {string | null} */
let help = null;
toldHelp().then(
  (found) => {
    help = found;
  },
  () => {},
);

/** Where the shop's PC shows, by plain http, how to trust its certificate; as it said, or by custom the next port. */
export const helpPage = () => help ?? `http://${location.hostname}:${Number(location.port || 443) + 1}/`;
