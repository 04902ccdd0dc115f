/* What a screen is given of log, device, shop and model, in groups: the only way from a screen to storage or network.

   What the first plan does not need comes later: `need("files", "pc")` resolves once those groups are here. */

import { append, disputed, jobs, merge } from "../book/log.js";
import { cameIn, carriesJob, letGo } from "../book/fragment.js";
import { access, askToKeep, deviceId, setAccess } from "../book/device.js";
import { draft, drop, keep } from "../book/drafts.js";
import { fold } from "../book/fold.js";
import { newId, stamp } from "../book/ids.js";
import { install, installState, watchInstall } from "../book/install.js";
import { setLengths } from "../book/lengths.js";
import { counts, countsByJob, inWords, refused, tryAgain, waitingSince } from "../book/outbox.js";
import { itemsOf } from "../book/request.js";
import { schemaOf } from "../book/schema.js";
import { look, lookAll, peek } from "../book/snapshot.js";
import { listen } from "../book/tabs.js";
import { helpPage, simulated } from "../book/told.js";
import { lookForUpdate, watchApp } from "../book/update.js";
import { already, checked, checkedWithin } from "../model/check.js";
import { replan, sheets, solve, warmBench } from "../model/solver.js";
import { demos } from "../shop/demo.js";
import { syncNow, watchSync } from "../shop/pace.js";
import { pair } from "../shop/pairing.js";
import { askForPlan, askWhatIf, planAtHand } from "../shop/plan.js";
import { inUnits } from "../work/units.js";

/**
 * The phone's log: jobs, their folded sheets, what of them has reached the shop. Writing to a job shown goes by
 * `save`.
 */
const log = {
  append,
  counts,
  countsByJob,
  disputed,
  fold,
  inWords,
  itemsOf,
  jobs,
  listen,
  look,
  lookAll,
  merge,
  newId,
  peek,
  refused,
  schemaOf,
  stamp,
  tryAgain,
  waitingSince,
};

/** What is typed and not entered yet. */
const drafts = { draft, drop, keep };

/** What the address of the page carried. */
const address = { cameIn, carriesJob, letGo };

/** This browser: its key at the shop, whether it keeps things, the app to install, the unit of lengths. */
const device = {
  access,
  askToKeep,
  deviceId,
  helpPage,
  install,
  installState,
  lookForUpdate,
  setAccess,
  setLengths,
  simulated,
  watchApp,
  watchInstall,
};

/** The shop's server, as far as a phone needs it. */
const shop = { demos, pair, syncNow, watchSync };

/** @import { Change, SolveRequest } from "../types/wire.d.ts" */

/**
 * A question to the model whose answer has its sentences in the unit chosen.
 * @template A
 * @param {(request: SolveRequest) => A} question
 */
const worded = (question) => (/** @type {SolveRequest} */ request) => question(inUnits(request));

/** The model, wherever it answers. */
const model = {
  already: worded(already),
  askForPlan: worded(askForPlan),
  askWhatIf: (/** @type {SolveRequest} */ request, /** @type {Change} */ change) => askWhatIf(inUnits(request), change),
  checked: worded(checked),
  checkedWithin: (/** @type {SolveRequest} */ request, /** @type {number} */ patience_ms) =>
    checkedWithin(inUnits(request), patience_ms),
  planAtHand: worded(planAtHand),
  replan,
  sheets,
  solve: worded(solve),
  warmBench,
};

/** @import { files } from "./files.js" */
/** @import { pc } from "./pc.js" */

/** The groups that come later, once they are here. */
/** @type {{ files?: typeof files, pc?: typeof pc }} */
const later = {};

/** The groups that are here. */
export const groups = { address, device, drafts, log, model, shop, ...later };

const LATER = {
  files: async () => {
    groups.files ??= (await import("./files.js")).files;
  },
  pc: async () => {
    groups.pc ??= (await import("./pc.js")).pc;
  },
};

/**
 * Fetch groups that are not here yet.
 * @param {...keyof typeof LATER} names
 */
export async function need(...names) {
  await Promise.all(names.map((name) => LATER[name]()));
}
