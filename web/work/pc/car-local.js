/* A car's page from the jobs on this device alone, in the shape of the shop's answer (GET /api/cars/page). */

import { sprungOf } from "../adjuster.js";
import { keptAbout, leftBy } from "../next-job.js";
import { named } from "../car-said.js";
import { rowOf, tells } from "./job-order.js";
import { stageRow } from "./stage-row.js";

/** @import { Which } from "../car-said.js" */
/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Folded, Stage } from "../../types/sheet.d.ts" */
/** @import { Again, CarLine, CloseBody, Constant, JobLine, Teardown } from "../../types/wire.d.ts" */

/** @typedef {Folded & { entries: Entry[], which: Which }} Found A job of this device, and whose visit it is. */
/** @typedef {{ job: string, entry: string, at: string, device: string, writer: string | null }} SaidBy */
/** @typedef {Omit<JobLine, "seq" | "number"> & { number: number | null, began_from: string | null, taught: boolean,
 *   said: SaidBy | null }} Visit */
/** @typedef {Omit<Teardown, "owner" | "car" | "car_key" | "hidden">} Row As found, after a teardown, at a recheck. */
/** A car in a list. @typedef {Pick<CarLine, "car_key" | "car" | "owner" | "visits" | "last_at">} Line */
/** @typedef {Omit<Line, "last_at"> & { last_at: string | null, why: "chassis" | "plate" | "name" }} Other A car that
 *   may be the same. */
/** @typedef {{ car: Omit<Line, "last_at"> & { last_at: string | null }, other: Other }} Alike Two cars that may be
 *   one. */
/** @typedef {Omit<Line, "last_at"> & { last_at: string | null, said: SaidBy[] }} Apart A car said to be another. */
/** @typedef {{ car_key: string, car: string, owner: string, plate: string, chassis: string, others: Other[],
 *   apart: Apart[], visits: Visit[], visit_count: number, teardowns: Row[], constants: Constant[], again: Again }}
 *   CarFound */

/**
 * A stage of a job as a row of the shop's.
 * @param {Folded["sheet"]} sheet
 * @param {Stage} stage
 * @returns {Row}
 */
const teardownRow = (sheet, stage) => ({ job: sheet.job, title: sheet.title, ...stageRow(stage), at: stage.at ?? "" });

/** @param {Row} a @param {Row} b */
const inTime = (a, b) =>
  Date.parse(a.at) - Date.parse(b.at) || a.teardown - b.teardown || (a.after_km ?? 0) - (b.after_km ?? 0);

/**
 * The cards a new job of this car can begin with.
 * @param {Visit[]} visits the last first
 * @param {Map<string, Found>} byJob
 * @returns {Again}
 */
function againOf(visits, byJob) {
  const sheets = visits.flatMap(({ job }) => byJob.get(job)?.sheet ?? []);
  const [latest] = sheets;
  const cards = sheets.map((sheet) => sheet.car).reverse();
  const car = leftBy(cards);
  const last = sheets.find((sheet) => taughtBy(sheet));
  // With another bar since, or of the other axle, what was learned says nothing of it.
  const then = last ? leftBy(cards.slice(0, cards.length - sheets.indexOf(last))) : {};
  const fits = last && sprungOf(then) === sprungOf(car) && JSON.stringify(then.bar) === JSON.stringify(car.bar);
  return {
    job: keptAbout({ ...latest, title: "" }),
    car,
    known: last && fits ? { use: true, job: last.job, ...taughtBy(last) } : null,
  };
}

/** The last word on the car's constants: at the close, else with the last plan; null where there is none.
 * @param {Folded["sheet"]} sheet
 */
function taughtBy({ closed, plans }) {
  const rows = /** @type {(Partial<CloseBody> | null)[]} */ ([closed, ...plans.toReversed()]);
  const row = rows.find((each) => each?.posterior);
  if (!row?.posterior) return null;
  return { posterior: row.posterior, ...(row.learned ? { learned: row.learned } : {}) };
}

/**
 * The record by which a person said which car a job is of; null where nobody has.
 * @param {Found} found
 * @param {"car_id" | "other_than"} [field]
 * @returns {SaidBy | null}
 */
export function saidIn({ sheet, entries }, field = "car_id") {
  const said = JSON.stringify(sheet.about[field]);
  if (!said) return null;
  const struck = new Set(sheet.struck.map(({ id }) => id));
  const entry = entries
    .filter(({ id, kind, body }) => kind === "job" && !struck.has(id) && JSON.stringify(body[field]) === said)
    .sort((a, b) => (a.id < b.id ? 1 : -1))[0];
  if (!entry) return null;
  const { id, at, device } = entry;
  return { job: sheet.job, entry: id, at, device, writer: sheet.writers[device] ?? null };
}

/** Jobs by the key of their car. @param {Found[]} all */
function byKey(all) {
  /** @type {Map<string, Found[]>} */
  const cars = new Map();
  for (const one of all) if (one.which.key) cars.set(one.which.key, [...(cars.get(one.which.key) ?? []), one]);
  return cars;
}

