/* A car's page from the jobs on this device alone, in the shape of the shop's answer (GET /api/cars/page). */

import { carKey, rowOf } from "./job-order.js";
import { stageRow } from "./stage-row.js";

/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Folded, Stage } from "../../types/sheet.d.ts" */
/** @import { Again, Constant, JobLine, Teardown } from "../../types/wire.d.ts" */

/** @typedef {Folded & { entries: Entry[] }} Found A job of this device, folded. */
/** @typedef {Omit<JobLine, "seq"> & { began_from: string | null, taught: boolean }} Visit */
/** @typedef {Omit<Teardown, "owner" | "car" | "car_key">} Row As found, after a teardown, or at a recheck. */
/** @typedef {{ car_key: string, car: string, owner: string, visits: Visit[], visit_count: number, teardowns: Row[],
 *   constants: Constant[], again: Again }} CarFound */

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
  const { bar, axle } = sheets.map(({ car }) => car).find((card) => card.bar) ?? latest.car;
  const taught = sheets.find(({ closed }) => closed?.posterior);
  return {
    job: {
      car: latest.car_name,
      owner: latest.owner,
      ...(latest.about.car_id ? { car_id: latest.about.car_id } : {}),
    },
    car: { ...(bar ? { bar } : {}), ...(axle ? { axle } : {}) },
    known: taught?.closed
      ? { use: true, job: taught.job, posterior: taught.closed.posterior, learned: taught.closed.learned }
      : null,
  };
}

/**
 * The car of that key as this device knows it; null where no job is of it.
 * @param {(Found | null)[]} all
 * @param {string} key
 * @returns {CarFound | null}
 */
export function carHere(all, key) {
  const mine = all.filter((found) => found !== null).filter(({ sheet }) => carKey(sheet) === key);
  if (!mine.length) return null;
  const visits = mine
    .map((found) => ({
      ...rowOf(found),
      began_from: found.sheet.known?.job ?? null,
      taught: Boolean(found.sheet.closed?.posterior),
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
