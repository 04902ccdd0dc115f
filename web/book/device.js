/* Who this phone is: its own name in the log, its key at the shop, and whether the browser promises to keep things.

   The device id is made here at the first entry and counts its entries; the key comes from pairing with a shop. Each
   browser, and an installed app beside it, is a device of its own. */

import { recall, remember, transact } from "./base.js";
import { cameIn, letGo } from "./fragment.js";
import { newId } from "./ids.js";
import { tell } from "./tabs.js";
import { request, Trouble } from "./wire.js";

/** This device inside a transaction over meta, with `how` numbers taken: {id, seq}, seq the first of them. */
export async function deviceIn(tx, how = 0) {
  const meta = tx.objectStore("meta");
  const device = (await meta.get("device")) ?? { id: newId(), seq: 0 };
  await meta.put({ ...device, seq: device.seq + how }, "device");
  return { id: device.id, seq: device.seq + 1 };
}

/** This device's id in the log; made when first asked for. */
export const deviceId = () => transact(["meta"], "readwrite", async (tx) => (await deviceIn(tx)).id);

/** The shop's key for this phone, or null: {key, id, name}. */
export const access = async () => (await recall("access")) ?? null;

/** Keep a key that came otherwise than by `pair`, or null to forget it. Entries stay. */
export async function setAccess(found) {
  await remember("access", found);
  tell({ what: "access" });
}

/** Pair with the shop by the code on its screen; resolves to {key, id, name}, rejects with a Trouble whose message says why. */
export async function pair(code, name) {
  let reply;
  try {
    reply = await request("POST", "/api/devices", {
      body: { code, name, writes_as: await deviceId() },
      good: [200, 201],
    });
  } catch (error) {
    // Here the server's own words say more: the code was mistyped, used or is too old.
    if (error.problem?.detail) error.message = error.problem.detail;
    throw error;
  }
  const { status, body } = reply;
  if (status >= 400 || typeof body.key !== "string")
    throw Object.assign(
      new Trouble("not-ours", { status, problem: body }),
      body.detail ? { message: body.detail } : {},
    );
  const found = { key: body.key, id: body.device?.id ?? body.id, name: body.device?.name ?? name };
  await setAccess(found);
  return found;
}

/**
 * Ask the browser to keep this app's data, and say what it answered:
 * {kept: true | false | null, text, used_bytes, room_bytes}; null where it cannot be asked.
 */
export async function askToKeep() {
  const storage = navigator.storage;
  const { usage = null, quota = null } = (await storage?.estimate?.().catch(() => ({}))) ?? {};
  const room = { used_bytes: usage, room_bytes: quota };
  if (!storage?.persist) {
    return {
      kept: null,
      text: "This browser cannot be asked to keep the log. Send it to the shop, or export it, before you leave.",
      ...room,
    };
  }
  const kept = (await storage.persisted()) || (await storage.persist().catch(() => false));
  const text = kept
    ? "This browser keeps the log until you delete it."
    : "This browser may delete the log when room gets short, or after weeks without use. Install the app, or send or export the log.";
  return { kept, text, ...room };
}

/** The browser that the shop's PC opened itself is let in without a question; one that has a key keeps it. */
export async function letIn() {
  const code = cameIn("here");
  letGo("here");
  if (code && !(await access())) await pair(code, "Shop PC");
}
