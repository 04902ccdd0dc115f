/* Rows of the jobs table, wherever they come from: the shop, page by page, or this device's own log.

   Owns searching, sorting and narrowing of what is on this device, by the same rules as GET /api/jobs, and the cache of
   the shop's pages. Draws nothing. A row is as the shop sends it, and also {here, only, waiting, refused}: whether the
   job is on this device, on this device alone, how many of its entries have not reached the shop or were refused, and
   how many are new since it was looked at here.
   */

import { deviceId } from "../../book/device.js";
import { entries, jobs } from "../../book/log.js";
import { arrivedByJob } from "../../book/looked.js";
import { countsByJob } from "../../book/all.js";
import { lookAll, peek } from "../../book/snapshot.js";
import { askShop } from "./asks.js";
import { cars } from "../../model/solver.js";
import { toldOf } from "../../work/car-said.js";
import { HIDDEN, STATES, compared, fits, isIn, rowOf } from "../../work/pc/job-order.js";
import { newsCount, newsOf } from "../../work/news.js";
import { pathOf } from "../../work/pc/path-of.js";

const PAGE = 100;

/** @import { Counts } from "../../types/log.d.ts" */
/** @import { State } from "../../types/sheet.d.ts" */
/** @import { Line } from "../../work/pc/job-order.js" */
/** @import { Lack } from "./asks.js" */

/** @typedef {Record<State | "hidden", number>} Standing How many jobs stand where, and how many are hidden. */
/** @typedef {Line & { here: boolean, only: boolean, waiting: number, refused: number, news: string }} Marked */
/**
 * @typedef {{ sort: string, order: string, query?: string, car?: string, owner?: string, state?: string, since?:
 *   string,
 *   until?: string }} Asked
 */
/**
 * @typedef {object} Found
 * @property {number} total
 * @property {number} only how many stand on this device alone; they come first
 * @property {Standing} states how many stand where, were the list not narrowed to one state
 * @property {number} unread how many jobs the shop has still to read
 * @property {Lack | null} lack why all rows are this device's
 * @property {(i: number) => Marked | null} at a row, or null where it has not come yet
 * @property {(from: number, to: number) => Promise<boolean>} need fetches rows; whether any came
 */

/**
 * @param {Line} row
 * @param {Map<string, Counts>} counts
 * @param {Map<string, string>} news
 * @returns {Marked}
 */
const marked = (row, counts, news) => {
  const found = counts.get(row.job);
  return {
    ...row,
    here: Boolean(found),
    only: found?.shop === 0,
    waiting: found?.waiting ?? 0,
    refused: found?.refused ?? 0,
    news: news.get(row.job) ?? "",
  };
};

/**
 * How many rows stand where, added to what is counted already.
 * @param {Marked[]} rows
 * @param {{ [state: string]: number }} [more]
 * @returns {Standing}
 */
const standing = (rows, more = {}) =>
  /** @type {Standing} */ (
    Object.fromEntries(
      [...STATES, HIDDEN].map((state) => [state, (more[state] ?? 0) + rows.filter((row) => isIn(row, state)).length]),
    )
  );

/**
 * Jobs of this device that fit but for where they stand, in order; only those the shop has nothing of, where `only`
 * says so.
 * @param {Asked} asked
 * @param {Map<string, Counts>} counts
 * @param {Map<string, string>} news
 * @param {boolean} only
 */
async function onDevice(asked, counts, news, only) {
  const all = (await jobs()).filter((job) => !only || counts.get(job)?.shop === 0);
  await lookAll(all, () => {});
  const found = all.map(peek).filter((one) => one !== null);
  const which = found.length ? await cars(found.map(({ sheet }) => toldOf(sheet))) : [];
  return found
    .map((one, i) => marked(rowOf(one, which[i]), counts, news))
    .filter((row) => fits(row, { ...asked, state: row.hidden ? HIDDEN : "" }))
    .sort((a, b) => compared(a, b, asked));
}

/** "2 new" of each job that has grown since its Log was looked at on this device. */
async function newsByJob() {
  const [arrived, mine] = await Promise.all([arrivedByJob(), deviceId()]);
  const found = await Promise.all(
    [...arrived].map(async ([job, ids]) => ({ job, news: newsOf(await entries(job), ids, mine) })),
  );
  return new Map(found.filter(({ news }) => news.length).map(({ job, news }) => [job, newsCount(news)]));
}

/**
 * What was asked for.
 * @param {Asked} asked
 * @returns {Promise<Found>}
 */
export async function find(asked) {
  const [counts, news] = await Promise.all([countsByJob(), newsByJob()]);
  const ask = (/** @type {number} */ skip, /** @type {number} */ limit) =>
    askShop(pathOf("/api/jobs", { ...asked, skip: skip || "", limit }));
  const there = (/** @type {Marked[]} */ all) => all.filter((row) => fits(row, asked));
  const [first, alone] = await Promise.all([ask(0, PAGE), onDevice(asked, counts, news, true)]);
  if (!first.body) {
    const all = await onDevice(asked, counts, news, false);
    const rows = there(all);
    const lack = first.lack ?? { code: "not-ours", text: first.problem?.detail ?? "The shop's server gave no answer." };
    return {
      total: rows.length,
      only: rows.filter((row) => row.only).length,
      unread: 0,
      states: standing(all),
      lack,
      at: (i) => rows[i] ?? null,
      need: async () => false,
    };
  }
  const mine = there(alone);
  /** @type {Map<number, Line[]>} */
  const pages = new Map([[0, first.body.jobs]]);
  /** @type {Map<number, Promise<boolean>>} */
  const coming = new Map();
  const load = async (/** @type {number} */ page) => {
    const { body } = await ask(page * PAGE, PAGE);
    coming.delete(page);
    if (body) pages.set(page, body.jobs);
    return Boolean(body);
  };
  return {
    total: mine.length + first.body.total,
    only: mine.length,
    unread: first.body.unread ?? 0,
    states: standing(alone, first.body.by_state),
    lack: null,
    at(i) {
      if (i < mine.length) return mine[i];
      const place = i - mine.length;
      const row = pages.get(Math.floor(place / PAGE))?.[place % PAGE];
      return row ? marked(row, counts, news) : null;
    },
    async need(from, to) {
      const wanted = [];
      for (let page = Math.max(0, Math.floor((from - mine.length) / PAGE)); page * PAGE < to - mine.length; page += 1) {
        if (pages.has(page)) continue;
        if (!coming.has(page)) coming.set(page, load(page));
        wanted.push(coming.get(page));
      }
      return (await Promise.all(wanted)).some(Boolean);
    },
  };
}
