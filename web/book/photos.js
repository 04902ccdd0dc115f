/* Photos on this device: their bytes by the SHA-256 of them, in a database of its own beside the log.

   A database of its own, so that no page of the log waits for a new version of it, and a photo that finds no room
   undoes no reading. Readings always win: a photo is kept only while RESERVE is left for them, and where a reading
   finds no room after all, photos that the shop has are let go (`freed`), never one that it lacks.

   - photos: one row a photo, without its bytes: waiting for the shop, at the shop, or removed.
   - bytes: the bytes. */

import { openDB } from "../vendor/idb.mjs";
import { bare, kindOf } from "../work/photo-size.js";
import { NotKept } from "./base.js";
import { named } from "../work/this-device.js";

/** @import { Database } from "../vendor/idb.mjs" */
/** @import { KeptPhoto, PhotoState } from "../types/log.d.ts" */

const NAME = "bothends-photos";
/** Bytes that stay free for readings: a shop's records of years. */
const RESERVE = 20 * 1024 * 1024;
/** Most bytes of photos that the shop has and that are kept here to be looked at. */
const MOST_OF_SHOP = 100 * 1024 * 1024;
const FULL =
  "{Here} has no room left for a photo. Readings go on. Free some storage, or sync so that photos can make room.";

/** What goes first where room is needed. @type {PhotoState[]} */
const SPARE = ["removed", "shop"];

/** @type {Promise<Database> | null} */
let opening = null;

function database() {
  opening ??= openDB(NAME, 1, {
    upgrade(db) {
      db.createObjectStore("photos", { keyPath: "sha256" });
      db.createObjectStore("bytes");
    },
    blocking: (_, __, { target }) => {
      target.close();
      opening = null;
    },
    terminated: () => {
      opening = null;
    },
  }).catch((error) => {
    opening = null;
    throw error;
  });
  return opening;
}

/**
 * Run work in one transaction over both stores; resolves once it is on the disk.
 * @template T
 * @param {"readonly" | "readwrite"} mode
 * @param {(tx: import("../vendor/idb.mjs").Transaction<"photos" | "bytes">) => Promise<T>} work
 * @returns {Promise<T>}
 */
async function over(mode, work) {
  const tx = (await database()).transaction(["photos", "bytes"], mode, { durability: "strict" });
  tx.done.catch(() => {});
  const out = await work(tx);
  await tx.done;
  return out;
}

/** The name of bytes: their SHA-256, in hexadecimal digits. @param {Uint8Array<ArrayBuffer>} bytes */
export async function nameOf(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Whether this browser can keep photos: their names need what it has on trusted pages only. */
export const able = () => Boolean(globalThis.crypto?.subtle && globalThis.indexedDB);

/** Every photo that is here, the one that was kept or seen first before the others. @returns {Promise<KeptPhoto[]>} */
export const keptPhotos = () =>
  over("readonly", async (tx) => (await tx.objectStore("photos").getAll()).sort((a, b) => a.seen - b.seen));

/**
 * Let go of photos that are of no need here, those not seen for longest first; how many bytes that gave.
 * @param {number} wanted bytes
 */
async function letGo(wanted) {
  const rows = (await keptPhotos()).filter(({ state }) => SPARE.includes(state));
  rows.sort((a, b) => SPARE.indexOf(a.state) - SPARE.indexOf(b.state));
  let given = 0;
  for (const { sha256, size } of rows) {
    if (given >= wanted) break;
    await drop(sha256);
    given += size;
  }
  return given;
}

/** Make room for readings; whether there is more than before. */
export const freed = async () => (await letGo(RESERVE)) > 0;

/** Bytes that the browser still gives beyond what is for readings; plenty where it does not say. */
async function spare() {
  const { usage, quota } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  return quota === undefined || usage === undefined ? Infinity : quota - usage - RESERVE;
}

/** @param {KeptPhoto} row @param {Uint8Array<ArrayBuffer>} bytes */
const put = (row, bytes) =>
  over("readwrite", async (tx) => {
    await tx.objectStore("photos").put(row);
    await tx.objectStore("bytes").put(bytes.buffer, row.sha256);
  });

/**
 * Keep a photo: `waiting` for the shop, or as it came from it. Resolves to its name once it is on the disk; rejects
 * with NotKept where there is no room.
 * @param {Uint8Array} given
 * @param {"waiting" | "shop"} [state]
 */
export async function keepPhoto(given, state = "waiting") {
  const bytes = state === "waiting" ? bare(given) : new Uint8Array(given);
  const sha256 = await nameOf(bytes);
  const size = bytes.length;
  const lacking = size - (await spare());
  if (lacking > 0 && (await letGo(lacking)) < lacking)
    throw Object.assign(new NotKept("full"), { message: named(FULL) });
  const row = { sha256, size, state, seen: Date.now() };
  try {
    await put(row, bytes).catch(async (error) => {
      if (!(await letGo(2 * size))) throw error;
      await put(row, bytes);
    });
  } catch (error) {
    throw Object.assign(new NotKept("full", error), { message: named(FULL) });
  }
  if (state === "shop") await bound();
  return sha256;
}

/** Keep no more of the shop's photos than may be here. */
async function bound() {
  const there = (await keptPhotos()).reduce((sum, { state, size }) => sum + (state === "shop" ? size : 0), 0);
  if (there > MOST_OF_SHOP) await letGo(there - MOST_OF_SHOP);
}

/**
 * The bytes of a photo, or null where they are not here.
 * @param {string} sha256
 * @returns {Promise<Uint8Array<ArrayBuffer> | null>}
 */
export async function photoBytes(sha256) {
  const found = await over("readonly", (tx) => tx.objectStore("bytes").get(sha256));
  return found ? new Uint8Array(found) : null;
}

/**
 * The same for somebody who looks at it: it counts as seen, and one that was removed and is back waits again.
 * @param {string} sha256
 */
export async function photoSeen(sha256) {
  const bytes = await photoBytes(sha256);
  if (bytes)
    await changed(sha256, ({ state }) => ({ seen: Date.now(), state: state === "removed" ? "waiting" : state })).catch(
      () => {},
    );
  return bytes && new Blob([bytes], { type: kindOf(bytes) });
}

/**
 * Change a photo's row, where it is here.
 * @param {string} sha256
 * @param {(row: KeptPhoto) => Partial<KeptPhoto>} change
 */
const changed = (sha256, change) =>
  over("readwrite", async (tx) => {
    const row = await tx.objectStore("photos").get(sha256);
    if (row) await tx.objectStore("photos").put({ ...row, ...change(row) });
  });

/**
 * Note what has become of a photo on its way to the shop; `why` it did not take it, if it did not.
 * @param {string} sha256
 * @param {PhotoState} state
 * @param {string} [why]
 */
export const markPhoto = (sha256, state, why) => changed(sha256, () => ({ state, why }));

/** Let every photo wait again: the shop's book is another one. */
export const allPhotosAgain = async () => {
  for (const { sha256, state } of await keptPhotos()) if (state === "shop") await markPhoto(sha256, "waiting");
};

/** Forget a photo. @param {string} sha256 */
export const drop = (sha256) =>
  over("readwrite", async (tx) => {
    await tx.objectStore("photos").delete(sha256);
    await tx.objectStore("bytes").delete(sha256);
  });
