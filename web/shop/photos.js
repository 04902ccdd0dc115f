/* Photos to and from the shop, behind everything else: one at a time, in parts, and none while a record waits.

   A photo goes after a round has gone well, for its record must be at the shop first. Before each part the log is
   looked at; what was entered meanwhile goes on its own round, and the photo goes on after it. The shop says how much
   it has, so a break costs no more than the part that was on its way. Photos of others are fetched when they are
   looked at. */

import { recall, remember } from "../book/base.js";
import { access } from "../book/device.js";
import { everything } from "../book/log.js";
import { waiting } from "../book/outbox.js";
import { allPhotosAgain, drop, keepPhoto, keptPhotos, markPhoto, nameOf, photoBytes } from "../book/photos.js";
import { PHOTO_PART } from "../model/facts.js";
import { bytesAt, request, Trouble } from "./client.js";
import { waitS, watchSync } from "./pace.js";

/** @import { KeptPhoto } from "../types/log.d.ts" */
/** @import { PhotoHeld, Problem } from "../types/wire.d.ts" */

const PATIENCE_MS = 30_000;
/** What this page tries no more: the shop has said why not. @type {Set<string>} */
const passed = new Set();
/** @type {Promise<unknown>} */
let fetching = Promise.resolve();
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let tries = 0;
let ok_at = /** @type {number | null} */ (null);
/** @type {Promise<void> | null} */
let running = null;

/** @param {string} sha256 */
const at = (sha256) => `/api/photos/${sha256}`;

/** Where the shop's book is another one than it was, it may lack what it had. */
async function noteBook() {
  const epoch = (await recall("sync"))?.epoch ?? null;
  if (epoch === ((await recall("photos_of")) ?? null)) return;
  await allPhotosAgain();
  await remember("photos_of", epoch);
}

/**
 * The shop did not take it: say so beside it. One that no record here names is nobody's any more.
 * @param {KeptPhoto} row
 * @param {Problem} problem
 */
async function refused({ sha256 }, problem) {
  passed.add(sha256);
  const named = (await everything()).some(({ kind, body }) => kind === "photo" && body.sha256 === sha256);
  if (named) await markPhoto(sha256, "waiting", problem.detail);
  else await drop(sha256);
}

/**
 * Send one photo, from where the shop has it; whether to go on with the next, for no record waits.
 * @param {KeptPhoto} row
 * @param {string} key
 */
async function sendOne(row, key) {
  const bytes = await photoBytes(row.sha256);
  if (!bytes) return true;
  if ((await waiting(1)).length) return false;
  let asked = await request("GET", `${at(row.sha256)}/held`, { key, good: [200, 404] });
  for (;;) {
    if (asked.status >= 400) return refused(row, asked.body).then(() => true);
    /** @type {PhotoHeld} */
    const held = asked.body;
    if (held.whole) break;
    if ((await waiting(1)).length) return false;
    const part = bytes.subarray(held.have, held.have + PHOTO_PART);
    const path = `${at(row.sha256)}?at=${held.have}&size=${bytes.length}`;
    const how = { bytes: part, key, good: [200, 201, 404, 413], patience_ms: PATIENCE_MS };
    asked = await request("PUT", path, how);
    if (asked.status < 400 && !asked.body.whole && !(asked.body.have > held.have)) throw new Trouble("not-ours");
  }
  await markPhoto(row.sha256, "shop");
  return true;
}

async function pass() {
  const held = await access();
  if (!held) return;
  await noteBook();
  const rows = (await keptPhotos()).filter(({ sha256, state }) => state === "waiting" && !passed.has(sha256));
  for (const row of rows) if (!(await sendOne(row, held.key))) return;
}

async function round() {
  clearTimeout(timer);
  try {
    const locks = navigator.locks;
    if (!locks) await pass();
    else await locks.request("bothends-photos", { ifAvailable: true }, async (lock) => lock && pass());
    tries = 0;
  } catch (error) {
    tries += 1;
    const retry_after_s = error instanceof Trouble ? error.retry_after_s : null;
    timer = setTimeout(sendPhotos, waitS(tries, { retry_after_s }) * 1000);
  }
}

/** Send what waits; resolves once that is done, also where this page is at it already. What stands in the way is tried
 * again later. */
export function sendPhotos() {
  running ??= round().finally(() => (running = null));
  return running;
}

/** Send photos whenever a round has gone well. */
export function startPhotos() {
  watchSync((status) => {
    if (status.state !== "idle" || status.ok_at === null || status.ok_at === ok_at) return;
    ok_at = status.ok_at;
    sendPhotos();
  });
}

/**
 * Fetch a photo from the shop and keep it; null where it is not there yet, or the shop is not to be had. One after the
 * other, so that records find room between them.
 * @param {string} sha256
 * @returns {Promise<Blob | null>}
 */
export function fetchPhoto(sha256) {
  const fetched = fetching.then(async () => {
    const held = await access();
    if (!held) return null;
    const { key } = held;
    const asked = await request("GET", `${at(sha256)}/held`, { key }).catch(() => null);
    const found = asked?.body.whole ? await bytesAt(at(sha256), { key }).catch(() => null) : null;
    if (!found || (await nameOf(found.bytes)) !== sha256) return null;
    // Where there is no room, it is looked at and not kept.
    await keepPhoto(found.bytes, "shop").catch(() => {});
    return new Blob([found.bytes], { type: found.kind });
  });
  fetching = fetched.catch(() => {});
  return fetched;
}
