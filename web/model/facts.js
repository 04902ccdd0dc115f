/* The model's table of facts, for the screens. Written by python -m bothends.service.precache from
   api/bothends/model/fields.py and beliefs.py; change it there. */

/**
 * Numbers by their path in a request: unit, bounds (both allowed), default, what is assumed.
 * @type {import('../types/facts.d.ts').Facts}
 */
export const FACTS = {
  "car.bar.diameter_mm": {"unit": " mm", "low": 5.0, "high": 80.0},
  "car.bar.bore_mm": {"unit": " mm", "low": 0.0, "high": 79.0, "default": 0.0, "assumed": "0 mm"},
  "car.bar.length_mm": {"unit": " mm", "low": 100.0, "high": 3000.0},
  "car.bar.inner_teeth": {"unit": "", "low": 3, "high": 200, "whole": true},
  "car.bar.outer_teeth": {"unit": "", "low": 3, "high": 200, "whole": true},
  "car.bar.shear_modulus_gpa": {"unit": " GPa", "low": 20.0, "high": 120.0, "default": 78.5, "assumed": "78.5 GPa"},
  "car.bar.rate_sd_percent": {"unit": " %", "low": 0.1, "high": 30.0, "default": 3.0, "assumed": "± 3 %"},
  "car.arm_mm": {"unit": " mm", "low": 100.0, "high": 1500.0, "assumed": "410 ± 40 mm"},
  "car.arm_sd_mm": {"unit": " mm", "low": 0.1, "high": 100.0, "assumed": "± 10 mm"},
  "car.load_kg.left": {"unit": " kg", "low": 5.0, "high": 5000.0, "assumed": "240 ± 60 kg"},
  "car.load_kg.right": {"unit": " kg", "low": 5.0, "high": 5000.0, "assumed": "240 ± 60 kg"},
  "car.load_sd_kg": {"unit": " kg", "low": 0.1, "high": 1000.0},
  "car.unsprung_kg": {"unit": " kg", "low": 0.0, "high": 300.0, "default": 20.0, "assumed": "20 ± 10 kg"},
  "car.unsprung_sd_kg": {"unit": " kg", "low": 0.1, "high": 100.0, "default": 10.0, "assumed": "± 10 kg"},
  "car.bush.ratio": {"unit": "", "low": 0.0, "high": 1.0, "default": 0.045, "assumed": "0.045 ± 0.02"},
  "car.bush.ratio_sd": {"unit": "", "low": 0.0001, "high": 0.5, "default": 0.02, "assumed": "± 0.02"},
  "car.bush.rest_deg": {"unit": "°", "low": -90.0, "high": 90.0},
  "car.bush.rest_sd_deg": {"unit": "°", "low": 0.0, "high": 30.0, "default": 2.5, "assumed": "± 2.5°"},
  "car.roll_support_n_per_mm": {"unit": " N/mm", "low": 0.01, "high": 1000.0, "default": 13.0, "assumed": "13 ± 5 N/mm"},
  "car.roll_support_sd_n_per_mm": {"unit": " N/mm", "low": 0.01, "high": 1000.0, "default": 5.0, "assumed": "± 5 N/mm"},
  "car.anti_roll_n_per_mm": {"unit": " N/mm", "low": 0.0, "high": 1000.0, "default": 0.0, "assumed": "0 N/mm"},
  "car.anti_roll_sd_n_per_mm": {"unit": " N/mm", "low": 0.01, "high": 1000.0},
  "car.unevenness_mm": {"unit": " mm", "low": -100.0, "high": 100.0, "default": 0.0, "assumed": "0 ± 4 mm"},
  "car.unevenness_sd_mm": {"unit": " mm", "low": 0.01, "high": 100.0, "default": 4.0, "assumed": "± 4 mm"},
  "car.tyre_n_per_mm": {"unit": " N/mm", "low": 20.0, "high": 2000.0, "default": 180.0, "assumed": "180 ± 35 N/mm"},
  "car.tyre_sd_n_per_mm": {"unit": " N/mm", "low": 0.1, "high": 1000.0, "default": 35.0, "assumed": "± 35 N/mm"},
  "car.half_axle_mm": {"unit": " mm", "low": 100.0, "high": 2000.0, "default": 600.0, "assumed": "600 mm"},
  "car.half_axle_deg": {"unit": "°", "low": -60.0, "high": 60.0, "default": 0.0, "assumed": "0°"},
  "car.sweep_deg": {"unit": "°", "low": 0.0, "high": 60.0, "default": 15.0, "assumed": "15°"},
  "car.track_mm": {"unit": " mm", "low": 500.0, "high": 2500.0},
  "car.point_span_mm": {"unit": " mm", "low": 10.0, "high": 1000.0, "assumed": "300 ± 80 mm"},
  "car.bump_ratio": {"unit": "", "low": 0.05, "high": 1.5, "assumed": "0.6 ± 0.25"},
  "car.damper_ratio": {"unit": "", "low": 0.05, "high": 1.5, "assumed": "0.7 ± 0.2"},
  "car.limits.stop_deg": {"unit": "°", "low": -80.0, "high": 80.0},
  "car.limits.bump_mm": {"unit": " mm", "low": 0.0, "high": 1000.0, "assumed": "60 ± 20 mm"},
  "car.limits.droop_mm": {"unit": " mm", "low": 0.0, "high": 1000.0, "assumed": "90 ± 25 mm"},
  "car.limits.permissible_stress_mpa": {"unit": " MPa", "low": 50.0, "high": 3000.0},
  "car.limits.joint_deg": {"unit": "°", "low": 0.1, "high": 60.0},
  "car.adjuster.lever_mm": {"unit": " mm", "low": 20.0, "high": 500.0, "assumed": "110 ± 20 mm"},
  "car.adjuster.lever_sd_mm": {"unit": " mm", "low": 0.1, "high": 100.0, "assumed": "± 4 mm"},
  "car.adjuster.pitch_mm": {"unit": " mm", "low": 0.2, "high": 10.0, "assumed": "1.5 ± 0.25 mm"},
  "car.adjuster.throw_mm": {"unit": " mm", "low": 0.5, "high": 50.0, "assumed": "4 ± 1.5 mm"},
  "car.adjuster.step_deg": {"unit": "°", "low": 0.1, "high": 60.0, "assumed": "8 ± 3°"},
  "car.adjuster.share": {"unit": "", "low": 0.0, "high": 1.0, "default": 1.0, "assumed": "1"},
  "car.adjuster.raise_turns.left": {"unit": "", "low": 0.0, "high": 200.0, "assumed": "8 ± 5"},
  "car.adjuster.raise_turns.right": {"unit": "", "low": 0.0, "high": 200.0, "assumed": "8 ± 5"},
  "car.adjuster.lower_turns.left": {"unit": "", "low": 0.0, "high": 200.0, "assumed": "8 ± 5"},
  "car.adjuster.lower_turns.right": {"unit": "", "low": 0.0, "high": 200.0, "assumed": "8 ± 5"},
  "car.adjuster.at_deg.left": {"unit": "°", "low": -180.0, "high": 180.0, "default": 0.0, "assumed": "0°"},
  "car.adjuster.at_deg.right": {"unit": "°", "low": -180.0, "high": 180.0, "default": 0.0, "assumed": "0°"},
  "target.left_mm": {"unit": " mm", "low": 1.0, "high": 3000.0},
  "target.right_mm": {"unit": " mm", "low": 1.0, "high": 3000.0},
  "target.left_rise_mm": {"unit": " mm", "low": -500.0, "high": 500.0},
  "target.right_rise_mm": {"unit": " mm", "low": -500.0, "high": 500.0},
  "target.rise_mm": {"unit": " mm", "low": -500.0, "high": 500.0, "default": 0.0, "assumed": "0 mm"},
  "target.left_deg": {"unit": "°", "low": -89.0, "high": 89.0},
  "target.right_deg": {"unit": "°", "low": -89.0, "high": 89.0},
  "target.tolerance_mm": {"unit": " mm", "low": 0.1, "high": 200.0, "default": 5.0, "assumed": "5 mm"},
  "target.lean_mm": {"unit": " mm", "low": 0.1, "high": 200.0, "default": 5.0, "assumed": "5 mm"},
  "target.tolerance_deg": {"unit": "°", "low": 0.05, "high": 20.0, "default": 0.8, "assumed": "0.8°"},
  "target.cross_percent": {"unit": " %", "low": 30.0, "high": 70.0},
  "target.tolerance_percent": {"unit": " %", "low": 0.05, "high": 10.0, "default": 0.5, "assumed": "0.5 %"},
  "target.ballast_left_kg": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
  "target.ballast_right_kg": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
  "log.value.hanging-angle": {"unit": "°", "low": -89.0, "high": 89.0},
  "log.value.riding-angle": {"unit": "°", "low": -89.0, "high": 89.0},
  "log.value.body-height": {"unit": " mm", "low": 1.0, "high": 3000.0},
  "log.value.hub-to-body": {"unit": " mm", "low": -2000.0, "high": 2000.0},
  "log.value.wheel-load": {"unit": " kg", "low": 1.0, "high": 5000.0},
  "log.value.arm-difference": {"unit": " mm", "low": -1000.0, "high": 1000.0},
  "log.value.bump-gap": {"unit": " mm", "low": 0.0, "high": 500.0},
  "log.value.bolt-length": {"unit": " mm", "low": 0.0, "high": 500.0},
  "log.value.damper-length": {"unit": " mm", "low": 50.0, "high": 1500.0},
  "log.sd.hanging-angle": {"unit": "°", "low": 0.01, "high": 20.0},
  "log.sd.riding-angle": {"unit": "°", "low": 0.01, "high": 20.0},
  "log.sd.body-height": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.sd.hub-to-body": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.sd.wheel-load": {"unit": " kg", "low": 0.01, "high": 500.0},
  "log.sd.arm-difference": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.sd.bump-gap": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.sd.bolt-length": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.sd.damper-length": {"unit": " mm", "low": 0.01, "high": 200.0},
  "log.datum": {"unit": "°", "low": -89.0, "high": 89.0},
  "log.teardown": {"unit": "", "low": 0, "high": 100, "whole": true, "default": 0, "assumed": "0"},
  "log.after_km": {"unit": " km", "low": 0.1, "high": 1000000.0},
  "log.resettled": {"unit": "", "low": 0, "high": 100, "whole": true},
  "log.pose.board_left_mm": {"unit": " mm", "low": -300.0, "high": 300.0, "default": 0.0, "assumed": "0 mm"},
  "log.pose.board_right_mm": {"unit": " mm", "low": -300.0, "high": 300.0, "default": 0.0, "assumed": "0 mm"},
  "log.pose.ballast_left_kg": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
  "log.pose.ballast_right_kg": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
  "log.left.inner": {"unit": "", "low": -200, "high": 200, "whole": true, "default": 0, "assumed": "0"},
  "log.left.outer": {"unit": "", "low": -200, "high": 200, "whole": true, "default": 0, "assumed": "0"},
  "log.left.turns": {"unit": "", "low": -200.0, "high": 200.0, "default": 0.0, "assumed": "0"},
  "log.right.inner": {"unit": "", "low": -200, "high": 200, "whole": true, "default": 0, "assumed": "0"},
  "log.right.outer": {"unit": "", "low": -200, "high": 200, "whole": true, "default": 0, "assumed": "0"},
  "log.right.turns": {"unit": "", "low": -200.0, "high": 200.0, "default": 0.0, "assumed": "0"},
  "change.load_kg.left": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
  "change.load_kg.right": {"unit": " kg", "low": -500.0, "high": 2000.0, "default": 0.0, "assumed": "0 kg"},
};

