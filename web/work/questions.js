/* What can be asked about a car and its target: words, drawing, where it is kept.

   One table. `path` is where the answer lives in the request (`$.` + path in a problem); unit, bounds and what is
   assumed until it is answered are the model's own (model/facts.js). Readings have a table of their own
   (readings.js). */

import { BELIEFS, FACTS } from "../model/facts.js";
import { ADJUSTER } from "./adjuster-questions.js";
import { adjusterOf, armsAcross, sprungOf } from "./adjuster.js";
import { short } from "./numbers.js";
import { ARM, question } from "./question.js";
import { wordsIn } from "./units.js";

export { ARM };

/** @typedef {import("./question.js").Question} Question */

export const CAR = [
  question("car.bar.diameter_mm", "Bar diameter", {
    needed: true,
    nudge: 0.5,
    view: "diameter",
    where: "Caliper across the plain part of the bar, not the splines. Measure to 0.1 mm.",
  }),
  question("car.bar.length_mm", "Bar length", {
    needed: true,
    view: "length",
    where: "Plain length between the splines, along the bar.",
  }),
  question("car.bar.inner_teeth", "Teeth, inner end", {
    needed: true,
    view: "inner",
    where: "Count the splines at the end near the middle of the car. Never assume: cars differ.",
  }),
  question("car.bar.outer_teeth", "Teeth, outer end", {
    needed: true,
    view: "outer",
    where: "Count the splines at the end that carries the arm.",
  }),
  question("car.arm_mm", "Arm length by tape", {
    needed: true,
    mode: "arm",
    where: "Tape level, bar’s centre to wheel’s centre. Plumb lines help.",
  }),
  question("car.bar.bore_mm", "Bore of the bar", {
    nudge: 0.5,
    view: "bore",
    assumed: `${FACTS["car.bar.bore_mm"].assumed}: a solid bar`,
    where: "A hollow bar has a hole right through. A solid bar has bore 0.",
  }),
  question("car.arm_sd_mm", "Arm length accuracy (±)", {
    mode: "arm",
    where: "Wider if the wheel centre was guessed.",
  }),
  question("car.bar.rate_sd_percent", "How sure is the bar's stiffness", {
    nudge: 0.5,
    view: "none",
    where: "From its size alone. Wider for a bar of unknown steel.",
  }),
  question("car.bar.shear_modulus_gpa", "Shear modulus of the steel", {
    nudge: 0.5,
    view: "none",
    where: "Only when the maker of the bar states it.",
  }),
  question("car.load_kg.left", "Load on the left spring", {
    nudge: 5,
    mode: "load",
    side: "left",
    where: "What the left spring carries: wheel load less wheel, hub, brake and half the arm.",
  }),
  question("car.load_kg.right", "Load on the right spring", {
    nudge: 5,
    mode: "load",
    side: "right",
    where: "What the right spring carries: wheel load less wheel, hub, brake and half the arm.",
  }),
  question("car.load_sd_kg", "How sure are the loads", {
    nudge: 5,
    mode: "load",
    where: "Guessed, or from scales.",
    assumed:
      `± ${Math.round(100 * BELIEFS.LOAD_GIVEN_SD)} % of the load when given, ` + `± ${BELIEFS.LOAD_SD_KG} kg when not`,
  }),
  question("car.unsprung_kg", "Wheel, hub, brake and half the arm", {
    mode: "load",
    where: "Per side. Taken off what a scale under the tyre reads.",
  }),
  question("car.limits.stop_deg", "Arm angle at the arm stop", {
    nudge: 0.5,
    ways: ARM,
    mode: "hanging",
    gauge: "arm",
    assumed: "as at full droop",
    where: "Angle of the arm to the body when it rests on the lip of the housing.",
  }),
  question("car.limits.bump_mm", "Travel up to the bump stop", {
    mode: "height",
    assumed: `${FACTS["car.limits.bump_mm"].assumed}, as a caution`,
    where: "Wheel travel from the riding position, as found, up to the bump stop.",
  }),
  question("car.limits.droop_mm", "Travel down to full droop", {
    mode: "height",
    assumed: `${FACTS["car.limits.droop_mm"].assumed}, as a caution`,
    where: "Wheel travel from the riding position, as found, down to where stop or damper ends it.",
  }),
  question("car.limits.permissible_stress_mpa", "Stress this bar may carry", {
    nudge: 10,
    view: "none",
    assumed: `not known: ${BELIEFS.PRESET_MPA} MPa is compared, as a caution`,
    where: "From the maker of the bar. Leave blank if unknown.",
  }),
  question("car.limits.joint_deg", "Largest drive-joint angle", {
    nudge: 0.5,
    mode: "riding",
    assumed: "not checked",
    where: "From the car's manual. Leave blank if unknown.",
  }),
  question("car.roll_support_n_per_mm", "Roll stiffness, rest of car", {
    mode: "height",
    where: "What the other axle and anti-roll bars add against leaning. A board test finds it; seldom worth typing.",
  }),
  question("car.unevenness_mm", "Unevenness at the other axle", {
    ways: ["left higher", "right higher"],
    mode: "height",
    where: "How much the other axle holds one side higher, as height at this one.",
  }),
  question("car.tyre_n_per_mm", "Tyre stiffness", {
    nudge: 5,
    mode: "load",
    where: "Optional. Small effect.",
  }),
  question("car.bush.ratio", "Bush stiffness, as a part of the bar's", {
    nudge: 0.01,
    view: "outer",
    where: "The rubber round the bar's outer end.",
  }),
  question("car.half_axle_mm", "Half axle length", {
    mode: "riding",
    axles: ["swing"],
    where: "From the pivot at the gearbox to the wheel.",
  }),
  question("car.half_axle_deg", "Half axle angle as found", {
    nudge: 0.5,
    ways: ["outer end lower", "outer end higher"],
    mode: "riding",
    where:
      "Slope of the half axle with the car on its wheels, before anything was turned. It also carries a drive joint.",
  }),
  question("car.sweep_deg", "Sweep of the semi-trailing arm", {
    mode: "riding",
    axles: ["semi-trailing"],
    where: "Angle of the arm's pivot line, seen from above.",
  }),
  ...ADJUSTER,
];

