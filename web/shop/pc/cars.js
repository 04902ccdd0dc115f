/* Cars that have been here, wherever they are known: at the shop, else on this device's own log. */

import { jobs } from "../../book/log.js";
import { look, lookAll, peek } from "../../book/snapshot.js";
import { cars } from "../../model/solver.js";
import { toldOf } from "../../work/car-said.js";
import { alikeHere, carHere, carsHere } from "../../work/pc/car-local.js";
import { pathOf } from "../../work/pc/path-of.js";
import { askShop } from "./asks.js";

/** @import { Alike, CarFound, Found, Line } from "../../work/pc/car-local.js" */
/** @import { Answered, Lack } from "./asks.js" */

/** Cars that one answer has. */
const MOST = 20;

/**
 * The jobs of this device, folded, each with whose visit it is.
 * @returns {Promise<Found[]>}
 */
async function here() {
  const all = await jobs();
  await lookAll(all, () => {});
  // One that has grown meanwhile is looked at again.
  const found = await Promise.all(all.map((job) => peek(job) ?? look(job)));
  const which = await cars(found.map(({ sheet }) => toldOf(sheet)));
  return found.map((one, i) => ({ ...one, which: which[i] }));
}

/** The key of a job's car; "" where this device has no such job. @param {Found[]} all @param {string} job */
const keyOf = (all, job) => all.find(({ sheet }) => sheet.job === job)?.which.key ?? "";

/**
 * Cars in which every word stands, the one worked on last first, as the shop has them and this device: `lack` why only
 * this device told, `unread` how many jobs the shop has still to read.
 * @param {string} words
 * @param {{ without?: string }} [how] a job that is left out
 * @returns {Promise<{ lines: Line[], lack: Lack | null, unread: number }>}
 */
export async function carsLike(words, { without = "" } = {}) {
  const [{ body, lack }, own] = await Promise.all([
    askShop(pathOf("/api/cars", { query: words, without, limit: MOST })),
    here(),
  ]);
  /** @type {Map<string, Line>} */
  const all = new Map((body?.cars ?? []).map((/** @type {Line} */ line) => [line.car_key, line]));
  for (const line of carsHere(own, words, without)) if (!all.has(line.car_key)) all.set(line.car_key, line);
  const lines = [...all.values()].sort((a, b) => (a.last_at < b.last_at ? 1 : -1));
  return { lines, lack, unread: body?.unread ?? 0 };
}

/**
 * Pairs of cars that may be one, as the shop has them, else this device.
 * @returns {Promise<Alike[]>}
 */
export async function carsAlike() {
  const { body } = await askShop("/api/cars/alike");
  return body ? body.pairs : alikeHere(await here(), MOST);
}

/**
 * One car over all its visits; `local` where only this device told of it.
 * @param {string} key
 * @param {{ without?: string, job?: string }} [how] a job that is left out; where no car has the key, the car of `job`
 * @returns {Promise<Omit<Answered, "body"> & { found: CarFound | null, local: boolean }>}
 */
export async function carAt(key, { without = "", job = "" } = {}) {
  const { body, problem, lack } = await askShop(pathOf("/api/cars/page", { key, without, job }));
  if (body) return { found: body, problem, lack, local: false };
  const found = await here().then(
    (all) => carHere(all, key, without) ?? carHere(all, keyOf(all, job), without),
    () => null,
  );
  return { found, problem, lack, local: true };
}
