/* Photos inside an exported file: `photos`, [{"sha256", "data"}] with data in base64, beside the entries that name
   them. Older versions of the app and of the shop's PC leave it unread and take the entries.

   Owns the bound: a file stays one that every version can open. */

import { bare } from "../work/photo-size.js";
import { keepPhoto, nameOf, photoBytes } from "./photos.js";

/** @import { Entry } from "../types/log.d.ts" */

/** @typedef {{ sha256: string, data: string }} Packed */

/** Most characters of all photos of a file: two thirds of what is read at all. */
const MOST_CHARACTERS = 40 * 1024 * 1024;
const AT_ONCE = 8192;

/** @param {Uint8Array} bytes */
function base64(bytes) {
  let text = "";
  for (let i = 0; i < bytes.length; i += AT_ONCE) text += String.fromCharCode(...bytes.subarray(i, i + AT_ONCE));
  return btoa(text);
}

/** @param {string} text @returns {Uint8Array | null} */
function bytesOf(text) {
  try {
    return Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  } catch {
    return null;
  }
}

/**
 * The names of photos that entries name and that were not removed, the newest first.
 * @param {Entry[]} entries
 */
export function namedIn(entries) {
  const struck = new Set(entries.filter(({ kind }) => kind === "strike").map(({ body }) => body.entry));
  const names = entries.flatMap(({ id, kind, body }) => (kind === "photo" && !struck.has(id) ? [body.sha256] : []));
  return [...new Set(names.reverse())];
}

/**
 * The photos of these entries that are here, as many as a file may have; how many are not in it.
 * @param {Entry[]} entries
 * @returns {Promise<{ packed: Packed[], left: number }>}
 */
export async function packedOf(entries) {
  /** @type {Packed[]} */
  const packed = [];
  const names = namedIn(entries);
  let room = MOST_CHARACTERS;
  for (const sha256 of names) {
    const bytes = await photoBytes(sha256).catch(() => null);
    if (!bytes || (4 * bytes.length) / 3 > room) continue;
    const data = base64(bytes);
    room -= data.length;
    packed.push({ sha256, data });
  }
  return { packed, left: names.length - packed.length };
}

/**
 * Keep the photos of a file that its entries name; how many are kept. What is not what its name says is left out.
 * @param {unknown} given
 * @param {unknown[]} rows the file's entries
 */
export async function keepPacked(given, rows) {
  if (!Array.isArray(given)) return 0;
  const all = /** @type {any[]} */ (rows);
  const named = new Set(all.flatMap((row) => (row?.kind === "photo" ? [row.body?.sha256] : [])));
  let kept = 0;
  for (const one of given) {
    const bytes = named.has(one?.sha256) && typeof one.data === "string" ? bytesOf(one.data) : null;
    if (!bytes || (await nameOf(bare(bytes))) !== one.sha256) continue;
    if (!(await photoBytes(one.sha256))) await keepPhoto(bytes);
    kept += 1;
  }
  return kept;
}
