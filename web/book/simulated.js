/* Whether this page shows a simulated season: the server is asked once, its last word is remembered for when there is none.

   Owns that word. What stands on the page because of it is the frame's business. */

import { recall, remember } from "./base.js";
import { access } from "./device.js";
import { request } from "./wire.js";

/** Whether the server that this page last met keeps a simulated book. */
export const simulated = async () => (await recall("simulated")) === true;

/** Tell what is remembered, then what the server says: listener(true or false), once or twice. */
export async function watchSimulated(listener) {
  listener(await simulated());
  // A page from the worker's cache may stand without a server; only who is paired looks for one.
  if (navigator.serviceWorker?.controller && !(await access())) return;
  const { body } = await request("GET", "/api/health");
  if (typeof body.simulated !== "boolean" || body.simulated === (await simulated())) return;
  await remember("simulated", body.simulated);
  listener(body.simulated);
}