/**
 * Kinds of reading: unit, whether a sign counts, spread of one reading.
 * @type {import('../types/facts.d.ts').Kinds}
 */
export const KINDS = {
  "hanging-angle": {"unit": "°", "signed": true, "sd": 0.2, "error": 0.1, "words": "hanging angle", "pose": "free", "since": 1},
  "riding-angle": {"unit": "°", "signed": true, "sd": 0.2, "error": 0.1, "words": "riding angle", "pose": "", "since": 1},
  "body-height": {"unit": " mm", "signed": false, "sd": 1.5, "error": 0.5, "words": "ride height", "pose": "on-wheels", "since": 1},
  "hub-to-body": {"unit": " mm", "signed": false, "sd": 1.5, "error": 0.5, "words": "hub-to-body height", "pose": "", "since": 1},
  "wheel-load": {"unit": " kg", "signed": false, "sd": 3.0, "error": 2.0, "words": "wheel load", "pose": "on-wheels", "since": 1},
  "arm-difference": {"unit": " mm", "signed": false, "sd": 1.0, "error": 0.5, "words": "arm difference", "pose": "on-wheels", "since": 3},
  "bump-gap": {"unit": " mm", "signed": false, "sd": 1.0, "error": 0.5, "words": "gap at the bump rubber", "pose": "on-wheels", "since": 3},
  "bolt-length": {"unit": " mm", "signed": false, "sd": 0.5, "error": 0.1, "words": "adjusting bolt length", "pose": "free", "since": 3},
  "damper-length": {"unit": " mm", "signed": false, "sd": 1.0, "error": 0.5, "words": "damper length", "pose": "on-wheels", "since": 3},
};