/** A car as its latest visit names it. @param {string} key @param {Found[]} jobs @returns {Line} */
function lineOf(key, jobs) {
  const rows = jobs
    .map((one) => rowOf(one, one.which))
    .sort((a, b) => ((a.last_at ?? "") < (b.last_at ?? "") ? 1 : -1));
  const [{ car, owner, last_at: at }] = rows;
  return { car_key: key, car, owner, visits: rows.length, last_at: at ?? "" };
}

/** Whether somebody said of one of these jobs that it is another car than those. @param {Found[]} one @param {Found[]}
 * other */
function denies(one, other) {
  const ids = new Set(other.flatMap(({ sheet, which }) => [sheet.job, which.key]));
  return one.filter(({ sheet }) => (sheet.about.other_than ?? []).some((id) => ids.has(id)));
}

/** What all jobs of a car say of something. @param {Found[]} jobs @param {(found: Found) => string} what */
const all = (jobs, what) => new Set(jobs.map(what).filter(Boolean));

/** What makes two cars look alike, the strongest first. @type {["chassis" | "plate" | "name", (found: Found) =>
 * string][]} */
const ALIKE = [
  ["chassis", ({ which }) => which.chassis],
  ["plate", ({ which }) => which.plate],
  ["name", ({ sheet }) => named(sheet.car_name, sheet.owner)],
];

/**
 * Why a person is asked whether two cars are one; null where not: as the shop's book asks (book/visits.py).
 * @param {Found[]} mine
 * @param {Found[]} theirs
 */
function whyAsked(mine, theirs) {
  if (denies(mine, theirs).length || denies(theirs, mine).length) return null;
  const common = (/** @type {(found: Found) => string} */ what) =>
    [...all(mine, what)].some((value) => all(theirs, what).has(value));
  const differ = (/** @type {(found: Found) => string} */ what) =>
    all(mine, what).size > 0 && all(theirs, what).size > 0 && !common(what);
  const why = ALIKE.find(([, what]) => common(what))?.[0] ?? null;
  return why === "name" && (differ(ALIKE[0][1]) || differ(ALIKE[1][1])) ? null : why;
}

/**
 * The car of that key as this device knows it; null where no job is of it.
 * @param {Found[]} every
 * @param {string} key
 * @param {string} [without] a job that is left out
 * @returns {CarFound | null}
 */
export function carHere(every, key, without) {
  const shown = every.filter(({ sheet }) => !sheet.about.hidden);
  const mine = shown.filter(({ sheet, which }) => which.key === key && sheet.job !== without);
  if (!mine.length) return null;
  const visits = mine
    .map((found) => ({
      ...rowOf(found, found.which),
      began_from: found.sheet.known?.job ?? null,
      taught: Boolean(taughtBy(found.sheet)),
      said: saidIn(found),
    }))
    .sort((a, b) => ((a.first_at ?? "") < (b.first_at ?? "") ? 1 : -1));
  const byJob = new Map(mine.map((found) => [found.sheet.job, found]));
  const typed = (/** @type {"plate" | "chassis"} */ mark) =>
    visits.map(({ job }) => byJob.get(job)?.sheet.about[mark]).find(Boolean) ?? "";
  const [{ car, owner }] = visits;
  const rest = [...byKey(shown)].filter(([other]) => other !== key);
  return {
    car_key: key,
    car,
    owner,
    plate: typed("plate"),
    chassis: typed("chassis"),
    others: rest.flatMap(([other, jobs]) => {
      const why = whyAsked(mine, jobs);
      return why ? [{ ...lineOf(other, jobs), why }] : [];
    }),
    apart: rest.flatMap(([other, jobs]) => {
      const said = [...denies(mine, jobs), ...denies(jobs, mine)].flatMap((one) => saidIn(one, "other_than") ?? []);
      return said.length ? [{ ...lineOf(other, jobs), said }] : [];
    }),
    visits,
    visit_count: visits.length,
    teardowns: mine
      .flatMap(({ sheet, stages }) => stages.filter(({ at }) => at).map((stage) => teardownRow(sheet, stage)))
      .sort(inTime),
    constants: [],
    again: againOf(visits, byJob),
  };
}

/**
 * Pairs of cars on this device that a person is asked about, the one that was here last first.
 * @param {Found[]} every
 * @param {number} most
 * @returns {Alike[]}
 */
export function alikeHere(every, most) {
  const cars = [...byKey(every.filter(({ sheet }) => !sheet.about.hidden))]
    .map(([key, jobs]) => ({ line: lineOf(key, jobs), jobs }))
    .sort((a, b) => (a.line.last_at < b.line.last_at ? 1 : -1));
  const pairs = cars.flatMap(({ line: car, jobs }, i) =>
    cars.slice(i + 1).flatMap((other) => {
      const why = whyAsked(jobs, other.jobs);
      return why ? [{ car, other: { ...other.line, why } }] : [];
    }),
  );
  return pairs.slice(0, most);
}

/**
 * The cars on this device in which every word stands, the one worked on last first.
 * @param {Found[]} every
 * @param {string} words
 * @param {string} [without] a job that is left out
 * @returns {Line[]}
 */
export function carsHere(every, words, without) {
  const fit = every.filter(
    (one) => !one.sheet.about.hidden && one.sheet.job !== without && tells(words, rowOf(one, one.which)),
  );
  return [...byKey(fit)].map(([key, jobs]) => lineOf(key, jobs)).sort((a, b) => (a.last_at < b.last_at ? 1 : -1));
}
