/* What a screen is given of log, device, shop and model, in groups: the only way from a screen to storage or network.

   What the list of jobs stands without comes later: `need("rest")` resolves once it is here, as it is for every other
   screen from the start; `need("files", "pc")` for what the first plan does not need. */

import { cameIn, carriesJob, letGo } from "../book/fragment.js";
import { access, askToKeep, deviceId, setAccess, setWriterName, writerName } from "../book/device.js";
import { FEW, firstShelves } from "../book/early.js";
import { newId, stamp } from "../book/ids.js";
import { install, installState, watchInstall } from "../book/install.js";
import { keepStart } from "../book/last-start.js";
import { setLengths } from "../book/lengths.js";
import { shelves } from "../book/shelf.js";
import { look, lookAll, peek } from "../book/snapshot.js";
import { listen } from "../book/tabs.js";
import { lookForUpdate, watchApp } from "../book/update.js";
import { COPY } from "../model/place.js";

/**
 * A function of a module that the first cards stand without: fetched with what comes after them, or when it is called.
 * @template {any[]} G
 * @template R
 * @param {() => Promise<(...given: G) => Promise<R>>} from
 * @returns {(...given: G) => Promise<R>}
 */
const fetched =
  (from) =>
  async (...given) =>
    (await from())(...given);
const book = () => import("../book/log.js");
const sent = () => import("../book/outbox.js");

/**
 * The phone's log: jobs, their folded sheets, what of them has reached the shop. Writing to a job shown goes by
 * `save`.
 */
const log = {
  append: fetched(async () => (await book()).append),
  begin: fetched(async () => (await book()).begin),
  counts: fetched(async () => (await sent()).counts),
  disputed: fetched(async () => (await book()).disputed),
  entries: fetched(async () => (await book()).entries),
  few: FEW,
  firstShelves,
  fold: fetched(async () => (await import("../book/fold.js")).fold),
  jobs: fetched(async () => (await book()).jobs),
  keepStart,
  like: async (/** @type {string[]} */ words) => (await import("../book/all.js")).like(words),
  listen,
  look,
  lookAll,
  merge: fetched(async () => (await book()).merge),
  newId,
  peek,
  refused: fetched(async () => (await sent()).refused),
  refresh: async (/** @type {JobRow[]} */ rows) => (await import("../book/remake.js")).refresh(rows),
  remake: async () => (await import("../book/remake.js")).remake(),
  shelves,
  stamp,
  tryAgain: fetched(async () => (await sent()).tryAgain),
  waitingSince: fetched(async () => (await sent()).waitingSince),
};

/** What the address of the page carried. */
const address = { cameIn, carriesJob, letGo };

/**
 * This browser: its key at the shop, whether it keeps things, the app to install, the unit of lengths; whether its page
 * is a public copy of the app, with no shop behind it.
 */
const device = {
  access,
  askToKeep,
  copy: COPY !== null,
  deviceId,
  install,
  installState,
  lookForUpdate,
  setAccess,
  setLengths,
  setWriterName,
  watchApp,
  watchInstall,
  writerName,
};

/** @import { JobRow } from "../types/log.d.ts" */
/** @import { files } from "./files.js" */
/** @import { photos } from "./photos.js" */
/** @import { pc } from "./pc.js" */
/** @import { rest } from "./rest.js" */

/** The groups that come later, once they are here. */
/** @type {{ files?: typeof files, pc?: typeof pc, photos?: typeof photos, rest?: typeof rest }} */
const later = {};

/** The groups that are here. */
export const groups = { address, device, log, ...later };

const LATER = {
  files: async () => {
    groups.files ??= (await import("./files.js")).files;
  },
  pc: async () => {
    groups.pc ??= (await import("./pc.js")).pc;
  },
  photos: async () => {
    groups.photos ??= (await import("./photos.js")).photos;
  },
  rest: async () => {
    groups.rest ??= (await import("./rest.js")).rest;
  },
};

/**
 * Fetch groups that are not here yet.
 * @param {...keyof typeof LATER} names
 */
export async function need(...names) {
  await Promise.all(names.map((name) => LATER[name]()));
}
