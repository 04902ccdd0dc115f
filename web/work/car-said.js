/* What a job says of which car it is, in the words that the rule compares (book/sheet/identity.py): the same as the
   shop's book has them (book/job_rows.py). */

import { MARKS } from "../model/facts.js";

/** @import { Sheet } from "../types/sheet.d.ts" */

/** @typedef {{ job: string, about: Partial<Sheet["about"]>, named: string, chassis: string, plate: string }} Told */
/** @typedef {{ job: string, key: string, by: string, chassis: string, plate: string }} Which Whose visit a job is, and
 *   why; its numbers as they are compared. */

/** How many characters a plate and a chassis number may have. */
export const LONGEST = MARKS;

/** Upper and lower case alike, as the book compares them. @param {string} text */
const folded = (text) => text.toLowerCase().replaceAll("ß", "ss");

/** @param {string} text */
const plain = (text) => folded(text).split(/\s+/).filter(Boolean).join(" ");

/** A plate or chassis number without what is read or left out as one likes. @param {string} text */
export const compact = (text) => folded(text).replace(/[^\p{L}\p{N}]/gu, "");

/** Name and owner as they are compared; "" where the car has no name. @param {string} [car] @param {string} [owner] */
export const named = (car = "", owner = "") => (plain(car) ? `${plain(car)} / ${plain(owner)}` : "");

/** @param {Pick<Sheet, "job" | "about" | "car_name" | "owner">} sheet @returns {Told} */
export const toldOf = ({ job, about, car_name: car, owner }) => ({
  job,
  about,
  named: named(car, owner),
  chassis: compact(String(about.chassis ?? "")),
  plate: compact(String(about.plate ?? "")),
});

/**
 * The id that a job goes by: what a person said of it, else its own; a new job that says this id is a visit of the same
 * car. "" where nothing says which car it is.
 * @param {Pick<Sheet, "job" | "about" | "car_name" | "owner">} sheet
 */
export function idOf(sheet) {
  const { about, job } = sheet;
  const name = named(sheet.car_name, sheet.owner);
  if (about.car_id) return about.car_id;
  if (about.by_name !== false && name) return name;
  return name || about.plate || about.chassis ? job : "";
}
