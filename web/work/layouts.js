/* The layouts that a job can begin with: which axle the bars spring and what sets its height, each as what it says of
   the car. The first is taken where nobody says. Words and fields only. */

import { adjusterName, adjusterOf, sprungOf } from "./adjuster.js";

/** @typedef {{ key: string, words: string, small: string, car: Record<string, any> }} Layout */

/** @type {Layout[]} */
export const LAYOUTS = [
  { key: "rear", words: "Rear, splines at both ends", small: "trailing arms, teeth", car: {} },
  {
    key: "front-screw",
    words: "Front, lever and adjusting screw",
    small: "bars along the car, wishbones",
    car: { sprung: "front", axle: "wishbone", adjuster: { kind: "screw" } },
  },
  {
    key: "front-across",
    words: "Front, bars across the car, screw",
    small: "each wheel’s screw is at the other side",
    car: { sprung: "front", axle: "wishbone", adjuster: { kind: "screw", across: true } },
  },
  {
    key: "rear-eccentric",
    words: "Rear, plate with an eccentric",
    small: "teeth first, the eccentric for the rest",
    car: { adjuster: { kind: "eccentric" } },
  },
  {
    key: "beam",
    words: "Beam with leaf packs",
    small: "front; one adjuster for both wheels",
    car: { sprung: "front", axle: "beam", adjuster: { kind: "notch", shared: true } },
  },
  {
    key: "cam",
    words: "Equal teeth with a cam",
    small: "rear; a lever on splines, a cam for the rest",
    car: { adjuster: { kind: "eccentric", end: "inner" } },
  },
  {
    key: "front-teeth",
    words: "Front, splines alone",
    small: "wishbones, no adjuster",
    car: { sprung: "front", axle: "wishbone" },
  },
];

/** What tells one layout from another. @param {any} car */
const marks = (car) => {
  const adjuster = adjusterOf(car);
  return [
    sprungOf(car),
    car?.axle === "beam",
    adjuster?.kind ?? "none",
    adjuster?.across ?? false,
    adjuster?.shared ?? false,
    adjuster?.end ?? "",
  ].join("/");
};

/**
 * The layout of a car, or null where it is none of them.
 * @param {any} car
 */
export const layoutOf = (car) => LAYOUTS.find((layout) => marks(layout.car) === marks(car)) ?? null;

/** @param {string} key @returns {Layout} */
export const layoutNamed = (key) => LAYOUTS.find((layout) => layout.key === key) ?? LAYOUTS[0];

/**
 * "Front, lever and adjusting screw": a car's layout in words; its parts where it is none of those offered.
 * @param {any} car
 */
export function layoutWords(car) {
  const found = layoutOf(car);
  if (found) return found.words;
  const adjuster = adjusterOf(car);
  const set = adjuster ? adjusterName(adjuster.kind).toLowerCase() : "splines alone";
  return `${sprungOf(car) === "front" ? "Front" : "Rear"}, ${set}`;
}

/**
 * What a `car` record says so that a car has this layout: what the one before had said otherwise is taken back.
 * @param {string} key
 * @param {any} [car] as it is
 * @returns {Record<string, any>}
 */
export function layoutBody(key, car = {}) {
  const { car: wanted } = layoutNamed(key);
  const adjuster = wanted.adjuster ?? {};
  /** @type {Record<string, any>} */
  const out = {};
  for (const name of ["sprung", "axle"]) {
    const other = name === "axle" && !["wishbone", "beam"].includes(car.axle);
    if (wanted[name] !== undefined) out[name] = wanted[name];
    else if (car[name] !== undefined && !other) out[name] = null;
  }
  /** @type {Record<string, any>} */
  const inner = {};
  for (const name of ["kind", "end", "across", "shared"]) {
    if (adjuster[name] !== undefined) inner[name] = adjuster[name];
    else if ((car.adjuster?.[name] ?? null) !== null) inner[name] = null;
  }
  return Object.keys(inner).length ? { ...out, adjuster: inner } : out;
}
