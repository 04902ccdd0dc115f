/* What a new job takes along from an old one of the same car. */

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

/** The car's name, its owner and its own id.
 * @param {Pick<Sheet, "title" | "about">} sheet
 */
export function keptAbout({ title, about }) {
  const { car, owner, car_id: id } = about ?? {};
  return Object.fromEntries(Object.entries({ title, car, owner, car_id: id }).filter(([, text]) => text));
}

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
