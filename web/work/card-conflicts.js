/* What is in dispute on a card of a job (target, car, the job's own words, what is known): two wrote it without having
   seen each other. What each says in the words of the trade, what a pick writes, and what waits for one. Decides and
   words; draws nothing. */

import { answerWords, questionOf } from "./questions.js";
import { body } from "./sheet.js";
import { titled } from "./sentence.js";
import { aimWords, withinWords } from "./wish.js";

/** @import { Body, Item } from "../types/log.d.ts" */
/** @import { Conflict, Sheet } from "../types/sheet.d.ts" */

/** @typedef {Pick<Conflict, "kind" | "field" | "values" | "used" | "before_teardown" | "contradicted">} Asked */

const SAID = {
  target: "Target",
  there: "other axle",
  axle: "Axle",
  held: (/** @type {string} */ side) => `Ends that stay, ${side}`,
  taught: "What an earlier visit taught",
  use: "What the last visit taught",
  yes: "used",
  no: "not used",
  earlier: (/** @type {string} */ job) => `of the visit …${job.slice(-4)}`,
  none: "not entered",
  empty: "none",
  two: (/** @type {string} */ name, /** @type {string} */ used) =>
    `${name}: entered in two ways. Until you choose, the later is used: ${used}.`,
  again: " It was resolved in two ways.",
  held_back: "No teardown begins before that.",
  goesOn: (/** @type {string} */ names) =>
    `${names}: entered in two ways. This teardown goes on by its plan. Choose in the Log.`,
};
/** @type {{ [field: string]: string }} */
const JOB = {
  title: "Title",
  owner: "Owner",
  car: "Car",
  car_id: "Which car it is",
  odometer: "Odometer",
  plate: "Number plate",
  chassis: "Chassis number",
  hidden: "Hidden",
  wish: "Customer’s request",
};

/** @param {unknown} value */
const text = (value) => (typeof value === "string" ? `“${value}”` : JSON.stringify(value));

/**
 * What is in dispute: "Target", "Teeth, inner end", "Owner".
 * @param {Pick<Conflict, "kind" | "field">} conflict
 */
export function disputedName({ kind, field }) {
  if (kind === "target") return SAID.target;
  if (kind === "job") return JOB[field] ?? field;
  if (kind === "known") return field === "use" ? SAID.use : SAID.taught;
  if (field.startsWith("held.")) return SAID.held(field.slice("held.".length));
  return field === "axle" ? SAID.axle : (questionOf(`car.${field}`)?.title ?? field);
}

/**
 * A target in words; its tolerances where these differ too, or are all it says.
 * @param {any} target
 * @param {Conflict["values"]} values
 */
function targetWords(target, values) {
  const aim = aimWords(target);
  const within = withinWords(target);
  const differ = values.some(({ value }) => withinWords(value) !== within);
  const own = [aim, differ || !aim ? within : ""].filter(Boolean).join("; ");
  if (!values.some(({ value }) => value?.other)) return own;
  const there = target.other ? [aimWords(target.other), withinWords(target.other)].filter(Boolean).join("; ") : "";
  return `${own}; ${SAID.there}: ${there || SAID.none}`;
}

/**
 * What one of them says: "left 250 mm, right 250 mm", "40", "“Maren”".
 * @param {Pick<Conflict, "kind" | "field" | "values">} conflict
 * @param {any} value
 * @returns {string}
 */
export function disputedWords({ kind, field, values }, value) {
  if (value === null || value === undefined) return SAID.none;
  if (kind === "target") return targetWords(value, values);
  if (kind === "known" && field === "use") return value ? SAID.yes : SAID.no;
  if (kind === "known") return value.job ? SAID.earlier(String(value.job)) : SAID.none;
  const question = kind === "car" ? questionOf(`car.${field}`) : undefined;
  if (question && typeof value === "number") return answerWords(question, value);
  if (Array.isArray(value)) return value.length ? value.join(", ") : SAID.empty;
  return field === "axle" ? String(value) : text(value);
}

/** What is used until somebody picks, in words. @param {Asked} conflict */
const usedWords = (conflict) =>
  disputedWords(conflict, conflict.values.find(({ entry }) => entry === conflict.used)?.value);

/**
 * What is asked, as a person reads it: what is in dispute, what is used meanwhile, what waits.
 * @param {Asked} conflict
 */
export const disputedSentence = (conflict) =>
  SAID.two(disputedName(conflict), usedWords(conflict)) +
  (conflict.contradicted ? SAID.again : "") +
  (conflict.before_teardown ? ` ${SAID.held_back}` : "");

/**
 * The entry that a pick writes: the value again, by one who has seen both. What only others say of a whole is taken
 * back with it.
 * @param {Pick<Conflict, "kind" | "field" | "values">} conflict
 * @param {any} value of one of them
 * @returns {Item}
 */
export function pickItem({ kind, field, values }, value) {
  const whole = kind === "target" || (kind === "known" && field !== "use");
  if (!whole) return [kind, body(kind === "car" ? field.split(".") : [field], value)];
  /** @type {Body} */
  const all = {};
  /** Those of the other axle, which add up by themselves. @type {Body} */
  const there = {};
  for (const each of values) {
    for (const name of Object.keys(each.value ?? {})) all[name] = null;
    for (const name of Object.keys((kind === "target" && each.value?.other) || {})) there[name] = null;
  }
  const other = kind === "target" && value.other ? { other: { ...there, ...value.other } } : {};
  return [kind, { ...all, ...value, ...other }];
}

/**
 * What must be picked before a teardown begins.
 * @param {Pick<Sheet, "conflicts">} sheet
 */
export const holdingBack = (sheet) => (sheet.conflicts ?? []).filter((conflict) => conflict.before_teardown);

/** What is in dispute, as one name in front of a sentence. @param {Conflict[]} list */
export const disputedNames = (list) => titled([...new Set(list.map(disputedName))].join(", "));

/** What is said on the steps of a teardown that is under way. @param {Conflict[]} list */
export const goesOnWords = (list) => SAID.goesOn(disputedNames(list));
