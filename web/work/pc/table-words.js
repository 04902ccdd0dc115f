/* What the jobs table says and is asked: what narrows and sorts it, its chips with their counts, the words of a row.
   Draws nothing. */

import { shortDate } from "../dates.js";
import { unreadWords } from "../holding-words.js";
import { grouped, plain } from "../numbers.js";
import { counted } from "../plural.js";
import { inches, inchText } from "../units.js";
import { HIDDEN, STATES, STATE_WORDS } from "./job-order.js";
import { named } from "../this-device.js";

/** @import { State } from "../../types/sheet.d.ts" */

/** What the address may ask for. @typedef {"query" | "state" | "car" | "owner" | "since" | "until" | "sort" | "order"}
 *   Name */
/** @typedef {Record<Name, string>} Asked */
/** @typedef {{ sort: string, order: "up" | "down", words: string }} Sort a way to sort: what comes first at the first
 *   tap */
/** @typedef {{ state: string, words: string, count: number | null, on: boolean }} Chip */

/** @type {Name[]} */
const NAMES = ["query", "state", "car", "owner", "since", "until", "sort", "order"];
/** What narrows the list besides the search and the chips: only a link asks for it.
 * @type {("car" | "owner" | "since" | "until")[]} */
const LINKED = ["car", "owner", "since", "until"];
/** The order of arrival at the shop has no column; it is what the table starts with. */
export const START = { sort: "arrival", order: "down" };

const SAID = {
  all: "all",
  open: "open",
  hidden: "hidden",
  car: (/** @type {string} */ car) => `Car: ${car}`,
  owner: (/** @type {string} */ owner) => `Owner: ${owner}`,
  since: (/** @type {string} */ day) => `Worked on from ${day}`,
  until: (/** @type {string} */ day) => `Worked on until ${day}`,
  jobs: (/** @type {number} */ n) => counted(n, "{n} job.", "{n} jobs."),
  narrowed: (/** @type {number} */ n) => counted(n, "{n} job, filtered.", "{n} jobs, filtered."),
  here: (/** @type {number} */ n) => named(counted(n, "{n} job on {here}.", "{n} jobs on {here}.")),
  hereNarrowed: (/** @type {number} */ n) =>
    named(counted(n, "{n} job on {here}, filtered.", "{n} jobs on {here}, filtered.")),
  only: (/** @type {number} */ n, /** @type {number} */ only) =>
    named(counted(n, `{n} job, ${only} of them only on {here}.`, `{n} jobs, ${only} of them only on {here}.`)),
  onlyNarrowed: (/** @type {number} */ n, /** @type {number} */ only) =>
    named(
      counted(
        n,
        `{n} job, ${only} of them only on {here}, filtered.`,
        `{n} jobs, ${only} of them only on {here}, filtered.`,
      ),
    ),
  reading: (/** @type {number} */ read, /** @type {number} */ all) =>
    `Reading ${grouped(read)} of ${grouped(all)} jobs.`,
  noMatch: "No jobs match.",
  get noneHere() {
    return named("No jobs on {here}.");
  },
  none: "No jobs yet.",
  get onlyHere() {
    return named("only on {here}");
  },
  waiting: (/** @type {number} */ n) => `${plain(n, 0)} not synced`,
  refused: (/** @type {number} */ n) => `${plain(n, 0)} refused by the shop`,
  resolve: (/** @type {number} */ n) => `${n} to resolve`,
  puzzles: (/** @type {number} */ n) => `${plain(n, 0)} not understood`,
};

/** @type {Sort[]} */
export const SORTS = [
  { sort: "number", order: "down", words: "No." },
  { sort: "car", order: "up", words: "Car" },
  { sort: "owner", order: "up", words: "Owner" },
  { sort: "wish", order: "up", words: "Request" },
  { sort: "state", order: "up", words: "Status" },
  { sort: "teardowns", order: "down", words: "Times turned" },
  { sort: "left", order: "down", words: "Left now" },
  { sort: "right", order: "down", words: "Right now" },
  { sort: "odds", order: "down", words: "Predicted chance" },
  { sort: "worked", order: "down", words: "Last worked on" },
  { sort: "unsettled", order: "down", words: "To do" },
];

/** What an address asks for; an order that there is none of is the one to start with.
 * @param {{ [name: string]: string }} query @returns {Asked} */
export function asks(query) {
  const asked = /** @type {Asked} */ (Object.fromEntries(NAMES.map((name) => [name, query[name] ?? ""])));
  return SORTS.some(({ sort }) => sort === asked.sort) ? asked : { ...asked, ...START };
}

