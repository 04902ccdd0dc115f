/* Ids and stamps of entries, made where the entry is written.

   An id is a UUIDv7. Its first 48 bits are this phone's clock, never earlier than that of an id its writer has seen
   in the job, so that cause stays before effect where two clocks disagree. The clock is a label: a device's own
   entries are ordered by device_seq. */

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

/**
 * A new id; `after` is the greatest id seen in the job, if any.
 * @param {{ after?: string | null, now?: number }} [how]
 */
export function newId({ after = null, now = Date.now() } = {}) {
  const ms = after === null ? now : Math.max(now, stampMs(after));
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let i = 0; i < 6; i += 1) bytes[i] = Math.floor(ms / 2 ** (40 - 8 * i)) % 256;
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
