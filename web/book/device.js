/* Who this phone is: its own name in the log, its key at the shop, and whether the browser promises to keep things.

   The device id is made here at the first entry and counts its entries; the key comes from pairing with a shop. Each
   browser, and an installed app beside it, is a device of its own. */

import { recall, remember, transact } from "./base.js";
import { newId } from "./ids.js";
import { MOST_NAME } from "../model/facts.js";
import { tell } from "./tabs.js";
import { usePc } from "../work/this-device.js";

/** @import { Over } from "../vendor/idb.mjs" */
/** @import { Access } from "../types/log.d.ts" */

// A finger as the first pointer makes it a phone, wherever it is opened; a mouse, or none at all, a PC.
usePc(globalThis.matchMedia?.("(pointer: coarse)").matches === false);

/**
 * This device inside a transaction over meta, with `how` numbers taken: {id, seq}, seq the first of them.
 * @param {Over<"meta">} tx
 * @param {number} [how]
 */
export async function deviceIn(tx, how = 0) {
  const meta = tx.objectStore("meta");
  const device = (await meta.get("device")) ?? { id: newId(), seq: 0 };
  await meta.put({ ...device, seq: device.seq + how }, "device");
  return { id: device.id, seq: device.seq + 1 };
}

/** This device's id in the log; made when first asked for. */
export const deviceId = () => transact(["meta"], "readwrite", async (tx) => (await deviceIn(tx)).id);

/**
 * Who writes on this device, by the name somebody gave: "" where somebody was asked and gave none, null where nobody
 * was asked.
 * @returns {Promise<string | null>}
 */
export const writerName = async () => (await recall("writer")) ?? null;

/**
 * Keep a writer's name; "" says that none is given. It goes into each entry from then on; those before stay as they
 * are.
 * @param {string} name
 */
export const setWriterName = (name) => remember("writer", name.trim().slice(0, MOST_NAME));

/** The shop's key for this phone, or null. */
export const access = async () => (await recall("access")) ?? null;

/**
 * Keep a key that came otherwise than by `pair`, or null to forget it. Entries stay.
 * @param {Access | null} found
 */
export async function setAccess(found) {
  await remember("access", found);
  tell({ what: "access" });
}

/**
 * Ask the browser to keep this app's data, and say what it answered:
 * {kept: true | false | null, text, used_bytes, room_bytes}; null where it cannot be asked.
 */
export async function askToKeep() {
  const storage = navigator.storage;
  /** @type {StorageEstimate} */
  const { usage, quota } = (await storage?.estimate?.().catch(() => ({}))) ?? {};
  const room = { used_bytes: usage ?? null, room_bytes: quota ?? null };
  if (!storage?.persist) {
    return {
      kept: null,
      text: "This browser may delete your data. Sync or export it before you leave.",
      ...room,
    };
  }
  const kept = (await storage.persisted()) || (await storage.persist().catch(() => false));
  const text = kept
    ? "This browser keeps your data until you delete it."
    : "This browser may delete your data when storage is low, or after weeks without use. " +
      "Install the app, or sync or export your data.";
  return { kept, text, ...room };
}
