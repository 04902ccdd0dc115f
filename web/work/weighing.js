/* The loads of all four wheels, which cross-weight is told by: which are still to be read, whether a stage has them,
   what they come to together. They are read at once, or an axle after the other with the rest on blocks of the same
   height. Works on a sheet; draws nothing. */

import { sprungOf } from "./adjuster.js";
import { NINETY, plain, spread } from "./numbers.js";
import { poseKey, readingsOf, stands } from "./sheet.js";
import { formOf } from "./wish.js";

/** @import { Sheet, Side } from "../types/sheet.d.ts" */
/** @import { Estimate, Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {{ what: "wheel-load", side: Side, axle?: "rear" | "front" }} Wheel `axle` where it is not the job's own */
/** @typedef {Pick<Sheet, "car" | "readings">} Read */

/** @type {readonly Side[]} */
const SIDES = ["left", "right"];
const WHEELS = 4;
export const CROSS = "Cross-weight (RF + LR)";
const SAID = { not: "not weighed", unit: "%", against: "against LF + RR" };

/** The axle that the job is not of. @param {any} car @returns {"rear" | "front"} */
export const otherAxle = (car) => (sprungOf(car) === "front" ? "rear" : "front");

/** Whether both axles are of the job. @param {{ car?: any }} sheet */
export const ofBoth = ({ car }) => typeof car?.other === "object" && car.other !== null;

/** All four wheels, the job's own axle first. @param {any} car @returns {Wheel[]} */
export const wheelsOf = (car) =>
  [undefined, otherAxle(car)].flatMap((axle) =>
    SIDES.map((side) => ({ what: /** @type {const} */ ("wheel-load"), side, ...(axle ? { axle } : {}) })),
  );

/** Readings of a wheel's load with nothing under the tyres. @param {Read} sheet @param {number} [teardown] */
const loads = (sheet, teardown) =>
  sheet.readings.filter(
    ({ what, pose, ...row }) =>
      what === "wheel-load" && stands(pose) && (teardown === undefined || (row.teardown ?? 0) === teardown),
  );

/** Whether one pose of one stage has all four. @param {Read} sheet @param {number} [teardown] of that stage alone */
export function weighed(sheet, teardown) {
  const own = sprungOf(sheet.car);
  /** @type {Map<string, Set<string>>} */
  const found = new Map();
  for (const row of loads(sheet, teardown)) {
    const key = `${row.teardown ?? 0} ${row.after_km ?? ""} ${poseKey(row.pose)}`;
    found.set(key, (found.get(key) ?? new Set()).add(`${row.axle ?? own} ${row.side}`));
  }
  return [...found.values()].some((wheels) => wheels.size === WHEELS);
}

/**
 * The wheels still to be weighed as the car stands now; none where any stage has all four.
 * @param {Read & Pick<Sheet, "teardowns">} sheet
 * @param {number} [stage] of that stage alone
 * @returns {Wheel[]}
 */
export function unweighed(sheet, stage) {
  if (weighed(sheet, stage)) return [];
  const teardown = stage ?? sheet.teardowns;
  return wheelsOf(sheet.car).filter((wheel) => !readingsOf(sheet, { ...wheel, pose: {}, teardown }).length);
}

/** The weight on all four wheels by what was read last of each, [kg]; null where one was never read.
 * @param {Read} sheet */
export function totalKg(sheet) {
  const last = wheelsOf(sheet.car).map((wheel) => readingsOf(sheet, wheel).findLast(({ pose }) => stands(pose))?.value);
  return last.some((kg) => kg === undefined)
    ? null
    : last.reduce((/** @type {number} */ sum, kg) => sum + Number(kg), 0);
}

/** Whether the target asks for a cross-weight. @param {Pick<Sheet, "target">} sheet */
export const asksCross = ({ target }) => formOf(target) === "cross-weight";

/** "50.2 %", "not weighed". @param {number | null | undefined} percent */
export const shareWords = (percent) => (typeof percent === "number" ? `${plain(percent, 1)} ${SAID.unit}` : SAID.not);

/** "50.2 ± 0.7 %". @param {Estimate} percent */
export const shareAbout = ({ value, sd }) =>
  `${plain(value, 1)} ± ${plain(Math.max(0.1, NINETY * sd), 1)} ${SAID.unit}`;

/**
 * What a stage says of it: RF + LR as a share of all four, and less the other two; spreads by the scales alone.
 * @typedef {{ cross_percent: number | null, cross_sd_percent: number | null, cross_kg: number | null,
 *   cross_sd_kg: number | null }} Crossed
 */

/** "49.2 ± 0.4 %", "not weighed". @param {Crossed} stage */
export const shareOf = ({ cross_percent: value, cross_sd_percent: sd }) =>
  typeof value === "number" && typeof sd === "number" ? shareAbout({ value, sd }) : shareWords(value);

/** "−20 ± 10 kg"; "" where it was not weighed. @param {Crossed} stage */
export const differenceOf = ({ cross_kg: value, cross_sd_kg: sd }) =>
  typeof value === "number" && typeof sd === "number" ? spread({ value, sd }, "kg") : "";

/** "49.2 ± 0.4 %, −20 ± 10 kg against LF + RR". @param {Crossed} stage */
export const crossedWords = (stage) =>
  [shareOf(stage), differenceOf(stage) && `${differenceOf(stage)} ${SAID.against}`].filter(Boolean).join(", ");

/**
 * Cross-weight now and with an option, "49.8 ± 0.6 % → 50.2 ± 0.7 %"; "" where no four loads are known.
 * @param {Pick<SolveAnswer, "cross_weight">} answer
 * @param {Pick<Option, "cross_weight">} option
 */
export const crossWords = ({ cross_weight: known }, { cross_weight: then }) =>
  known && then ? `${shareAbout(known.now.percent)} → ${shareAbout(then.percent)}` : "";
