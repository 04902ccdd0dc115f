/* What a turn of an adjuster does and takes, in words: millimetres a turn, turns left, the screw's torque, what is
   still wound up at full droop. Reads an option of an answer, or a plan that was kept; draws nothing. */

import { mixed, turnedBy } from "./adjuster.js";
import { plain } from "./numbers.js";
import { energies, inches, moments, toInches } from "./units.js";

/** @import { Adjusts } from "./adjuster.js" */

/** @typedef {{ name: string, value: string }} Row */

export const PER = {
  screw: "Height per turn",
  notch: "Height per notch",
  eccentric: "Height per 10°, near its middle",
};
/** An eccentric never goes round: it is said by so many parts of a turn. */
export const PARTS = { screw: 1, notch: 1, eccentric: 36 };
/** Below this nothing is said to be still wound up, N·m. */
const NOTHING = 0.5;

/** @param {unknown} value @returns {value is number} */
const known = (value) => typeof value === "number";

/**
 * "left after it: 12 to raise, 8 to lower", or "" where nobody counted.
 * @param {{ raise_turns_left?: number | null, lower_turns_left?: number | null }} side
 * @param {Adjusts} kind
 */
export function leftWords({ raise_turns_left: up, lower_turns_left: down }, kind) {
  if (kind === "eccentric") return "";
  const said = [
    known(up) ? `${up < 0 ? "−" : ""}${mixed(up)} to raise` : "",
    known(down) ? `${down < 0 ? "−" : ""}${mixed(down)} to lower` : "",
  ].filter(Boolean);
  return said.length ? `Left after it: ${said.join(", ")}` : "";
}

/** "20 to 39 N·m". @param {number[]} range */
function torque([low, high]) {
  const { figure, unit } = moments();
  const [from, to] = [low, high].map((nm) => plain(figure(Math.abs(nm)), 0));
  return from === to ? `${to} ${unit}` : `${from} to ${to} ${unit}`;
}

/**
 * How far a turn goes: "5.3 mm"; null where there is no adjuster.
 * @param {number | null | undefined} mm
 */
const perTurn = (mm) => (known(mm) ? (inches() ? `${plain(toInches(mm), 2)} in` : `${plain(mm, 1)} mm`) : null);

/**
 * The rows of an option: height a turn, torque to raise and to lower; of the side that takes more.
 * @param {any} option
 * @param {Adjusts} kind
 * @returns {Row[]}
 */
export function turnRows(option, kind) {
  const per = perTurn(known(option.mm_per_turn) ? option.mm_per_turn / PARTS[kind] : null);
  const screws = [option.left.screw, option.right.screw].filter(Boolean);
  const worst = screws.sort((one, other) => other.force_n - one.force_n)[0];
  return [
    ...(per ? [{ name: PER[kind], value: per }] : []),
    ...(worst
      ? [
          { name: "Torque to raise, wheels hanging", value: torque(worst.raise_nm) },
          { name: "Torque to lower", value: torque(worst.lower_nm) },
        ]
      : []),
  ];
}

/**
 * What is still wound in with the wheels at full droop, for whoever undoes the screw: {torque, energy} in words, or
 * null where nothing is.
 * @param {any} screw of a side
 */
export function unloadWords(screw) {
  if (!screw || !known(screw.unload_nm) || screw.unload_nm < NOTHING) return null;
  const [torques, energy] = [moments(), energies()];
  return {
    torque: `${plain(torques.figure(screw.unload_nm), 0)} ${torques.unit}`,
    energy: `${plain(energy.figure(screw.unload_j), 0)} ${energy.unit}`,
  };
}

/** "Raise 7 turns in all." where a part is made first. @param {number} planned @param {Adjusts} kind */
export const inAllWords = (planned, kind) =>
  `Two thirds first: the plan is to ${planned > 0 ? "raise" : "lower"} ${turnedBy(planned, kind)} in all. ` +
  "Settle and read, then plan the rest from what it did.";
