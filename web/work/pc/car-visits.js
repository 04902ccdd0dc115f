/* What became of each visit of a car: on target at the first teardown or not, and the heights it came with and left
   with. Words and figures; draws nothing. */

import { counted } from "../plural.js";
import { rowStage } from "./car-steps.js";
import { STATE_WORDS } from "./job-order.js";

/** @import { Sides } from "../../types/sheet.d.ts" */
/** @import { CarFound, Row, Visit } from "./car-local.js" */

/** @typedef {{ left_mm: number, right_mm: number, tolerance_mm: number | null }} Gate */
/**
 * One visit as it is drawn. `good`: on target on hand-over day, off it, null where nothing says so; `first`: the same
 * of the first teardown.
 * @typedef {{ job: string, at: string | null, request: string, words: string, good: boolean | null,
 *   first: boolean | null, odds: number | null, found: Sides<number | null>, now: Sides<number | null>,
 *   target: Gate | null, cross: Row[], fromEarlier: boolean, conflicts: number }} Came
 */

const SAID = {
  /* The headline: n visits, all of them judged and on target at the first teardown. */
  each: (/** @type {number} */ n) =>
    counted(n, "{n} visit, on target first time", "{n} visits, each on target first time"),
  /* m of the k that were measured after a first teardown. */
  some: (/** @type {number} */ n, /** @type {number} */ hits, /** @type {number} */ judged) =>
    counted(
      n,
      `{n} visit, on target first time: ${hits} of ${judged}`,
      `{n} visits, on target first time: ${hits} of ${judged}`,
    ),
  open: (/** @type {number} */ n) =>
    counted(n, "{n} visit, nothing measured afterwards yet", "{n} visits, nothing measured afterwards yet"),
  first: "On target first time",
  later: (/** @type {string} */ stage) => `On target after ${stage}`,
  off: (/** @type {string} */ stage) => `Off target after ${stage}`,
  asFound: "On target as found",
};

/** @param {Row} row */
const onTheDay = (row) => row.after_km === null;

/** The heights of the mark that the target is of: its own figures are nearer to the right one by decimetres.
 * @param {Row} row @param {Gate | null} target @returns {Sides<number | null>} */
function marked(row, target) {
  const body = { left: row.body_height_left_mm, right: row.body_height_right_mm };
  const hub = { left: row.hub_to_body_left_mm, right: row.hub_to_body_right_mm };
  const far = (/** @type {Sides<number | null>} */ { left }) =>
    left === null || !target ? Infinity : Math.abs(left - target.left_mm);
  return far(hub) < far(body) ? hub : body;
}

/** @param {Row[]} rows @returns {Gate | null} */
function gateOf(rows) {
  const row = rows.findLast(({ target_left_mm: l, target_right_mm: r }) => l !== null && r !== null);
  if (!row || row.target_left_mm === null || row.target_right_mm === null) return null;
  return { left_mm: row.target_left_mm, right_mm: row.target_right_mm, tolerance_mm: row.tolerance_mm };
}

/** @param {Visit} visit @param {Row | undefined} last the last teardown that was judged */
function wordsOf(visit, last) {
  if (!last || last.hit === null) return STATE_WORDS[visit.state] ?? visit.state;
  if (last.teardown === 0) return last.hit ? SAID.asFound : (STATE_WORDS[visit.state] ?? visit.state);
  if (last.hit) return last.teardown === 1 ? SAID.first : SAID.later(rowStage(last));
  return SAID.off(rowStage(last));
}

/** Whether all four wheels were weighed. @param {Row} row */
export const isWeighed = ({ cross_percent: percent }) => typeof percent === "number";

/**
 * Every visit, the last first.
 * @param {Pick<CarFound, "visits" | "teardowns">} found
 * @returns {Came[]}
 */
export function visitsOf({ visits, teardowns }) {
  return visits.map((visit) => {
    const rows = teardowns.filter((row) => row.job === visit.job && onTheDay(row));
    const target = gateOf(rows);
    const read = rows.filter((row) => Object.values(marked(row, target)).some((mm) => mm !== null));
    const judged = rows.findLast(({ hit }) => hit !== null);
    const none = { left: null, right: null };
    const [found, now] = [read.find(({ teardown }) => teardown === 0), read.at(-1)];
    const judges = judged && (judged.teardown > 0 || judged.hit);
    return {
      job: visit.job,
      at: visit.first_at,
      request: visit.wish || visit.title,
      words: wordsOf(visit, judged),
      good: judges ? judged.hit : null,
      first: rows.find(({ teardown }) => teardown === 1)?.hit ?? null,
      odds: rows.find(({ teardown }) => teardown === 1)?.odds ?? visit.odds,
      found: found ? marked(found, target) : none,
      now: now ? marked(now, target) : none,
      target,
      // The first and the last that were weighed, or the only one.
      cross: rows.filter(isWeighed).filter((_, i, all) => i === 0 || i === all.length - 1),
      fromEarlier: visit.began_from !== null,
      conflicts: visit.conflicts,
    };
  });
}

/**
 * The page in one line.
 * @param {Came[]} came
 * @param {number} count how many visits there were in all
 */
export function headline(came, count) {
  const judged = came.filter(({ first }) => first !== null);
  const hits = judged.filter(({ first }) => first).length;
  if (!judged.length) return SAID.open(count);
  return hits === count ? SAID.each(count) : SAID.some(count, hits, judged.length);
}
