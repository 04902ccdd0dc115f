/* What the server says of itself, asked once and remembered for when there is none: whether its season is simulated, and
   where its page about trusting it is.

   Owns these words. What stands on the page because of them is the frame's business. */

import { recall, remember } from "./base.js";
import { access } from "./device.js";
import { request } from "./wire.js";

/** Whether the server that this page last met keeps a simulated book. */
export const simulated = async () => (await recall("simulated")) === true;

/** Where the shop's help page is, as its server last said; null where it has not. */
export const toldHelp = async () => (await recall("help")) ?? null;

/** Tell what is remembered, then what the server says: listener(true or false), once or twice. */
export async function watchSimulated(listener) {
  listener(await simulated());
  // A page from the worker's cache may stand without a server; only who is paired looks for one.
  if (navigator.serviceWorker?.controller && !(await access())) return;
  const { body } = await request("GET", "/api/health");
  if ((body.help ?? null) !== (await toldHelp())) await remember("help", body.help ?? null);
  if (typeof body.simulated !== "boolean" || body.simulated === (await simulated())) return;
  await remember("simulated", body.simulated);
  listener(body.simulated);
}
