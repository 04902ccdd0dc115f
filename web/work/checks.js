/* Checks after the work, ticked at hand-over and printed on the sheet. */

/** What is read again once the car was driven: no matter of the day of the hand-over. */
export const RECHECK = "handover-recheck";

/** Checks before the car is handed over; the car's own manual says how. Common practice, no source. */
export const BEFORE = [
  ["handover-torque", "Disturbed fasteners torqued to the manual, new where required"],
  ["handover-clearance", "Bump and droop clearance: tyres, hoses, boots, dampers free"],
  ["handover-brakes", "Steering and brakes checked by someone qualified"],
  ["handover-regulator", "Brake-pressure regulator set for the new height"],
  ["handover-alignment", "Wheel alignment set"],
  ["handover-headlamps", "Headlamps aimed"],
  ["handover-rules", "Local rules on ride height checked"],
];

/** All of them, with what follows later. */
export const CHECKS = [...BEFORE, [RECHECK, "Heights rechecked and fasteners re-torqued after some hundred km"]];
