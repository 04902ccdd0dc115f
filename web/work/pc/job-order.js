/* Search and order of the jobs on this device where the shop does not answer: the rules of GET /api/jobs a second time,
   for a device without a network. Rows are as the shop sends them. */

import { compact } from "../car-said.js";

/** @import { Which } from "../car-said.js" */
/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Folded, Sheet, State } from "../../types/sheet.d.ts" */
/** @import { JobLine } from "../../types/wire.d.ts" */

/** @typedef {Omit<JobLine, "seq" | "number"> & { number: number | null }} Line A row, which has no number before it
 *   reaches the shop. */

/**
 * In the order of the work.
 * @type {State[]}
 */
export const STATES = ["measuring", "planned", "torn down", "checked", "closed"];

/** @type {Record<State, string>} */
export const STATE_WORDS = {
  measuring: "measuring",
  planned: "planned",
  "torn down": "to be measured",
  checked: "checked",
  closed: "handed over",
};

/** A job of which nothing says whose visit it is. */
const ALONE = { key: "", by: "own", chassis: "", plate: "" };

/** @param {string} text */
const plain = (text) => text.toLowerCase().split(/\s+/).filter(Boolean);

/** @param {string} at */
const utc = (at) => {
  const date = new Date(at);
  return Number.isNaN(date.getTime()) ? at : date.toISOString();
};

/**
 * The row of a job on this device.
 * @param {Pick<Folded, "sheet" | "stages"> & { entries: Entry[] }} job
 * @param {Omit<Which, "job">} [which] whose visit it is; left out, a car by itself
 * @returns {Line}
 */
export function rowOf({ sheet, stages, entries }, which = ALONE) {
  const moments = entries.map(({ at }) => utc(at)).sort();
  const read = stages.map(({ reached }) => reached).findLast(({ lean_mm: lean }) => lean !== null);
  const aim = stages.findLast(({ at }) => at)?.target ?? {};
  const promised = stages.map((stage) => stage.promised).findLast(Boolean);
  const { job, title, owner, wish, state, teardowns } = sheet;
  return {
    job,
    number: null,
    title,
    owner,
    wish,
    car: sheet.car_name,
    car_key: which.key,
    car_by: which.by,
    chassis: which.chassis,
    plate: which.plate,
    hidden: sheet.about.hidden === true,
    state,
    teardowns,
    entries: sheet.entries,
    conflicts: sheet.conflicts.length,
    puzzles: sheet.puzzles.length,
    left_mm: read?.left_mm ?? null,
    right_mm: read?.right_mm ?? null,
    target_left_mm: aim.left_mm ?? null,
    target_right_mm: aim.right_mm ?? null,
    tolerance_mm: aim.tolerance_mm ?? null,
    odds: promised?.odds ?? null,
    first_at: moments[0] ?? null,
    last_at: moments.at(-1) ?? null,
  };
}

/**
 * The field of each order that is not called as its field.
 * @type {{ [sort: string]: keyof JobLine & keyof Line }}
 */
const FIELDS = {
  arrival: "last_at",
  begun: "first_at",
  worked: "last_at",
  left: "left_mm",
  right: "right_mm",
  unsettled: "conflicts",
};

/**
 * Which of two rows comes first; those that lack the figure come last either way, among equals the order of arrival
 * decides.
 * @param {Line} one
 * @param {Line} other
 * @param {{ sort: string, order: string }} by
 */
export function compared(one, other, { sort, order }) {
  const name = FIELDS[sort] ?? /** @type {keyof JobLine & keyof Line} */ (sort);
  const value = (/** @type {Line} */ row) => {
    const found = row[name];
    if (sort === "state") return STATES.indexOf(row.state);
    return typeof found === "string" ? found.toLowerCase() : found;
  };
  const [a, b] = [value(one), value(other)];
  const way = order === "up" ? 1 : -1;
  if (a === null || b === null) return a === b ? way * (one.job < other.job ? -1 : 1) : a === null ? 1 : -1;
  return way * (a < b ? -1 : a > b ? 1 : one.job < other.job ? -1 : 1);
}

/** Whether every word of what is asked stands in a text. @param {string} asked @param {string} text */
const says = (asked, text) => plain(asked).every((word) => text.toLowerCase().includes(word));

/**
 * Whether every word of what is asked stands in what a job says of itself, its numbers however they are typed.
 * @param {string} asked
 * @param {Line} row
 */
export const tells = (asked, { title, car, owner, wish, plate, chassis }) => {
  const text = [title, car, owner, wish].join(" ");
  const numbers = `${plate} ${chassis}`;
  return plain(asked).every((word) => says(word, text) || (compact(word) && numbers.includes(compact(word))));
};

/** What a list is narrowed to for the jobs that are hidden; no other list has them. */
export const HIDDEN = /** @type {const} */ ("hidden");

/** Whether a row is in a state; "open" is every state but closed. @param {Line} row @param {string} state */
export const isIn = (row, state) =>
  row.hidden === (state === HIDDEN) &&
  (!state || state === HIDDEN || (state === "open" ? row.state !== "closed" : row.state === state));

/**
 * Whether a row was worked on between two days, both of them included; "" bounds nothing.
 * @param {Line} row
 * @param {string} since
 * @param {string} until
 */
const between = (row, since, until) =>
  (!since || (row.last_at ?? "").slice(0, 10) >= since) && (!until || (row.first_at ?? "9999").slice(0, 10) <= until);

/**
 * Whether a row is among those asked for.
 * @param {Line} row
 * @param {{ query?: string, car?: string, owner?: string, state?: string, since?: string, until?: string }} asked
 */
export const fits = (row, { query = "", car = "", owner = "", state = "", since = "", until = "" }) =>
  tells(query, row) &&
  (row.car_key === car || says(car, row.car)) &&
  row.owner.toLowerCase().startsWith(owner.toLowerCase()) &&
  isIn(row, state) &&
  between(row, since, until);