/**
 * Fields of each form of a target, besides the one that tells them apart.
 * @type {import('../types/facts.d.ts').Forms}
 */
export const FORMS = {
  "heights": ["left_mm", "right_mm", "tolerance_mm", "lean_mm", "measured", "ballast_left_kg", "ballast_right_kg", "spot"],
  "rise": ["left_rise_mm", "right_rise_mm", "tolerance_mm", "lean_mm", "measured", "ballast_left_kg", "ballast_right_kg", "spot"],
  "level": ["at", "rise_mm", "tolerance_mm", "lean_mm", "measured", "ballast_left_kg", "ballast_right_kg", "spot"],
  "hanging-angle": ["left_deg", "right_deg", "tolerance_deg", "ballast_left_kg", "ballast_right_kg", "spot"],
  "cross-weight": ["cross_percent", "rise_mm", "tolerance_mm", "tolerance_percent", "measured", "ballast_left_kg", "ballast_right_kg", "spot"],
};

/**
 * What is believed of a car, where a screen names it or goes by it.
 * @type {import('../types/facts.d.ts').Beliefs}
 */
export const BELIEFS = {
  "ARM_MM": 410.0,
  "LOAD_GIVEN_SD": 0.07,
  "LOAD_SD_KG": 60.0,
  "PRESET_MPA": 1000.0,
  "SETTLING_KM": 100.0,
  "SETTLING_SIDE_MM": 1.0,
};

