/* What can be asked about an adjuster, the car's own anti-roll bar and the points of the newer readings: words,
   drawing, where to measure it. Part of the car's table (questions.js). Pitches are those of standard threads. */

import { question } from "./question.js";

/** Thread pitches that are offered, mm; those of inch threads by turns per inch. */
const METRIC = [1, 1.25, 1.5, 1.75, 2, 2.5];
const PER_INCH = [20, 18, 16, 14, 13, 12];
const INCH_MM = 25.4;

/** Places of a pitch: finer than any gauge. @param {number} mm */
const pitch = (mm) => Math.round(mm * 1e4) / 1e4;
const PITCHES = [
  ...METRIC.map((mm) => ({ label: `${mm}`, value: mm })),
  ...PER_INCH.map((count) => ({ label: `${count}/in`, value: pitch(INCH_MM / count) })),
];
const SCREW = ["screw"];
const SIDES = /** @type {const} */ (["left", "right"]);

/** The same question of either side.
 * @param {string} path @param {string} title @param {import("./question.js").Asking} rest */
const both = (path, title, rest) =>
  SIDES.map((side) => question(`${path}.${side}`, `${title}, ${side}`, { side, ...rest }));

export const ADJUSTER = [
  question("car.adjuster.lever_mm", "Anchor lever by tape", {
    mode: "lever",
    adjusters: ["screw", "eccentric"],
    where: "Bar’s centre to the screw, square to it.",
  }),
  question("car.adjuster.pitch_mm", "Pitch of the thread", {
    mode: "pitch",
    nudge: 0.25,
    adjusters: SCREW,
    keys: PITCHES,
    where: "Thread gauge, or ten threads by caliper, divided by ten.",
  }),
  ...both("car.adjuster.raise_turns", "Turns left to raise", {
    mode: "raise-turns",
    adjusters: ["screw", "notch"],
    where: "As found: turns or notches that can still be raised before thread or travel ends.",
  }),
  ...both("car.adjuster.lower_turns", "Turns left to lower", {
    mode: "lower-turns",
    adjusters: ["screw", "notch"],
    where: "As found: turns or notches that can still be lowered before the nut leaves the thread.",
  }),
  question("car.adjuster.throw_mm", "Throw of the eccentric", {
    mode: "eccentric",
    nudge: 0.5,
    adjusters: ["eccentric"],
    where: "Middle of its shaft to the middle of its round part.",
  }),
  ...both("car.adjuster.at_deg", "Eccentric as found", {
    mode: "eccentric",
    nudge: 5,
    ways: ["raises", "lowers"],
    adjusters: ["eccentric"],
    where: "How far it is turned from its middle. Scribe it before you turn it.",
  }),
  question("car.adjuster.step_deg", "Step of one notch", {
    mode: "notch",
    nudge: 0.5,
    adjusters: ["notch"],
    where: "Distance of two notches over their radius, times 57.3.",
  }),
  question("car.adjuster.share", "Share of the adjuster that reaches the wheels", {
    mode: "beam",
    nudge: 0.05,
    adjusters: ["notch", "screw"],
    axles: ["beam"],
    where: "One pack of two equal ones adjusted: a half. All of them: 1.",
  }),
  question("car.anti_roll_n_per_mm", "Anti-roll bar of this axle", {
    mode: "link",
    where: "Force at the wheel for each millimetre that the wheels differ. None: 0.",
  }),
  question("car.point_span_mm", "Span of the two points on the arm", {
    mode: "arm-difference",
    axles: ["wishbone"],
    where: "Along the arm, between the two points of an arm difference.",
  }),
  question("car.bump_ratio", "Bump rubber’s travel per wheel travel", {
    mode: "bump-gap",
    nudge: 0.05,
    axles: ["wishbone", "beam"],
    where: "Inner pivot to rubber, divided by inner pivot to wheel.",
  }),
  question("car.damper_ratio", "Damper’s travel per wheel travel", {
    mode: "damper-length",
    nudge: 0.05,
    axles: ["wishbone", "beam"],
    where: "Inner pivot to damper, divided by inner pivot to wheel; less where it leans.",
  }),
];
