/* The phone's log as a file: export of everything or one job, and the way back.

   The form is JSON: {"format": "bothends-log", "version": 1, "made": RFC 3339, "device": id, "entries": [whole entries
   as they travel], "disputed": [other contents that came under ids of these entries]}, with "simulated": true where
   they are. The shop's PC writes the same in lines, a heading with "lines", how many entries follow, and then one entry
   a line (api/bothends/book/bookfile.py). A job that was sent as a page has the first of them inside, as a script of
   type application/json. All are read here. A file of one job may say who sent it (`from`, as in a link). Importing
   merges by id: what is here already changes nothing. Fields that this version does not know are kept. Photos stand in
   `photos` (photo-file.js). */

import { deviceId } from "./device.js";
import { stamp } from "./ids.js";
import { disputed, entries, everything, merge } from "./log.js";
import { keepPacked, packedOf } from "./photo-file.js";
import { senderIn } from "./senders.js";
import { simulated } from "./told.js";

/** @import { Entry, Item, Merged, Sender } from "../types/log.d.ts" */

/** @typedef {{ name: string, text: string, type?: string }} Named A text and the name of the file it becomes. */
/**
 * @typedef {object} Opened What an exported file holds.
 * @property {boolean} simulated
 * @property {{ line: number, entry: unknown }[]} rows `line` is the line of the file, or which entry of the one object;
 *   `entry` is undefined where the line is not JSON.
 * @property {unknown[]} disputed
 * @property {Sender} [from] who sent it, as it says
 * @property {unknown} [photos] as photo-file.js packs them
 * @property {number} missing how many entries the heading promises beyond those that are there
 */

const FORMAT = "bothends-log";
const VERSION = 1;
/** The script of a page that has its job, as parts/job-page.js writes it. */
const IN_PAGE = /<script type="application\/json" id="bothends-log">([^<]*)<\/script>/;
/** Largest file that is read, in characters; a book of years is a tenth of it. */
export const MOST_CHARACTERS = 64 * 1024 * 1024;

const WORDS = {
  "not-ours": "This file holds no data of this app. Choose the file that was exported here.",
  newer: "This file was written by a newer version of the app. Update this one, then import it again.",
  "too-large": "This file is too large to be an export of this app.",
  damaged: "This packed file is damaged or cut off. Nothing of it was taken.",
  simulated:
    "This file is of a simulated season. It is kept apart from real cars: open it where such a season is shown.",
};

/** A file that could not be read: `code` as above, the message is for people. Nothing was changed. */
export class FileError extends Error {
  /** @param {keyof typeof WORDS} code */
  constructor(code) {
    super(WORDS[code]);
    this.name = "FileError";
    this.code = code;
  }
}

/**
 * The whole log, or one job of it: {name, text, entries, left} with entries their number, and left how many photos are
 * not in it.
 * @param {string | null} [job]
 * @param {Sender} [from] who sends it
 * @param {{ photos?: boolean }} [how] with photos, or without
 */
export async function exported(job = null, from = undefined, { photos = false } = {}) {
  const [found, others, device, invented] = await Promise.all([
    job === null ? everything() : entries(job),
    disputed(job),
    deviceId(),
    simulated(),
  ]);
  const made = stamp();
  const { packed, left } = photos ? await packedOf(found) : { packed: [], left: 0 };
  const mark = invented ? { simulated: true } : {};
  const log = {
    format: FORMAT,
    version: VERSION,
    made,
    ...mark,
    device,
    from,
    entries: found,
    disputed: others.map((row) => row.entry),
    ...(packed.length ? { photos: packed } : {}),
  };
  const name = `bothends-${job === null ? "log" : `job-${job.slice(-6)}`}-${made.slice(0, 10)}.json`;
  return { name, text: JSON.stringify(log, null, 1), entries: found.length, left };
}

/**
 * Hand a file to the browser's downloads.
 * @param {Named} file
 */
export function download({ name, text, type = "application/json" }) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  // The browser takes the bytes after this turn; let go of them only then.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/**
 * The text of a chosen file, unpacked where it is packed by gzip.
 * @param {Blob} file
 */
export async function textOf(file) {
  const begins = new Uint8Array(await file.slice(0, 2).arrayBuffer());
  if (begins[0] !== 0x1f || begins[1] !== 0x8b) return file.text();
  try {
    return await new Response(file.stream().pipeThrough(new DecompressionStream("gzip"))).text();
  } catch {
    throw new FileError("damaged");
  }
}

/**
 * JSON of a text, or undefined.
 * @param {string} text
 */
function json(text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/**
 * What a file in lines holds below its heading.
 * @param {{ lines: number, simulated?: unknown }} heading
 * @param {string} text
 * @returns {Opened}
 */
function linesOf(heading, text) {
  const lines = text === "" ? [] : text.split("\n");
  if (lines.at(-1) === "") lines.pop();
  const rows = lines.map((line, i) => ({ line: i + 2, entry: json(line) }));
  const missing = Math.max(0, heading.lines - rows.length);
  return { simulated: heading.simulated === true, rows, disputed: [], missing };
}

/**
 * What a file of one object holds.
 * @param {{ entries: unknown[], simulated?: unknown, disputed?: unknown, from?: unknown, photos?: unknown }} log
 * @returns {Opened}
 */
function objectOf({ entries, simulated: invented, disputed: others, from, photos }) {
  const rows = entries.map((entry, i) => ({ line: i + 1, entry }));
  const sender = senderIn(from);
  const told = sender && { from: sender };
  return {
    simulated: invented === true,
    rows,
    ...told,
    disputed: Array.isArray(others) ? others : [],
    missing: 0,
    photos,
  };
}

/**
 * What an exported file holds, in any layout. Throws a FileError.
 * @param {string} text
 * @returns {Opened}
 */
export function opened(text) {
  if (text.length > MOST_CHARACTERS) throw new FileError("too-large");
  // Only a page begins like this; what it shows beside the script is not read.
  if (/^\s*</.test(text)) return opened(IN_PAGE.exec(text)?.[1].trim() ?? "");
  const end = text.indexOf("\n");
  const heading = json(end < 0 ? text : text.slice(0, end));
  const inLines = Number.isInteger(heading?.lines);
  const log = inLines ? heading : json(text);
  if (log?.format !== FORMAT || !Number.isInteger(log.version)) throw new FileError("not-ours");
  if (log.version > VERSION) throw new FileError("newer");
  if (inLines) return linesOf(log, end < 0 ? "" : text.slice(end + 1));
  if (!Array.isArray(log.entries)) throw new FileError("not-ours");
  return objectOf(log);
}

/**
 * The same where what may not be taken in here is refused: a simulated season. Rejects with a FileError.
 * @param {string} text
 */
export async function openedHere(text) {
  const log = opened(text);
  if (log.simulated && !(await simulated())) throw new FileError("simulated");
  return log;
}

/**
 * Take in the text of an exported file, as log.merge does, and write what was said of it; throws a FileError.
 * @param {string} text
 * @param {Map<string, Item[]>} [then] by job
 */
export async function imported(text, then = new Map()) {
  const log = await openedHere(text);
  const told = await merge(
    log.rows.map(({ entry }) => entry ?? null),
    { came: "file", then },
  );
  const others = log.disputed.length ? await merge(log.disputed, { came: "file" }) : null;
  // Photos come after the records; where there is no room for one, the records are kept all the same.
  await keepPacked(
    log.photos,
    log.rows.map(({ entry }) => entry),
  ).catch(() => {});
  if (others) told.disputed.push(...others.disputed.filter((id) => !told.disputed.includes(id)));
  return told;
}