/** How both sides together settle after hand-over by what was renewed: mean, spread, mm. */
export const SETTLING_MM = {"nothing": [-1.0, 1.5], "rubbers": [-2.0, 2.0], "bars": [-3.0, 3.0], "pivots": [-1.0, 2.0], "not-known": [-1.0, 3.0]};
/** What tells one car from another, and how many characters it may have. */
export const MARKS = { plate: 40, chassis: 40 };
export const ANGLE_SD_WITH_DATUM = 0.28;
/** How far friction holds a settled height off, before any reading: standard deviation, mm. */
export const FRICTION_SD_MM = 1.16;
/** How many standard deviations hold 90 in 100 cases either side of a normal mean: what ± says. */
export const NINETY = 1.645;
/** Heights of a mark over the ground that need no explaining, mm: least and most. */
export const USUAL_HEIGHT_MM = [150.0, 450.0];
/** The latest stamp of an id that is taken in, ms since 1970. */
export const LAST_STAMP_MS = 7289654399999;
/** Kinds whose entries add to one card and say what they saw of it; how many they name at most. */
export const CARDS = ["car", "job", "known", "target"];
export const MOST_SEEN = 100;
/** What a job's card says of the car and not of the visit; fields of the car's own card that are as
 * one visit found them. */
export const SAME = ["car", "owner", "plate", "chassis", "car_id"];
export const PASSING = ["car.half_axle_deg", "car.load_sd_kg", "car.load_kg.left", "car.load_kg.right", "car.bush.rest_deg", "car.bush.rest_sd_deg", "car.limits.bump_mm", "car.limits.droop_mm", "car.held.left", "car.held.right", "car.anti_roll_off", "car.renewed", "car.adjuster.raise_turns", "car.adjuster.lower_turns", "car.adjuster.at_deg", "car.other.half_axle_deg", "car.other.load_sd_kg", "car.other.load_kg.left", "car.other.load_kg.right", "car.other.bush.rest_deg", "car.other.bush.rest_sd_deg", "car.other.limits.bump_mm", "car.other.limits.droop_mm", "car.other.held.left", "car.other.held.right", "car.other.anti_roll_off", "car.other.renewed", "car.other.adjuster.raise_turns", "car.other.adjuster.lower_turns", "car.other.adjuster.at_deg"];
/** What the job's axle has of the rest of the car, which the other axle's part has not. */
export const SEEN_FROM = ["sprung", "roll_support_n_per_mm", "roll_support_sd_n_per_mm", "unevenness_mm", "unevenness_sd_mm"];
/** Longest name of a writer, in characters. */
export const MOST_NAME = 100;
/** Entries that one job may have. */
export const PER_JOB = 10000;
/** Most bytes of a photo and of a part of it on its way; its kinds; most characters on it. */
export const PHOTO_BYTES = 524288;
export const PHOTO_PART = 65536;
export const PHOTO_KINDS = ["image/jpeg", "image/png", "image/webp"];
export const PHOTO_WORDS = 200;
/** Positions to a turn that a plan of an adjuster goes by, by its kind. */
export const POSITIONS = {"none": 1, "screw": 12, "eccentric": 72, "notch": 1};
