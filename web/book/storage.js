/* The one place that knows where this phone keeps things: localStorage today, IndexedDB when the logbook comes.

   Values go in and out as JSON under our own prefix. A write that did not happen throws NotKept, never passes
   silently: whoever typed must be told. Where the browser refuses storage altogether, memory stands in and
   `lasting()` says so. */

const PREFIX = "bothends/";
const memory = new Map();

/** A write that did not reach the disk; the message is for people. */
export class NotKept extends Error {}

function probe() {
  try {
    localStorage.setItem(`${PREFIX}probe`, "1");
    localStorage.removeItem(`${PREFIX}probe`);
    return true;
  } catch {
    return false;
  }
}

const kept = probe();

/** Whether what is written outlives this page. */
export const lasting = () => kept;

/** The value under a key, or `otherwise`. Unreadable text counts as absent, and stays where it is. */
export function read(key, otherwise = null) {
  const text = kept ? localStorage.getItem(PREFIX + key) : memory.get(key);
  if (text == null) return otherwise;
  try {
    return JSON.parse(text);
  } catch {
    return otherwise;
  }
}

/** Keep a value; throws NotKept when the phone has no room. */
export function write(key, value) {
  const text = JSON.stringify(value);
  if (!kept) {
    memory.set(key, text);
    return;
  }
  try {
    localStorage.setItem(PREFIX + key, text);
  } catch {
    throw new NotKept("This phone has no room left, so the last entry is not kept. Free some storage, then enter it again.");
  }
}

/** Forget a key. */
export function remove(key) {
  if (kept) localStorage.removeItem(PREFIX + key);
  else memory.delete(key);
}
