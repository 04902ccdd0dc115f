/* Checks after the work, ticked at hand-over and printed on the sheet. */

import { adjusts, sprungOf } from "./adjuster.js";

/** What is read again once the car was driven: no matter of the day of the hand-over. */
export const RECHECK = "handover-recheck";

/** Checks before the car is handed over; the car's own manual says how. Common practice, no source. */
const BEFORE = [
  ["handover-torque", "Disturbed fasteners torqued to the manual, new where required"],
  ["handover-clearance", "Bump and droop clearance: tyres, hoses, boots, dampers free"],
  ["handover-brakes", "Steering and brakes checked by someone qualified"],
  ["handover-regulator", "Brake-pressure regulator set for the new height"],
  ["handover-alignment", "Wheel alignment set"],
  ["handover-headlamps", "Headlamps aimed"],
  ["handover-rules", "Local rules on ride height checked"],
];

/** The same after an adjuster was turned, or work on a front axle: by what the car has. */
const LOCKED = ["handover-locked", "Lock nuts and clamps tight, thread left both ways"];
const LINK = ["handover-link", "Anti-roll link on, without strain, wheels level"];
const PIVOTS = ["handover-pivots", "Pivot rubbers tightened at the final height, to the manual"];
const JOINTS = ["handover-joints", "Drive joints, steering and bump rubbers free at full travel"];

/**
 * The checks of a job before the car is handed over.
 * @param {Pick<import("../types/sheet.d.ts").Sheet, "car" | "moves">} sheet
 * @returns {string[][]}
 */
export function checksOf({ car, moves }) {
  const front = sprungOf(car) === "front";
  const turned = moves.some(adjusts);
  return [...(turned ? [LOCKED] : []), ...(front ? [LINK, PIVOTS, JOINTS] : []), ...BEFORE];
}

/** What follows later. */
export const LATER = [RECHECK, "Heights rechecked and fasteners re-torqued after some hundred km"];
