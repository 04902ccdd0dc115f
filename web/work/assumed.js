/* What a plan takes for granted, in words: each fact's name, its value with the range that holds 90 in 100, what
   measures it, and what knowing it would bring. One table for every field that the model names; draws nothing. */

import { adjusterOf, mixed } from "./adjuster.js";
import { HARDLY } from "./flow.js";
import { NINETY, plain } from "./numbers.js";
import { about, figureOf, fineLengths, within } from "./plan-figures.js";
import { TESTS } from "./plan-ways.js";
import { PARTS, PER } from "./turn-facts.js";
import { lengthUnit, masses, moments } from "./units.js";

/** @import { Assumed, Obstacle, Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {"droop" | "bump" | "stop"} Limit */
/** @typedef {Assumed & { value: number, measure: string, minutes: number, name?: string }} Fact A fact with a row. */
/** A row of the screen: `needs` what the plan would use of a limit, in words, where it passes it; `to` the chance if it
 * were known, null for a limit.
 * @typedef {{field: string, name: string, value: string, needs: string, to: number | null, limit: boolean,
 *   measure: string, key: string, minutes: number, freed: boolean, over: number}} Row `over`
 * by how much a limit is passed, `freed` where only a free arm shows it */

const plus = (/** @type {Fact} */ { value, sd }) => `${plain(value, 1)} ± ${plain(NINETY * (sd ?? 0), 1)}°`;
const estimate = (/** @type {Fact} */ { value, sd }) => ({ value, sd: sd ?? 0 });
const LEVER = "car.adjuster.lever_mm";
const RAISE = "Turns left to raise";
const LOWER = "Turns left to lower";
/** @param {Fact} fact */
function perTurn(fact) {
  const { figure, unit } = fineLengths();
  return within(estimate(fact), { figure, unit }, unit === "in" ? 2 : 1);
}
const turnsLeft = (/** @type {Fact} */ { value }) => `${mixed(value)}, not looked at`;
const perDegree = () => ({ ...moments(), unit: `${moments().unit} per degree` });

/** Each field that the model may name: its name, how its value is said, and the limit of an option that it is.
 * @type {Record<string, {name: string, say: (fact: Fact) => string, limit?: "droop" | "bump" | "stop"}>} */
export const FIELDS = {
  [LEVER]: { name: PER.screw, say: perTurn },
  "car.adjuster.step_deg": { name: PER.notch, say: perTurn },
  "car.adjuster.raise_turns.left": { name: RAISE, say: turnsLeft },
  "car.adjuster.raise_turns.right": { name: RAISE, say: turnsLeft },
  "car.adjuster.lower_turns.left": { name: LOWER, say: turnsLeft },
  "car.adjuster.lower_turns.right": { name: LOWER, say: turnsLeft },
  "car.limits.droop_mm": { name: "Droop travel", say: (fact) => about(estimate(fact)), limit: "droop" },
  "car.limits.bump_mm": { name: "Bump travel", say: (fact) => about(estimate(fact)), limit: "bump" },
  "car.limits.stop_deg": { name: "Arm angle at its stop", say: plus, limit: "stop" },
  "car.arm_mm": {
    name: "Arm length",
    say: (fact) => within(estimate(fact), fineLengths(), fineLengths().unit === "in" ? 1 : 0),
  },
  "car.load_kg": { name: "Load on each spring", say: (fact) => within(estimate(fact), masses()) },
  log: { name: "Hanging angle", say: plus },
  "car.bar": { name: "Bar", say: (fact) => within(estimate(fact), perDegree()) },
  "car.bar.inner_teeth": {
    name: "Tooth counts",
    say: ({ value }) => `steps of ${plain(value, 1)}°, wherever they fall`,
  },
};

const nameOf = (/** @type {Fact} */ { field, side, name }) =>
  (name ?? FIELDS[field]?.name ?? field) + (side ? `, ${side}` : "");

/** The assumed limit that an option would pass, or null.
 * @param {Option} option @param {Fact} fact */
function passed(option, { field, side }) {
  const what = FIELDS[field]?.limit;
  return (option.obstacles ?? []).find((each) => !each.given && each.what === what && (each.side ?? null) === side);
}

/** What the plan would use of a limit, in words; "" where that is no figure of its own.
 * @param {Fact} fact @param {Obstacle} obstacle */
