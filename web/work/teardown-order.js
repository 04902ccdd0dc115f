/* The steps of a teardown in the order of the work: their stored keys, what is done at each, in words. The cautions
   that bite at them are safety.js's, by the same keys. Words and order only: nothing is drawn, read or written here.

   The order is common practice of the trade, no source; the car's own manual goes before it. A stored key keeps its
   meaning for every log ever written: `arm-down` lets the arm down, `arm-up` lifts it onto its stop. */

/** @typedef {"left" | "right"} Side */
/** @typedef {"do" | "found" | "count" | "caliper" | "look" | "turn" | "read" | "adjust"} Kind */
/** A step; `drawn` its picture, of an adjuster.
 * @typedef {{key: string, kind: Kind, name: string, text?: string, lift?: "lift" | "lift_now", drawn?: string,
 *   caution?: string}} Told `caution` whose cautions bite, where they are not its own key's */

/** Before a side is begun. @type {Told[]} */
export const BEFORE = [
  {
    key: "stands",
    kind: "do",
    name: "Body on axle stands",
    text: "Chock the wheels that stay down. Loosen the wheel bolts first.",
  },
  {
    key: "eyes",
    kind: "do",
    name: "Eye protection on",
    text: "Have the car's manual open. Where it has another order, follow the manual.",
  },
];

/** Until the arm hangs free. @type {Told[]} */
export const APART = [
  {
    key: "wheel-off",
    kind: "do",
    name: "Take the wheel off",
    text: "Lay it flat under the sill, out of the arm's path.",
  },
  {
    key: "bolts-out",
    kind: "do",
    name: "Hold the arm, take the bolts out",
    text: "Damper's lower bolt, arm-to-axle bolts; free the hand-brake cable. The arm rests loaded on its stop.",
  },
  {
    key: "cover-off",
    kind: "do",
    name: "Take the cover off",
    text: "Tool on the arm. Mark with a paint pen how arm, bar and housing sit.",
  },
  {
    key: "arm-down",
    kind: "do",
    name: "Ease the arm off its stop",
    text: "Let it down slowly until it hangs free.",
    lift: "lift_now",
  },
];

/** @type {Told} */
export const FOUND = {
  key: "found",
  kind: "found",
  name: "Read the arm as it hangs",
  text: "Lift it lightly to take up play, then let it hang. Nothing is turned yet.",
};

/** What the bar in hand shows, asked once for both sides. @type {Told[]} */
export const BAR = [
  {
    key: "count",
    kind: "count",
    name: "Count the teeth at both ends",
    text: "Cars differ. No tooth is turned before both ends are counted.",
  },
  {
    key: "caliper",
    kind: "caliper",
    name: "Measure the bar",
    text: "Diameter by caliper on the plain part; plain length between the splines.",
  },
];

/** @type {Told} */
export const LOOK = { key: "look", kind: "look", name: "Look at the plan again" };

/** The ends of the bar. */
export const END_NAMES = { inner: "Inner end", outer: "Outer end" };

/** How an end is turned. */
export const TURN = {
  inner: "Draw arm and bar together off the inner splines. Turn both, push home.",
  outer: "Pull the arm off its splines, leave the bar. Turn the arm, push home.",
};

/** @type {Told} */
export const READ = {
  key: "read",
  kind: "read",
  name: "Read the arm again",
  text: "Lift it lightly to take up play, then let it hang.",
};

/** From the turned arm to the wheel. @type {Told[]} */
export const TOGETHER = [
  {
    key: "arm-up",
    kind: "do",
    name: "Lift the arm onto its stop",
    text: "With a tool that holds the arm and cannot slip off it.",
    lift: "lift",
  },
  {
    key: "cover-on",
    kind: "do",
    name: "Put the cover on",
    text: "Long studs or bolts first, in a diagonal. Then the short ones, one at a time.",
  },
  {
    key: "bolts-in",
    kind: "do",
    name: "Refit arm, axle and damper bolts",
    text: "Use the torques and new fasteners in the car's manual. Refit the hand-brake cable.",
  },
  { key: "wheel-on", kind: "do", name: "Put the wheel on" },
];

/** What is said otherwise of arms that go across the car: their bar's end is in an anchor, and the arm is let go at its
 * ball joint. @type {Record<string, { name: string, text?: string, caution?: string }>} */
export const ACROSS = {
  "bolts-out": {
    name: "Hold the arm, take the bolts out",
    text: "Damper, anti-roll link, ball joint; hang the hub up, off its brake hose. The bar pushes the arm down.",
  },
  "cover-off": {
    name: "Take the anchor’s cover off",
    text: "Tool on the arm. Mark with a paint pen how arm, bar and anchor sit.",
  },
  "arm-down": {
    name: "Let the arm down",
    text: "Slowly, until it hangs free and the bar is slack.",
    caution: "arm-down-across",
  },
  "arm-up": { name: "Lift the arm to its ball joint", text: "With a tool that holds the arm and cannot slip off it." },
  "cover-on": {
    name: "Put the anchor’s cover on",
    text: "By the paint marks, bolts in a diagonal, to the torque in the car's manual.",
    caution: "cover-on-across",
  },
  "bolts-in": {
    name: "Refit ball joint, damper and link",
    text: "Use the torques and new fasteners in the car's manual. Pivot rubbers are tightened at ride height.",
  },
};

/** When both sides are together. @type {Told[]} */
export const AFTER = [
  {
    key: "down",
    kind: "do",
    name: "Lower it onto its wheels",
    text: "Tools and stands out first. Then tighten the wheel bolts to torque.",
  },
];