/** Where an arm is measured on an axle whose arms go across the car. */
const ACROSS = "Tape level, inner pivot’s centre to ball joint’s centre.";
/** Where the lever of an eccentric is measured: it has no screw. */
const TO_ECCENTRIC = "Bar’s centre to the eccentric’s.";

/**
 * How a question is measured on this car.
 * @param {Question} question
 * @param {any} car as the sheet has it
 */
export function whereOf({ key, where }, car) {
  if (key === "car.arm_mm" && armsAcross(car)) return ACROSS;
  return key === "car.adjuster.lever_mm" && adjusterOf(car)?.kind === "eccentric" ? TO_ECCENTRIC : where;
}

/**
 * Whether a car has what a question asks about.
 * @param {Question} question
 * @param {any} car as the sheet has it
 */
export function isOf({ axles, adjusters, sprung }, car) {
  const adjuster = adjusterOf(car);
  return (
    (!axles || axles.includes(car?.axle ?? "trailing")) &&
    (!adjusters || (adjuster !== null && adjusters.includes(adjuster.kind))) &&
    (!sprung || sprung === sprungOf(car))
  );
}

export const TARGET = [
  question("target.left_mm", "Target height, left", {
    needed: true,
    mode: "height",
    side: "left",
    where: "Floor to the mark over the wheel, on a level floor, with the usual load.",
  }),
  question("target.right_mm", "Target height, right", {
    needed: true,
    mode: "height",
    side: "right",
    like: "target.left_mm",
    where: "The same as the left for a level car. Change it if the sides are to differ.",
  }),
  question("target.tolerance_mm", "Height tolerance, within", {
    mode: "height",
    where: "Each side, either way.",
  }),
  question("target.lean_mm", "Lean may be", {
    mode: "height",
    where: "Left height less right height, either way.",
  }),
];

export const QUESTIONS = [...CAR, ...TARGET];

/**
 * The question with a key such as "car.bar.diameter_mm", or undefined.
 * @param {string} key
 */
export const questionOf = (key) => QUESTIONS.find((question) => question.key === key);

/**
 * An answer in words: "600 mm", "3.1° arm down", "40".
 * @param {Question} question
 * @param {number} value
 */
export function answerWords(question, value) {
  if (!question.ways) return wordsIn(question.unit)(value);
  const turned = value === 0 ? "" : ` ${question.ways[value > 0 ? 0 : 1]}`;
  return `${short(Math.abs(value))}${question.unit}${turned}`;
}
