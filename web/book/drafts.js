/* What is typed and not entered yet, kept after every key so that a reload loses nothing.

   One draft per question of a job; dropped when its entry is written. Kept in localStorage and not beside the log: it
   writes before the next key comes, where a database would still be on its way when the page goes. Nothing that was
   entered is ever here. Where the browser keeps nothing, the page's own memory stands in. */

import { NotKept } from "./base.js";

const PREFIX = "bothends/draft/";
/**
 * @param {string} job
 * @param {string} question
 */
const place = (job, question) => `${PREFIX}${job}/${question}`;
/** @type {Map<string, string>} */
const memory = new Map();

function store() {
  try {
    return globalThis.localStorage ?? null;
  } catch {
    return null;
  }
}

/**
 * The draft of a question, or null; unreadable text counts as absent.
 * @param {string} job
 * @param {string} question
 */
export function draft(job, question) {
  const key = place(job, question);
  const text = memory.get(key) ?? store()?.getItem(key);
  try {
    return text ? JSON.parse(text) : null;
  } catch {
    return null;
  }
}

/**
 * Keep a draft; throws NotKept when the phone has no room (this page remembers it all the same).
 * @param {string} job
 * @param {string} question
 * @param {unknown} typed
 */
export function keep(job, question, typed) {
  const key = place(job, question);
  const text = JSON.stringify(typed);
  memory.set(key, text);
  try {
    store()?.setItem(key, text);
  } catch (error) {
    throw new NotKept("full", error);
  }
  memory.delete(store() ? key : "");
}

/**
 * Drop all drafts of a job: its customer was erased.
 * @param {string} job
 */
export function dropAll(job) {
  const begin = place(job, "");
  for (const key of [...memory.keys()].filter((one) => one.startsWith(begin))) memory.delete(key);
  const kept = store();
  const keys = Array.from({ length: kept?.length ?? 0 }, (_, i) => kept?.key(i) ?? "");
  for (const key of keys.filter((one) => one.startsWith(begin))) kept?.removeItem(key);
}

/**
 * Drop a draft once its entry is written.
 * @param {string} job
 * @param {string} question
 */
export function drop(job, question) {
  memory.delete(place(job, question));
  store()?.removeItem(place(job, question));
}