function needed(fact, obstacle) {
  if (obstacle.by_mm !== null && obstacle.by_mm !== undefined && FIELDS[fact.field].limit !== "stop") {
    return `${figureOf(fact.value + obstacle.by_mm)} ${lengthUnit()}`;
  }
  return "";
}

/** What a turn of the adjuster gives, of an eccentric by the part of a turn that is said of it.
 * @param {Fact} fact @param {any} car */
function ofAdjuster(fact, car) {
  const kind = adjusterOf(car)?.kind;
  if (kind !== "eccentric" || fact.field !== LEVER) return fact;
  const by = PARTS[kind];
  return { ...fact, value: fact.value / by, sd: (fact.sd ?? 0) / by, name: PER[kind] };
}

/** @param {Fact} fact @param {Option} option @returns {Row} */
function rowOf(fact, option) {
  const limit = Boolean(FIELDS[fact.field]?.limit);
  const obstacle = limit ? passed(option, fact) : null;
  return {
    field: fact.field,
    name: nameOf(fact),
    value: FIELDS[fact.field]?.say(fact) ?? fact.words,
    needs: obstacle ? needed(fact, obstacle) || "more" : "",
    to: limit ? null : fact.odds_after,
    limit,
    measure: fact.measure,
    key: TESTS[fact.measure]?.key ?? "Measure",
    minutes: fact.minutes,
    over: obstacle?.by_mm ?? obstacle?.by_deg ?? 0,
    freed: Boolean(TESTS[fact.measure]?.freed),
  };
}

/** Rows of both sides that say the same, as one. @param {Row[]} rows @returns {Row[]} */
function joined(rows) {
  /** @type {Row[]} */
  const out = [];
  for (const row of rows) {
    const bare = row.name.replace(/, (left|right)$/, "");
    const twin = out.find(
      (other) =>
        other.field === row.field && other.value === row.value && other.needs === row.needs && other.name !== row.name,
    );
    if (twin) twin.name = bare === row.name ? row.name : `${bare}, both sides`;
    else out.push({ ...row });
  }
  return out;
}

/**
 * What is assumed, in groups: limits that the option would pass, facts by their worth, and what hardly changes it.
 * @param {Pick<SolveAnswer, "assumed" | "options">} answer
 * @param {Option} option
 * @param {any} [car] as the sheet has it, for its adjuster
 * @returns {{passed: Row[], worth: Row[], rest: Row[]}}
 */
export function assumedOf(answer, option, car) {
  const from = answer.options[0].odds;
  const rows = (answer.assumed ?? []).map((fact) => rowOf(ofAdjuster(/** @type {Fact} */ (fact), car), option));
  const over = rows.filter((row) => row.needs);
  const worth = rows
    .filter((row) => row.to !== null && row.to - from >= HARDLY)
    .sort((one, other) => (other.to ?? 0) - (one.to ?? 0));
  const rest = rows.filter((row) => !over.includes(row) && !worth.includes(row));
  return { passed: over, worth: joined(worth), rest: joined(rest) };
}

/**
 * The limits that are passed, one for each kind: the side that needs most, without its name where both pass it.
 * @param {SolveAnswer} answer
 * @param {Option} option
 * @returns {Row[]}
 */
export function passedOnce(answer, option) {
  /** @type {Row[]} */
  const out = [];
  for (const row of assumedOf(answer, option).passed) {
    const at = out.findIndex((other) => other.field === row.field);
    if (at < 0) out.push(row);
    else out[at] = { ...(row.over > out[at].over ? row : out[at]), name: FIELDS[row.field].name };
  }
  return out;
}

/** "Droop travel, left: 90 ± 41 mm is assumed; the plan needs 102 mm."
 * @param {Row} row */
export const assumedWords = ({ name, value, needs }) =>
  needs === "more"
    ? `${name}: ${value} is assumed; the plan passes it.`
    : `${name}: ${value} is assumed; the plan needs ${needs}.`;

/** Assumed limits of an option that no fact of the answer stands for, such as the stress that preset bars carry: the
 * model's own sentence, and where the limit is typed.
 * @param {Option} option
 * @returns {{text: string, field: string}[]} */
export function otherLimits(option) {
  const known = Object.values(FIELDS).map((each) => each.limit);
  return (option.obstacles ?? [])
    .filter((each) => !each.given && !known.includes(/** @type {Limit} */ (each.what)))
    .map((each) => ({
      text: each.words,
      field: each.what === "joint" ? "car.limits.joint_deg" : "car.limits.permissible_stress_mpa",
    }));
}
