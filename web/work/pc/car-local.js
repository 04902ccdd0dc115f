/* A car's page from the jobs on this device alone, in the shape of the shop's answer (GET /api/cars/page). */

import { keptAbout, lastingOf, merged } from "../next-job.js";
import { carKey, rowOf, tells } from "./job-order.js";
import { stageRow } from "./stage-row.js";

/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Folded, Stage } from "../../types/sheet.d.ts" */
/** @import { Again, CarLine, CloseBody, Constant, JobLine, Teardown } from "../../types/wire.d.ts" */

/** @typedef {Folded & { entries: Entry[] }} Found A job of this device, folded. */
/** @typedef {Omit<JobLine, "seq" | "number"> & { number: number | null, began_from: string | null,
 *   taught: boolean }} Visit */
/** @typedef {Omit<Teardown, "owner" | "car" | "car_key">} Row As found, after a teardown, or at a recheck. */
/** @typedef {{ car_key: string, car: string, owner: string, visits: Visit[], visit_count: number, teardowns: Row[],
 *   constants: Constant[], again: Again }} CarFound */

/** A car in a list. @typedef {Pick<CarLine, "car_key" | "car" | "owner" | "visits" | "last_at">} Line */

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
  // A later visit says more, or says it better; what it is silent about still holds.
  const car = sheets.reduceRight((card, sheet) => merged(card, lastingOf(sheet.car)), {});
  const last = sheets.find((sheet) => taughtBy(sheet));
  // With another bar since, the old one's rate says nothing of it.
  const fits = last && JSON.stringify(lastingOf(last.car).bar) === JSON.stringify(/** @type {any} */ (car).bar);
  return {
    job: keptAbout({ title: "", about: latest.about }),
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
 * The car of that key as this device knows it; null where no job is of it.
 * @param {(Found | null)[]} all
 * @param {string} key
 * @param {string} [without] a job that is left out
 * @returns {CarFound | null}
 */
export function carHere(all, key, without) {
  const mine = all
    .filter((found) => found !== null)
    .filter(({ sheet }) => carKey(sheet) === key && sheet.job !== without);
  if (!mine.length) return null;
  const visits = mine
    .map((found) => ({
      ...rowOf(found),
      began_from: found.sheet.known?.job ?? null,
      taught: Boolean(taughtBy(found.sheet)),
    }))
    .sort((a, b) => ((a.first_at ?? "") < (b.first_at ?? "") ? 1 : -1));
  const byJob = new Map(mine.map((found) => [found.sheet.job, found]));
  const [{ car, owner }] = visits;
  return {
    car_key: key,
    car,
    owner,
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
 * The cars on this device in which every word stands, the one worked on last first.
 * @param {(Found | null)[]} all
 * @param {string} words
 * @param {string} [without] a job that is left out
 * @returns {Line[]}
 */
export function carsHere(all, words, without) {
  /** @type {Map<string, Line>} */
  const found = new Map();
  const rows = all.filter((each) => each !== null).filter(({ sheet }) => sheet.job !== without && carKey(sheet));
  for (const each of rows) {
    const row = rowOf(each);
    if (!tells(words, row)) continue;
    const { car_key: key, car, owner, last_at: at } = row;
    const before = found.get(key);
    const newer = !before || (at ?? "") > before.last_at;
    const said = newer ? { car, owner, last_at: at ?? "" } : before;
    found.set(key, { ...said, car_key: key, visits: (before?.visits ?? 0) + 1 });
  }
  return [...found.values()].sort((a, b) => (a.last_at < b.last_at ? 1 : -1));
}
