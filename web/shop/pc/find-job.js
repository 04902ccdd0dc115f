/* Where a job is that an address means and this browser's log has not: at the shop, for one that is paired and has not
   synced since; or in the log that the shop's PC keeps under its own address. To a browser localhost, 127.0.0.1 and
   another port of one machine are other apps with logs of their own, and a link is easily opened at the wrong one. */

import { access } from "../../book/device.js";
import { onlyHere } from "../../work/addresses.js";
import { roundNow } from "../pace.js";
import { serverSays } from "../server.js";

const PATIENCE_MS = 8000;

/**
 * Fetch what the shop has, or say where else this PC keeps its log: an address to go to, or null where the log here is
 * all there is.
 * @param {string} here the address of the page
 * @returns {Promise<string | null>}
 */
export async function findJob(here) {
  if (await access()) {
    await Promise.race([roundNow(), new Promise((done) => setTimeout(done, PATIENCE_MS))]);
    return null;
  }
  if (!onlyHere(here)) return null;
  const { local } = await serverSays({ patience_ms: PATIENCE_MS });
  const { origin, hash } = new URL(here);
  return local && onlyHere(local) && new URL(local).origin !== origin ? `${local}${hash}` : null;
}
