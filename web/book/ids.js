/* Ids and stamps of entries, made where the entry is written.

   An id is a UUIDv7. Its first 48 bits are this phone's clock, or a millisecond after the last stamp its writer has
   seen where that is later (a hybrid logical clock): so cause stays before effect however far clocks disagree. The
   clock is a label: a device's own entries are ordered by device_seq. One stamp far ahead drives all later ones before
   it, so none beyond LAST_STAMP_MS is taken in. */

import { LAST_STAMP_MS } from "../model/facts.js";

const PATTERN = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

/**
 * Whether a value is an id in the one spelling that is used.
 * @param {unknown} value
 * @returns {boolean}
 */
export const isId = (value) => typeof value === "string" && PATTERN.test(value);

/**
 * The writer's clock when it made an id, ms since 1970.
 * @param {string} id
 */
export const stampMs = (id) => parseInt(id.slice(0, 8) + id.slice(9, 13), 16);

/** @param {number} ms */
const digitsOf = (ms) => ms.toString(16).padStart(12, "0");
const LAST = digitsOf(LAST_STAMP_MS);
/** No id that is taken in comes after this text; those beyond the bound do. */
export const LAST_ID = `${LAST.slice(0, 8)}-${LAST.slice(8)}-~`;

/**
 * Why an id in this field is not taken in, or "".
 * @param {string} field
 * @param {string} id
 */
export const tooLate = (field, id) =>
  stampMs(id) > LAST_STAMP_MS
    ? `its ${field} is stamped after the year ${new Date(LAST_STAMP_MS).getUTCFullYear()}: ` +
      "set the clock of the device that made it, then enter this again there"
    : "";

/**
 * A new id that sorts after `after`, the greatest id its writer has seen, if any. The same as ids.new in
 * api/bothends/book/ids.py, which a test holds against this: at the bound stamps stay the same, and a clock beyond it
 * is no clock.
 * @param {{ after?: string | null, now?: number }} [how]
 */
export function newId({ after = null, now = Date.now() } = {}) {
  const clock = now > LAST_STAMP_MS ? 0 : now;
  const ms = Math.min(after === null ? clock : Math.max(clock, stampMs(after) + 1), LAST_STAMP_MS);
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const stamped = digitsOf(ms);
  for (let i = 0; i < 6; i += 1) bytes[i] = parseInt(stamped.slice(2 * i, 2 * i + 2), 16);
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** RFC 3339 with this phone's own offset. */
export function stamp(date = new Date()) {
  const minutes = -date.getTimezoneOffset();
  const two = (/** @type {number} */ n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const local = new Date(date.getTime() + minutes * 60000).toISOString().slice(0, 19);
  return `${local}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}
