/* Photos of jobs, as screens have them: kept, looked at, and what of them the shop has. Fetched when first wanted. */

import { able, drop, keepPhoto, keptPhotos, markPhoto, photoSeen } from "../book/photos.js";
import { fetchPhoto, sendPhotos } from "../shop/photos.js";

/**
 * A photo to look at, from here or from the shop; null where it is neither here nor there yet.
 * @param {string} sha256
 */
const look = async (sha256) => (await photoSeen(sha256).catch(() => null)) ?? (await fetchPhoto(sha256));

/** It was removed: it is not sent any more, and goes first where room is needed. @param {string} sha256 */
const removed = (sha256) => markPhoto(sha256, "removed");

/** What of a photo is here and at the shop; undefined where it is not here. @param {string} sha256 */
const state = async (sha256) => (await keptPhotos()).find((row) => row.sha256 === sha256);

/** How many photos the shop has not got yet. */
const waiting = async () => (await keptPhotos()).filter(({ state }) => state === "waiting").length;

export const photos = { able, drop, keep: keepPhoto, look, removed, send: sendPhotos, state, waiting };
