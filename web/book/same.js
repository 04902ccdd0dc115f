/* Whether two entries say the same, whether a value is an entry at all, and a short sum over text.

   Owns no meaning: what a kind is about is the sheet's business. Fields this version does not know count like any. */

import { isId, tooLate } from "./ids.js";

/** @import { Entry } from "../types/log.d.ts" */

/**
 * Text that two values share exactly if they mean the same in JSON.
 * @param {any} value
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join()}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const names = Object.keys(value).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join()}}`;
}

/**
 * An entry with what may be left open said: a schema number, no empty count.
 * @param {Entry} entry
 */
function plain(entry) {
  const { device_seq = null, ...rest } = { schema: 1, ...entry };
  return device_seq === null ? rest : { ...rest, device_seq };
}

/**
 * Whether two entries have the same content.
 * @param {Entry} one
 * @param {Entry} other
 */
export const same = (one, other) => canonical(plain(one)) === canonical(plain(other));

/**
 * Why an entry is not taken in whose id, or its job's, is stamped beyond the bound, or "".
 * @param {any} value
 */
export const lateWords = (value) =>
  (isId(value?.id) && tooLate("id", value.id)) || (isId(value?.job) && tooLate("job", value.job)) || "";

/**
 * What is wrong with a value that should be an entry, or "".
 * @param {any} value
 */
export function unfit(value) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return "it is not a record";
  if (!isId(value.id)) return "its id is not one of ours";
  if (!isId(value.job)) return "it names no job";
  const late = lateWords(value);
  if (late) return late;
  for (const name of ["device", "at", "kind"]) if (typeof value[name] !== "string") return `it has no ${name}`;
  if (value.body === null || typeof value.body !== "object" || Array.isArray(value.body)) return "it has no body";
  return "";
}

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/**
 * CRC-32 (as in gzip, RFC 1952) of bytes, as 8 hexadecimal digits; finds slips, guards against nobody.
 * @param {Uint8Array} bytes
 */
export function crc32(bytes) {
  let c = 0xffffffff;
  for (const b of bytes) c = TABLE[(c ^ b) & 0xff] ^ (c >>> 8);
  return ((c ^ 0xffffffff) >>> 0).toString(16).padStart(8, "0");
}
