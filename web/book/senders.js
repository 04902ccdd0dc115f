/* Where a job that was kept from a link or a file came from, as that said: who sent it, and the address of the shop
   that a job goes back to. Beside the log and no part of it: it is this phone's way back, and nothing folds it. */

import { recall, remember } from "./base.js";

/** @import { Sender } from "../types/log.d.ts" */

const MOST_NAME = 80;
const MOST_ADDRESS = 300;

/**
 * What of a sender can be used: a name of some length, an address of the web that is a folder; undefined where neither.
 * @param {any} given
 * @returns {Sender | undefined}
 */
export function senderIn(given) {
  /** @type {Sender} */
  const sender = {};
  const { name, address } = given && typeof given === "object" ? given : {};
  if (typeof name === "string" && name.trim()) sender.name = name.trim().slice(0, MOST_NAME);
  if (typeof address === "string" && address.length <= MOST_ADDRESS && URL.canParse(address)) {
    const { protocol, username, password, origin, pathname } = new URL(address);
    if (["http:", "https:"].includes(protocol) && !username && !password && pathname.endsWith("/"))
      sender.address = origin + pathname;
  }
  return sender.name || sender.address ? sender : undefined;
}

/**
 * Note where a job came from; without a word of it nothing changes.
 * @param {string} job
 * @param {Sender | undefined} sender
 */
export async function noteSender(job, sender) {
  const used = senderIn(sender);
  if (used) await remember("senders", { ...(await recall("senders")), [job]: used });
}

/**
 * Where a job came from, or undefined.
 * @param {string} job
 */
export const senderOf = async (job) => (await recall("senders"))?.[job];
