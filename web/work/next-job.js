/* What a new job takes along from an old one of the same car. */

import { PASSING, SAME, SEEN_FROM } from "../model/facts.js";
import { sprungOf } from "./adjuster.js";
import { idOf } from "./car-said.js";
import { heightsAs } from "./wish.js";

/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { SolveRequest } from "../types/wire.d.ts" */

/**
 * The car as it stays, whatever its bars and heights are: travel to the stops and the half axle's angle were found at
 * the old ones, and what was learned goes along by itself.
 * @param {any} car of a request
 */
export function keptCar(car) {
  const { known, half_axle_deg: axle, limits = {}, ...rest } = car;
  const { bump_mm: bump, droop_mm: droop, ...kept } = limits;
  return { ...rest, limits: kept };
}

/** A car's card without what was as one visit found it.
 * @param {any} card @param {string} [above] its path
 * @returns {any}
 */
export const lastingOf = (card, above = "car") =>
  Object.fromEntries(
    Object.entries(card).flatMap(([name, value]) => {
      const path = `${above}.${name}`;
      if (value === null || value === undefined || PASSING.includes(path)) return [];
      if (typeof value !== "object") return [[name, value]];
      const inner = lastingOf(value, path);
      return Object.keys(inner).length ? [[name, inner]] : [];
    }),
  );

/** A card with what a later one says of it. @param {any} into @param {any} patch @returns {any} */
export const merged = (into, patch) =>
  Object.entries(patch).reduce(
    (out, [name, value]) => ({
      ...out,
      [name]: value && typeof value === "object" && !Array.isArray(value) ? merged(out[name] ?? {}, value) : value,
    }),
    { ...into },
  );

/** A card as a job of the axle `sprung` has it: where it is of the other one, both change places; what one axle has of
 * the rest of the car is not the other one's.
 * @param {any} card @param {string} sprung
 * @returns {any}
 */
export function seenFrom(card, sprung) {
  if (sprungOf(card) === sprung) return card;
  const { other, ...rest } = card;
  const own = Object.fromEntries(Object.entries(rest).filter(([name]) => !SEEN_FROM.includes(name)));
  return { ...other, sprung, ...(Object.keys(own).length ? { other: own } : {}) };
}

/**
 * What visits left for the next one, by their cards in order of time: as a job has it of the axle that was worked on
 * last. A later visit says more, or says it better; what it is silent about still holds.
 * @param {any[]} cards
 * @returns {any}
 */
export function leftBy(cards) {
  const said = cards.map((card) => lastingOf(card)).filter((card) => Object.keys(card).length);
  return said.reduce((out, card) => merged(out, seenFrom(card, sprungOf(said.at(-1)))), {});
}

/** What says which car it is: name, owner, plate, chassis number, and the id by which a job is a visit of the same car.
 * @param {Pick<Sheet, "job" | "title" | "about" | "car_name" | "owner">} sheet
 */
export const keptAbout = (sheet) =>
  Object.fromEntries(
    Object.entries({ title: sheet.title, ...sheet.about, car_id: idOf(sheet) }).filter(
      ([name, text]) => text && (name === "title" || SAME.includes(name)),
    ),
  );

/**
 * A target as the heights that it came to, with its own tolerances, since a rise counts from how the car will be
 * found; one of angles stays as it is.
 * @param {any} target
 * @param {{ left_mm?: number | null, right_mm?: number | null }} came
 */
export function keptTarget(target, { left_mm, right_mm }) {
  if (typeof left_mm !== "number" || typeof right_mm !== "number") return target;
  const own = ["tolerance_mm", "lean_mm"].filter((name) => typeof target[name] === "number");
  return {
    ...heightsAs(target, { left_mm, right_mm }),
    ...Object.fromEntries(own.map((name) => [name, target[name]])),
  };
}
