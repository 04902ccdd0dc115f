/* Checks after the work, ticked at hand-over and printed on the sheet. */

/** Checks after the work; the car's own manual says how. Common practice, no source. */
export const CHECKS = [
  ["handover-torque", "Every fastener that was touched torqued as the car’s manual says, new where it says so"],
  ["handover-clearance", "Bump and droop: tyres, hoses, boots and dampers free over the whole travel"],
  ["handover-brakes", "Brakes and brake-pressure regulator checked by someone qualified"],
  ["handover-alignment", "Wheel alignment set"],
  ["handover-headlamps", "Headlamps aimed"],
  ["handover-rules", "Local rules on altered ride height looked up"],
  ["handover-recheck", "Heights read again and fasteners re-torqued after some hundred kilometres"],
];
