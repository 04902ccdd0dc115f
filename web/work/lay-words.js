/* What somebody needs who was sent a job and has never seen this work: what it is, what to watch out for before
   anything else, and the trade's words in everybody's. */

export const LAY = {
  who: "Who sent it",
  /** @type {(name: string) => string} */
  by: (name) => `It says that it comes from ${name}.`,
  unnamed: "Whoever made the link gave no name. Use it only if you know where it comes from.",
  /** @type {(host: string) => string} */
  shop: (host) => `Its shop: ${host}.`,
  what: "What this is",
  /** @type {(car: string, axle?: string) => string} */
  about: (car, axle = "rear") =>
    `A job on ${car}: what was measured, and what to do so that the ${axle} of the car stands at the right height.`,
  car: "a car",
  bars:
    "Each such wheel of this car is carried by a torsion bar: a steel rod that is twisted, as a spring is pressed. " +
    "Its ends sit in teeth. Turned round by a few teeth, the bar carries that side of the car higher or lower.",
  danger: "The danger first",
  leave: "Reading this is safe. If you have not done such work, leave it to somebody who has.",
  now: "How the car stands",
  done: "What will be done",
  order: "One step after the other, none left out. Each shows its own dangers.",
  terms: "What the words mean",
};

/** Words that a job uses, and what they mean. @type {readonly [word: string, means: string][]} */
export const TERMS = [
  ["Ride height", "From the floor to a mark on the body over a wheel, with the car on its wheels."],
  ["Target", "The ride heights that are wanted, and how far off they may be."],
  ["Lean", "How much higher the left side stands than the right."],
  ["Torsion bar", "The steel rod that twists and so carries one wheel."],
  ["Arm", "The lever from the end of the bar to the wheel."],
  ["Inner end, outer end", "The two ends of the bar: towards the middle of the car, and at the arm."],
  ["Teeth", "Fine grooves round each end of the bar. To turn an end is to pull it out and put it back some teeth on."],
  ["Arm down (raises)", "Turned so that the arm hangs lower under the body, which lifts the car. Arm up lowers it."],
  ["Hanging angle", "How far the arm hangs down from the body when nothing pulls on it."],
  ["Arm stop", "The edge that the arm rests on; off it, the bar is not loaded any more."],
  ["Chance", "Of 100 such jobs, how many end on target."],
  ["±", "In 90 of 100 cases the true figure is within so much of the one given."],
  ["Turns", "Of a screw, or of what else sets the height beside the teeth: raise lifts that side, lower lets it down."],
  ["Teardown", "Opening one side or both, turning, and closing again."],
];
