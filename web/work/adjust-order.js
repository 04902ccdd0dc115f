/* The steps of an adjustment in the order of the work: what is done at each, in words. A teardown's own steps are
   teardown-order.js's; where teeth and an eccentric are both turned, these come after them. The cautions that bite at
   them are safety.js's, by the same keys. Words and order only.

   The order is common practice of the trade, no source; the car's own manual goes before it. Weight off the wheels is
   the rule here because the screw's torque falls to a half or a quarter and the thread lives; on the wheels only where
   the manual says so. */

/** @import { Told } from "./teardown-order.js" */
/** @import { Adjusts } from "./adjuster.js" */

/** The car made ready, before its wheels hang. @type {Told[]} */
export const READY = [
  {
    key: "adjust-ready",
    kind: "do",
    name: "Tyres, fuel, usual load",
    text: "Tyres at pressure, level floor. Heights are judged as the car stands then.",
  },
  {
    key: "link-off",
    drawn: "link",
    kind: "do",
    name: "One anti-roll link off",
    text: "It stays off until both heights are right. No anti-roll bar on this axle: tick it.",
  },
  {
    key: "wheels-hang",
    kind: "do",
    name: "Body on axle stands, wheels hanging",
    text: "Nothing is turned with weight on it. On its wheels only where the car's manual says so.",
  },
  {
    key: "eyes",
    kind: "do",
    name: "Eye protection on",
    text: "Have the car's manual open. Where it has another order, follow the manual.",
  },
];

/** Steps before and after a side's adjuster is turned, by its kind. @type {Record<Adjusts, Told[]>} */
export const LOOSE = {
  screw: [
    {
      key: "thread-clean",
      drawn: "screw",
      kind: "do",
      name: "Clean and oil the thread",
      text: "Wire brush, oil, lock nut loose. Paint nut and lever; note how far the bolt sticks out. No impact wrench.",
    },
  ],
  eccentric: [
    {
      key: "scribe",
      drawn: "eccentric",
      kind: "do",
      name: "Scribe the eccentric, clamp bolts loose",
      text: "A line across the eccentric and what holds it shows where it was. Weight off the wheel.",
    },
  ],
  notch: [
    {
      key: "unclamp",
      drawn: "beam",
      kind: "do",
      name: "Loosen the clamp of one beam",
      text: "One beam at a time. The other stays clamped and carries.",
    },
  ],
};

/** @type {Record<Adjusts, Told[]>} */
export const FAST = {
  screw: [
    {
      key: "lock-nut",
      drawn: "screw",
      kind: "do",
      name: "Tighten the lock nut",
      text: "Hold the screw: the lock nut takes it along.",
    },
  ],
  eccentric: [
    {
      key: "clamp",
      drawn: "eccentric",
      kind: "do",
      name: "Tighten the clamp bolts",
      text: "To the torque in the car's manual. A slack clamp creeps.",
    },
  ],
  notch: [
    {
      key: "clamp",
      drawn: "beam",
      kind: "do",
      name: "Tighten the clamp",
      text: "To the torque in the car's manual, before the next beam is loosened.",
    },
  ],
};

/** How an adjuster is turned. @type {Record<Adjusts, string>} */
export const HOW = {
  screw:
    "Count flats, six to a turn, each turn aloud. End on a raising movement; to lower, go 1/4 turn too far and back.",
  eccentric: "Weight off the wheel. End on a raising movement; it takes up the play.",
  notch: "Turn the adjuster by whole notches, the same at every pack that is moved.",
};
/** How a turn too many or too few shows: at a fine thread it moves the car by less than a settling does, at the bolt
 * itself a caliper sees it. Common practice, no source. @param {string | null} by how far its end has to move */
export const CHECK = (by) =>
  by
    ? `Check: the bolt’s end has moved ${by}.`
    : "Check: how far the bolt sticks out has changed by turns times pitch.";
/** Where the wheel's screw is at the other side of the car. @param {"left" | "right"} side */
export const ACROSS = (side) =>
  `The ${side} wheel’s screw is at the ${side === "left" ? "right" : "left"} side of the car.`;

/** When both sides are turned. @type {Told[]} */
export const DOWN = [
  {
    key: "down",
    kind: "do",
    name: "Lower it onto its wheels",
    text: "Tools and stands out first.",
  },
  {
    key: "drive",
    kind: "do",
    name: "Roll it or drive it a little",
    text: "Tyres scrub and hold the car up. Two lengths and back, or a short drive. Then measure.",
  },
];

/** An eccentric beside teeth: it starts from its middle, so that it can go either way. @type {Told} */
export const CENTRE = {
  key: "centre",
  drawn: "eccentric",
  kind: "do",
  name: "Centre the eccentric",
  text: "Scribe where it stands, clamp bolts loose. The teeth then do the large step, the eccentric the rest.",
};
