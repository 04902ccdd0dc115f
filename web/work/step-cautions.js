/* The cautions of each step. Written by python -m bothends.service.precache from
   api/bothends/model/safety.py; change it there. */

/** @import { Caution } from "./safety.js" */

/** By the stored key of a step (`turn` for either end), or by where else it is shown.
 * @type {Record<string, readonly Caution[]>} */
export const STEPS = {
  stands: [
    {
      word: "WARNING",
      text:
        "A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car. Never " +
        "go under a car on a jack. If jacking the arm lifts the body, stop and lower it. Push the body sideways. " +
        "If it moves on the stands, reset them.",
    },
  ],
  eyes: [
    {
      word: "WARNING",
      text: "Rust and parts can fly and injure eyes. Wear eye protection. Keep it on until the car is down.",
    },
  ],
  "bolts-out": [
    {
      word: "WARNING",
      text: "The arm can drop as bolts come out and crush fingers. Support it first.",
    },
    {
      word: "NOTICE",
      text: "Do not stretch brake hose or drive-joint boot.",
    },
  ],
  "cover-off": [
    {
      word: "WARNING",
      text: "The bar is loaded and can throw the arm. Keep the tool on it until it hangs free.",
    },
    {
      word: "WARNING",
      text: "A damaged bar can break under load. Do not file, weld, clamp or nick it, or chip its paint.",
    },
  ],
  "arm-down": [
    {
      word: "WARNING",
      text:
        "Arm loaded: {low} to {high} {unit}. If it slips it breaks bones. Ease it off the stop, lower it slowly " +
        "with the tool; everyone out of its path. If the body lifts, stop.",
      exact:
        "Arm loaded: {force} {unit}. If it slips it breaks bones. Ease it off the stop, lower it slowly with the " +
        "tool; everyone out of its path. If the body lifts, stop.",
      nothing:
        "No load is expected on the arm. If there is one, it breaks bones. Ease it off the stop, lower it slowly " +
        "with the tool; everyone out of its path. If the body lifts, stop.",
      unknown:
        "Arm loaded. If it slips it breaks bones. Ease it off the stop, lower it slowly with the tool; everyone " +
        "out of its path. If the body lifts, stop.",
    },
  ],
  "arm-down-across": [
    {
      word: "WARNING",
      text:
        "Arm loaded: {low} to {high} {unit}. If it slips it breaks bones. Lower it slowly with the tool; everyone " +
        "out of its path. If the body lifts, stop.",
      exact:
        "Arm loaded: {force} {unit}. If it slips it breaks bones. Lower it slowly with the tool; everyone out of " +
        "its path. If the body lifts, stop.",
      nothing:
        "No load is expected on the arm. If there is one, it breaks bones. Lower it slowly with the tool; everyone" +
        " out of its path. If the body lifts, stop.",
      unknown:
        "Arm loaded. If it slips it breaks bones. Lower it slowly with the tool; everyone out of its path. If the " +
        "body lifts, stop.",
    },
  ],
  turn: [
    {
      word: "WARNING",
      text:
        "A bar on the wrong side can fail. Check left and right marks and blind splines before you pull it. Keep " +
        "fingers from between arm and housing. Do not pull so hard that the car rocks.",
    },
  ],
  "arm-up": [
    {
      word: "WARNING",
      text:
        "Lifting loads the bar: {low} to {high} {unit}. If the tool slips, the arm strikes down. Stay out of its " +
        "path. If the body lifts, stop.",
      exact:
        "Lifting loads the bar: {force} {unit}. If the tool slips, the arm strikes down. Stay out of its path. If " +
        "the body lifts, stop.",
      nothing:
        "No load is expected on the arm. If there is one and the tool slips, the arm strikes down. Stay out of its" +
        " path. If the body lifts, stop.",
      unknown:
        "Lifting loads the bar. If the tool slips, the arm strikes down. Stay out of its path. If the body lifts, " +
        "stop.",
    },
  ],
  "cover-on": [
    {
      word: "WARNING",
      text: "Until the cover is tight the arm can slip off its stop and break bones. Stay out of its path.",
    },
  ],
  "cover-on-across": [
    {
      word: "WARNING",
      text: "Until the cover is tight the bar can slip out of its anchor and throw the arm. Stay out of its path.",
    },
  ],
  "bolts-in": [
    {
      word: "NOTICE",
      text: "Do not stretch brake hose or drive-joint boot.",
    },
  ],
  down: [
    {
      word: "WARNING",
      text: "The car can drop or roll on you. Nobody under or beside it. Lower slowly; chocks out last.",
    },
  ],
  "wheels-hang": [
    {
      word: "WARNING",
      text:
        "A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car. Never " +
        "go under a car on a jack. If jacking the arm lifts the body, stop and lower it. Push the body sideways. " +
        "If it moves on the stands, reset them.",
    },
  ],
  "thread-clean": [
    {
      word: "WARNING",
      text:
        "The screw's lever is loaded, wheels hanging: up to {torque}, {energy}. Undone to free the lever, it " +
        "throws it and breaks bones. Never undo a wound screw for that: take the load off with an unloading tool " +
        "first.",
      nothing:
        "No load is expected on the screw's lever. There may be one. Undone to free the lever, it throws it and " +
        "breaks bones. Never undo a wound screw for that: take the load off with an unloading tool first.",
      unknown:
        "The screw's lever is loaded. Undone to free the lever, it throws it and breaks bones. Never undo a wound " +
        "screw for that: take the load off with an unloading tool first.",
    },
    {
      word: "NOTICE",
      text: "An impact wrench ruins a loaded thread. Clean it, oil it, turn it by hand.",
    },
  ],
  scribe: [
    {
      word: "WARNING",
      text: "Loose clamp bolts let the arm drop and crush fingers. Weight off the wheel; support the arm.",
    },
  ],
  unclamp: [
    {
      word: "WARNING",
      text:
        "A beam that comes loose turns by its leaves. Keep one clamped while the other is loose; look at welds, " +
        "and at the dampers' length once it stands.",
    },
  ],
  adjust: [
    {
      word: "NOTICE",
      text:
        "A lever wound too far bends its bolt and takes the damper out of its travel. Stop at the turns planned, " +
        "or where it goes hard. End with a raising movement, which takes up the play.",
    },
  ],
  "adjust-eccentric": [
    {
      word: "NOTICE",
      text: "Set too far, it takes the damper out of its travel. Stop at what is planned, or where it goes hard.",
    },
  ],
  "adjust-notch": [
    {
      word: "NOTICE",
      text: "Set too far, it takes the damper out of its travel. Stop at what is planned, or where it goes hard.",
    },
  ],
  clamp: [
    {
      word: "WARNING",
      text: "A loose clamp creeps and the car sinks. Tighten it to the car's manual before the car stands on it.",
    },
  ],
  drive: [
    {
      word: "WARNING",
      text:
        "Height moves alignment, headlamps, brake regulator and drive joints. Have them checked; tighten pivot " +
        "rubbers at the final height.",
    },
  ],
  "droop-test": [
    {
      word: "WARNING",
      text:
        "A falling car can kill. Level, hard floor; wheels chocked; body on axle stands rated for the car. Never " +
        "go under a car on a jack. If jacking the arm lifts the body, stop and lower it.",
    },
  ],
  board: [
    {
      word: "WARNING",
      text: "The car can roll off and crush you. Chock it before you reach in.",
    },
  ],
  ballast: [
    {
      word: "WARNING",
      text: "The car can roll off and crush you. Chock it before you reach in.",
    },
  ],
  "centre-jack": [
    {
      word: "WARNING",
      text:
        "On one block the car can tip off and kill. A block that cannot roll away, under a place that the car's " +
        "manual names; an axle stand under the body on each side, just clear of it. Nobody beneath. Rock it " +
        "gently, by hand.",
    },
    {
      word: "WARNING",
      text: "A handbrake may hold the lifted axle alone: the car can roll and crush you. Chock both other wheels.",
    },
  ],
  scales: [
    {
      word: "WARNING",
      text: "The car can roll off and crush you. Chock it before you reach in.",
    },
  ],
  "owner-sheet": [
    {
      word: "WARNING",
      text: "Loaded springs can break bones. Do not undo anything there.",
    },
  ],
};