/** The same as the address says it: without what is as at the start.
 * @param {Asked} asked @returns {{ [name: string]: string }} */
export const addressOf = (asked) =>
  Object.fromEntries(
    NAMES.filter((name) => asked[name] && asked[name] !== /** @type {any} */ (START)[name]).map((name) => [
      name,
      asked[name],
    ]),
  );

/** Whether anything narrows the list. @param {Asked} asked */
const narrows = (asked) => NAMES.slice(0, 6).some((name) => asked[name]);

/** A chip for each state, and how many jobs stand there; without counts as long as none have come.
 * @param {Partial<Record<"hidden", number>> & Record<State, number> | null} states
 * @param {string} state what is asked for @returns {Chip[]} */
export function chipsOf(states, state) {
  const all = states ? STATES.reduce((sum, name) => sum + states[name], 0) : null;
  const open = states && all !== null ? all - states.closed : null;
  return [
    { state: "", words: SAID.all, count: all },
    { state: "open", words: SAID.open, count: open },
    ...STATES.map((name) => ({
      state: /** @type {string} */ (name),
      words: STATE_WORDS[name],
      count: states?.[name] ?? null,
    })),
    // Asked for by nobody as long as there is none.
    ...(states?.[HIDDEN] || state === HIDDEN
      ? [{ state: HIDDEN, words: SAID.hidden, count: states?.[HIDDEN] ?? null }]
      : []),
  ].map((chip) => ({ ...chip, on: chip.state === state }));
}

/** What a link narrowed the list to, in words, each to be taken off.
 * @param {Asked} asked @returns {{ name: Name, words: string }[]} */
export const linked = (asked) =>
  LINKED.filter((name) => asked[name]).map((name) => ({
    name,
    words: SAID[name](name === "since" || name === "until" ? shortDate(asked[name]) : asked[name]),
  }));

/** How many jobs there are, in a sentence; while the shop still reads what an import brought, how far it is.
 * @param {{ total: number, only: number, lack: unknown, unread?: number }} found @param {Asked} asked
 * @returns {string} */
export function countWords({ total, only, lack, unread = 0 }, asked) {
  const narrowed = narrows(asked);
  if (unread && (narrowed || unread > total))
    return `${countWords({ total, only, lack }, asked)} ${unreadWords(unread)}`;
  if (unread) return SAID.reading(total - unread, total);
  if (!total) return narrowed ? SAID.noMatch : lack ? SAID.noneHere : SAID.none;
  if (lack) return narrowed ? SAID.hereNarrowed(total) : SAID.here(total);
  if (only) return narrowed ? SAID.onlyNarrowed(total, only) : SAID.only(total, only);
  return narrowed ? SAID.narrowed(total) : SAID.jobs(total);
}

/** What is special about a job: numbers are of entries; `resolve` where a person has to.
 * @param {{ only: boolean, waiting: number, refused: number, conflicts: number, puzzles: number, news?: string }} row
 * @returns {{ bad: boolean, words: string, resolve?: boolean }[]} */
export function marksOf(row) {
  const marks = [];
  if (row.news) marks.push({ bad: false, words: row.news });
  if (row.only) marks.push({ bad: false, words: SAID.onlyHere });
  else if (row.waiting) marks.push({ bad: false, words: SAID.waiting(row.waiting) });
  if (row.refused) marks.push({ bad: true, words: SAID.refused(row.refused) });
  if (row.conflicts) marks.push({ bad: true, words: SAID.resolve(row.conflicts), resolve: true });
  if (row.puzzles) marks.push({ bad: true, words: SAID.puzzles(row.puzzles) });
  return marks;
}

/** @param {number} mm */
const height = (mm) => (inches() ? inchText(mm) : plain(mm, 0));

/** Both heights in the unit chosen: one figure where they are to be alike, "" where one is lacking.
 * @param {number | null} left @param {number | null} right */
export function targetFigures(left, right) {
  if (left === null || right === null) return "";
  return left === right ? height(left) : `${height(left)} / ${height(right)}`;
}

/** Both heights as read: "266 / 251"; a dash where one was not.
 * @param {number | null} left @param {number | null} right */
export function nowFigures(left, right) {
  if (left === null && right === null) return "";
  const figure = (/** @type {number | null} */ mm) => (mm === null ? "–" : height(mm));
  return `${figure(left)} / ${figure(right)}`;
}
