/* Where a job is that an address means and this browser's log has not: at the shop, for one that is paired and holds
   some of its jobs only, or has not synced since; or in the log that the shop's PC keeps under its own address. To a
   browser localhost, 127.0.0.1 and another port of one machine are other apps with logs of their own, and a link is
   easily opened at the wrong one. */

import { recall } from "../../book/base.js";
import { access } from "../../book/device.js";
import { onlyHere } from "../../work/addresses.js";
import { roundNow } from "../pace.js";
import { serverSays } from "../server.js";

const PATIENCE_MS = 8000;

/**
 * Fetch what the shop has, or say where else this PC keeps its log: an address to go `to`, or null where the log here
 * is all there is; `away` where the job may be at the shop and that cannot be reached.
 * @param {string} job
 * @param {string} here the address of the page
 * @returns {Promise<{ to: string | null, away: boolean }>}
 */
export async function findJob(job, here) {
  if (await access()) {
    const late = new Promise((done) => setTimeout(done, PATIENCE_MS));
    if ((await recall("sync"))?.some) {
      const { fetchJob } = await import("../fetch.js");
      return { to: null, away: (await fetchJob(job)) === "away" };
    }
    await Promise.race([roundNow(), late]);
    return { to: null, away: false };
  }
  if (!onlyHere(here)) return { to: null, away: false };
  const { local } = await serverSays({ patience_ms: PATIENCE_MS });
  const { origin, hash } = new URL(here);
  const elsewhere = local && onlyHere(local) && new URL(local).origin !== origin;
  return { to: elsewhere ? `${local}${hash}` : null, away: false };
}
