/* The phone's log as a file: export of everything or one job, and the way back.

   The form is JSON: {"format": "bothends-log", "version": 1, "made": RFC 3339, "device": id, "entries": [whole entries as they
   travel], "disputed": [other contents that came under ids of these entries]}. Importing merges by id: what is here
   already changes nothing. Fields that this version does not know are kept. */

import { deviceId } from "./device.js";
import { stamp } from "./ids.js";
import { disputed, entries, everything, merge } from "./log.js";

const FORMAT = "bothends-log";
const VERSION = 1;
/** Largest file that is read, in characters; a book of years is a tenth of it. */
export const MOST_CHARACTERS = 64 * 1024 * 1024;

const WORDS = {
  "not-ours": "This file is not a log of this app. Choose the file that was exported here.",
  newer: "This file was written by a newer version of the app. Update this one, then import it again.",
  "too-large": "This file is too large to be a log.",
};

/** A file that could not be read: `code` as above, the message is for people. Nothing was changed. */
export class FileError extends Error {
  constructor(code) {
    super(WORDS[code]);
    Object.assign(this, { name: "FileError", code });
  }
}

/** The whole log, or one job of it: {name, text, entries} with entries their number. */
export async function exported(job = null) {
  const [found, others, device] = await Promise.all([job === null ? everything() : entries(job), disputed(job), deviceId()]);
  const made = stamp();
  const log = { format: FORMAT, version: VERSION, made, device, entries: found, disputed: others.map((row) => row.entry) };
  const name = `bothends-${job === null ? "log" : `job-${job.slice(-6)}`}-${made.slice(0, 10)}.json`;
  return { name, text: JSON.stringify(log, null, 1), entries: found.length };
}

/** Hand a file to the browser's downloads. */
export function download({ name, text }) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  // The browser takes the bytes after this turn; let go of them only then.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/** Take in the text of an exported file: {added, known, disputed, unfit} as log.merge; throws a FileError. */
export async function imported(text) {
  if (text.length > MOST_CHARACTERS) throw new FileError("too-large");
  let log;
  try {
    log = JSON.parse(text);
  } catch {
    throw new FileError("not-ours");
  }
  if (log?.format !== FORMAT || !Number.isInteger(log.version)) throw new FileError("not-ours");
  if (log.version > VERSION) throw new FileError("newer");
  if (!Array.isArray(log.entries)) throw new FileError("not-ours");
  const told = await merge(log.entries, { came: "file" });
  const others = Array.isArray(log.disputed) && log.disputed.length ? await merge(log.disputed, { came: "file" }) : null;
  if (others) told.disputed.push(...others.disputed.filter((id) => !told.disputed.includes(id)));
  return told;
}
