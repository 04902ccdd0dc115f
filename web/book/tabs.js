/* Word between this page and the other pages of this app in the same browser.

   A message is {what, ...}: "entries" (jobs: ids that changed; came: here, shop, link or file), "marks" (what has
   reached the shop), "cards" (how jobs look in a list was made anew), "access" (paired, or no longer), "unsaved?" and
   "unsaved" (before an update). Whoever tells is told as well: a listener need not know where a change came from.
   Without BroadcastChannel this page still hears itself. */

/** @import { Message } from "../types/log.d.ts" */

/** @typedef {(message: Message, elsewhere: boolean) => void} Listener */

/** @type {Set<Listener>} */
const listeners = new Set();
const channel = typeof BroadcastChannel === "function" ? new BroadcastChannel("bothends") : null;

channel?.addEventListener("message", ({ data }) => spread(data, true));

/**
 * @param {Message} message
 * @param {boolean} elsewhere
 */
function spread(message, elsewhere) {
  for (const listener of [...listeners]) listener(message, elsewhere);
}

/**
 * Tell every page, this one included.
 * @param {Message} message
 */
export function tell(message) {
  spread(message, false);
  channel?.postMessage(message);
}

/**
 * Be told; the second argument says whether it came from another page. Returns how to stop.
 * @param {Listener} listener
 */
export function listen(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
