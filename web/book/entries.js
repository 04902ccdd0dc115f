/* The logbook on this phone: jobs, each an append-only list of entries.

   Owns ids, the device's name, the order of arrival. Nothing is erased: a wrong entry is struck by another. It does
   not know what the kinds mean (sheet.js does), nor where things are kept (storage.js does). */

import { read, write } from "./storage.js";

const SCHEMA = 1;
const listeners = new Set();

/** UUIDv7: 48 bits of milliseconds, then random; made where the entry is written. */
export function newId(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let i = 0; i < 6; i += 1) bytes[i] = Math.floor(now / 2 ** (40 - 8 * i)) % 256;
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** RFC 3339 with this phone's own offset. */
export function stamp(date = new Date()) {
  const minutes = -date.getTimezoneOffset();
  const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const local = new Date(date.getTime() + minutes * 60000).toISOString().slice(0, 19);
  return `${local}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

function device() {
  let id = read("device");
  if (!id) {
    id = newId();
    write("device", id);
  }
  return id;
}

/** Ids of the jobs on this phone, newest first. */
export const jobs = () => read("jobs", []);

/** A job's entries in order of arrival. */
export const entries = (job) => read(`job/${job}`, []);

/**
 * Add entries to a job in one write: all of them are kept, or none and NotKept is thrown.
 * `items` is a list of [kind, body]. Returns the new entries.
 */
export function append(job, items) {
  const made = items.map(([kind, body]) => ({ schema: SCHEMA, id: newId(), job, device: device(), at: stamp(), kind, body }));
  write(`job/${job}`, [...entries(job), ...made]);
  const known = jobs();
  if (!known.includes(job)) write("jobs", [job, ...known]);
  for (const listener of listeners) listener(job);
  return made;
}

/** Open a new job with its first entries; returns its id. */
export function open(items) {
  const job = newId();
  append(job, items);
  return job;
}

/** Be told of every job that changed. Returns how to stop. */
export function watch(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
