/* A job in a link: its entries, deflated, in the URL's fragment, so that they never pass a server. The same for the
   whole log that moves to another address of the app.

   The form: #job=1.SUM.LENGTH.TEXT with 1 the version of this form, SUM the CRC-32 of the deflated bytes, LENGTH how
   many characters TEXT has (base 36), TEXT base64url of deflated JSON {job, entries}, the entries without their job;
   beside them may stand `from`: {name, address}, who sent it and the address of the shop that the job goes back to. A
   log has #log= and the JSON of file.js. Owns packing and the ways a link can be spoilt; nothing is kept here,
   log.merge does that when somebody agrees. */

import { deflateSync, Inflate, strFromU8, strToU8 } from "../vendor/fflate.mjs";
import { HOME } from "../model/place.js";
import { LOG_MARK, MARK } from "./fragment.js";
import { isId } from "./ids.js";
import { crc32, lateWords, unfit } from "./same.js";
import { senderIn } from "./senders.js";

/** @import { Entry, Sender } from "../types/log.d.ts" */

const VERSION = 1;
/** More than this, unpacked, is not a job: a season's readings are a tenth of it. */
export const MOST_BYTES = 2 * 1024 * 1024;
/** The same for a whole log, and how long an address may get: browsers take twice this and more. */
const MOST_LOG_BYTES = 32 * 1024 * 1024;
const MOST_CHARACTERS = 500_000;
// Deflate grows at most about a thousandfold, so that little more than the limit is ever unpacked.
const PIECE_BYTES = 256;

const WORDS = {
  "not-a-link": "This is not a job link.",
  newer: "This link was made by a newer version of the app. Update this one, then open the link again.",
  "cut-off":
    "This link was cut off on its way. Send it again in one piece, or as a code to be photographed, or export a file.",
  damaged: "This link was changed on its way and cannot be read. Send it again, or export a file.",
  "not-taken": "This link holds a record that cannot be taken in; nothing of it was.",
  "too-large": "This link holds more than a job can. It was not opened.",
  "too-long": "This job is too large for a link. Export it as a file.",
};

/** A link that could not be read or made: `code` as above, the message is for people. Nothing was kept or lost. */
export class LinkError extends Error {
  /**
   * @param {keyof typeof WORDS} code
   * @param {string}
   [detail] */
  constructor(code, detail = "") {
    super(detail ? `${WORDS[code]} (${detail})` : WORDS[code]);
    this.name = "LinkError";
    this.code = code;
  }
}

/** @param {Uint8Array} bytes */
function base64url(bytes) {
  let text = "";
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/** @param {string} text */
function bytesOf(text) {
  try {
    return Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
  } catch {
    throw new LinkError("damaged");
  }
}

/**
 * Inflate piece by piece and stop at the limit, so that a small link cannot fill the phone.
 * @param {Uint8Array} bytes
 * @param {number} most
 */
function inflated(bytes, most) {
  /** @type {Uint8Array[]} */
  const parts = [];
  let length = 0;
  let ended = false;
  const stream = new Inflate((part, final) => {
    parts.push(part);
    length += part.length;
    ended = final;
  });
  for (let i = 0; i < bytes.length; i += PIECE_BYTES) {
    try {
      stream.push(bytes.subarray(i, i + PIECE_BYTES), i + PIECE_BYTES >= bytes.length);
    } catch {
      throw new LinkError("damaged");
    }
    if (length > most) throw new LinkError("too-large");
  }
  if (!ended) throw new LinkError("damaged");
  const out = new Uint8Array(length);
  parts.reduce((at, part) => (out.set(part, at), at + part.length), 0);
  return out;
}

/**
 * @param {string} mark
 * @param {Uint8Array} plain
 */
function packed(mark, plain) {
  const bytes = deflateSync(plain, { level: 9 });
  const text = base64url(bytes);
  return `${mark}${VERSION}.${crc32(bytes)}.${text.length.toString(36)}.${text}`;
}

/**
 * The fragment that carries entries of one job; throws a LinkError "too-long" where they are too many.
 * @param {Entry[]} entries
 * @param {Sender} [from]
 */
export function pack(entries, from) {
  const job = entries[0]?.job;
  if (!entries.length || entries.some((entry) => entry.job !== job))
    throw new TypeError("a link carries the records of one job");
  const plain = strToU8(
    JSON.stringify({ job, entries: entries.map(({ job: _, ...rest }) => rest), from: senderIn(from) }),
  );
  if (plain.length > MOST_BYTES) throw new LinkError("too-long");
  return packed(MARK, plain);
}

/**
 * The fragment that carries a whole log; throws a LinkError "too-long" where it is too much for an address.
 * @param {unknown} log
 */
export function packLog(log) {
  const text = packed(LOG_MARK, strToU8(JSON.stringify(log)));
  if (text.length > MOST_CHARACTERS) throw new LinkError("too-long");
  return text;
}

/**
 * A link to this app (or another copy of it, in the folder `base`) that carries entries of one job.
 * @param {Entry[]} entries
 * @param {string} [base]
 * @param {Sender} [from]
 */
export const linkOf = (entries, base = HOME, from = undefined) => new URL(pack(entries, from), base).href;

/**
 * What stands in a fragment after its mark; throws a LinkError with a code.
 * @param {string} link
 * @param {string} mark
 * @param {number} most
 * @returns {any}
 */
function held(link, mark, most) {
  const from = link.indexOf(mark);
  const parts = from < 0 ? null : /^(\d+)\.(.*)$/s.exec(link.slice(from + mark.length));
  if (!parts) throw new LinkError("not-a-link");
  if (Number(parts[1]) > VERSION) throw new LinkError("newer");
  // Messengers break long lines and add a full stop or a bracket at the end.
  const found = /^([0-9a-f]{8})\.([0-9a-z]{1,7})\.([\w-]*)[^\w-]*$/.exec(parts[2].replaceAll(/\s|%20|%0A|%0D/gi, ""));
  if (!found) throw new LinkError(parts[2].split(".").length < 3 ? "cut-off" : "damaged");
  const [, sum, length36, text] = found;
  const length = parseInt(length36, 36);
  if (text.length < length) throw new LinkError("cut-off", `${text.length} of ${length} characters came`);
  const bytes = bytesOf(text.slice(0, length));
  if (crc32(bytes) !== sum) throw new LinkError("damaged");
  try {
    return JSON.parse(strFromU8(inflated(bytes, most)));
  } catch (error) {
    throw error instanceof LinkError ? error : new LinkError("damaged");
  }
}

/**
 * The job of a fragment or a whole link; throws a LinkError with a code.
 * @param {string} link
 * @returns {{ job: string, entries: Entry[], from?: Sender }}
 */
export function unpack(link) {
  const found = held(link, MARK, MOST_BYTES);
  if (!isId(found?.job) || !Array.isArray(found.entries) || !found.entries.length) throw new LinkError("damaged");
  const entries = found.entries.map((/** @type {unknown} */ entry) =>
    entry && typeof entry === "object" ? { ...entry, job: found.job } : entry,
  );
  const late = entries.map(lateWords).find(Boolean);
  if (late) throw new LinkError("not-taken", late);
  const bad = entries.map(unfit).find(Boolean);
  if (bad) throw new LinkError("damaged", bad);
  const from = senderIn(found.from);
  return { job: found.job, entries, ...(from && { from }) };
}

/**
 * The log of a fragment, as packLog got it; throws a LinkError with a code.
 * @param {string} link
 */
export const unpackLog = (link) => held(link, LOG_MARK, MOST_LOG_BYTES);
