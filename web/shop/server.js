/* What the server says of itself; whether its season is simulated, and where its page about trusting it is, remembered
   for when there is none.

   Owns these words. What stands on the page because of them is the frame's business. */

import { remember } from "../book/base.js";
import { access } from "../book/device.js";
import { request } from "./client.js";
import { TOLD, simulated, told } from "../book/told.js";
import { COPY } from "../model/place.js";

/**
 * What the server says of itself. Rejects with a Trouble.
 * @param {import("./client.js").Asking} [options]
 * @returns {Promise<import("../types/wire.d.ts").Health>}
 */
export const serverSays = async (options) => (await request("GET", "/api/health", options)).body;

/**
 * Tell what is remembered, then what the server says: listener(true or false), once or twice.
 * @param {(simulated: boolean) => void} listener
 */
export async function watchSimulated(listener) {
  listener(await simulated());
  if (COPY !== null) return;
  // A page from the worker's cache may stand without a server; only who is paired looks for one.
  if (navigator.serviceWorker?.controller && !(await access())) return;
  const said = await serverSays();
  for (const name of TOLD) if ((said[name] ?? null) !== (await told(name))) await remember(name, said[name] ?? null);
  if (typeof said.simulated !== "boolean" || said.simulated === (await simulated())) return;
  await remember("simulated", said.simulated);
  listener(said.simulated);
}
