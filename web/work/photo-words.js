/* Photos in words: where one helps, what one shows, what becomes of its bytes. */

import { PHOTO_WORDS } from "../model/facts.js";
import { counted } from "./plural.js";
import { titled } from "./sentence.js";
import { strikeOf } from "./sheet.js";
import { named } from "./this-device.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { PhotoRow, Side } from "../types/sheet.d.ts" */
/** @import { PhotoBody } from "../types/wire.d.ts" */

export { PHOTO_WORDS };

/** @typedef {PhotoBody["shows"]} Shows */
/** @typedef {Pick<PhotoBody, "shows" | "side" | "step" | "teardown" | "what">} About What a photo is taken of. */
/** @typedef {{ sha256: string, bytes: number, width: number, height: number }} Made A photo as it is kept. */

/** @type {Record<Shows, string>} */
const SHOWN = { marks: "paint marks", gauge: "gauge on the arm", spline: "spline", other: "photo" };

/** Steps of a teardown at which a photo helps whoever opens it next, and what it shows.
 * @type {{ [step: string]: Shows }} */
const AT = {
  "cover-off": "marks",
  count: "spline",
  caliper: "spline",
  found: "gauge",
  "turn-inner": "spline",
  "turn-outer": "spline",
  read: "gauge",
};
/** What the next mechanic looks for first on paper. @type {Shows[]} */
const ON_PAPER = ["marks", "spline"];

const SAID = {
  /** @type {[string, string]} */
  here: [
    "{n} photo stays here; it is in the file of the job.",
    "{n} photos stay here; they are in the file of the job.",
  ],
  /** @type {[string, string]} */
  along: [
    "{n} photo is not at the shop yet. It goes along in a file.",
    "{n} photos are not at the shop yet. They go along in a file.",
  ],
  /** @type {[string, string]} */
  left: ["{n} photo is not in the file: it is not on {here}.", "{n} photos are not in the file."],
};

/**
 * What a photo at a step of a teardown shows; null where none helps.
 * @param {{ key: string, side?: Side | null }} step
 * @param {number} teardown
 * @returns {About | null}
 */
export function atStep({ key, side }, teardown) {
  const shows = AT[key];
  return shows ? { shows, teardown, step: key, ...(side ? { side } : {}) } : null;
}

/**
 * Photos of a job that were taken of the same, the newest last.
 * @param {PhotoRow[]} photos
 * @param {About} about
 */
export const alike = (photos, about) =>
  photos.filter(
    (row) =>
      row.shows === about.shows &&
      (row.side ?? null) === (about.side ?? null) &&
      (row.step ?? null) === (about.step ?? null) &&
      (row.what ?? null) === (about.what ?? null) &&
      (row.teardown ?? 0) === (about.teardown ?? 0),
  );

/** "Paint marks, left, teardown 1". @param {About} about */
export const nameOf = ({ shows, side, teardown }) =>
  [titled(SHOWN[shows] ?? SHOWN.other), side, teardown ? `teardown ${teardown}` : ""].filter(Boolean).join(", ");

/**
 * The record of a photo.
 * @param {About} about
 * @param {Made} made
 * @returns {Item}
 */
export const itemOf = (about, made) => ["photo", { ...made, ...about }];

/**
 * What says other words of a photo: the same bytes named anew, the old record taken out.
 * @param {PhotoRow} row
 * @param {string} words
 * @returns {Item[]}
 */
export function reworded(row, words) {
  const { id, at: _, device: __, writer: ___, ...body } = row;
  return [["photo", { ...body, words }], strikeOf({ id, root: id })];
}

/**
 * The newest few for paper: of marks and splines first, the newest of each kind and side before another one.
 * @param {PhotoRow[]} photos
 * @param {number} most
 * @returns {PhotoRow[]}
 */
export function forPaper(photos, most) {
  const newest = photos.filter(({ shows }) => ON_PAPER.includes(shows)).reverse();
  /** @type {Set<string>} */
  const seen = new Set();
  const first = newest.filter(({ shows, side }) => {
    const key = `${shows} ${side ?? ""}`;
    return !seen.has(key) && seen.add(key);
  });
  return [...first, ...newest.filter((row) => !first.includes(row))].slice(0, most);
}

/** What is said beside a link, which carries no photo; "" where the job has none. @param {number} n */
export const stayWords = (n) => (n ? counted(n, ...SAID.here) : "");

/** What is said of photos that the shop lacks and that go along in a file. @param {number} n */
export const alongWords = (n) => counted(n, ...SAID.along);

/** What is said of photos that a file lacks; "" where it has all. @param {number} n */
export const leftWords = (n) => (n ? named(counted(n, ...SAID.left)) : "");
