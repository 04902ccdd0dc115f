/* The groups that the list of jobs stands without, and every other screen needs: what is typed, the shop, the model. */

import { draft, drop, keep } from "../book/drafts.js";
import { arrivedByJob, arrivedIn, noteLooked } from "../book/looked.js";
import { itemsOf } from "../book/request.js";
import { numberHere } from "../book/numbers.js";
import { helpPage, simulated } from "../book/told.js";
import { already, checked, checkedWithin } from "../model/check.js";
import { replan, sheets, solve, warmBench } from "../model/solver.js";
import { demos } from "../shop/demo.js";
import { syncNow, watchSync } from "../shop/pace.js";
import { pair } from "../shop/pairing.js";
import { askForPlan, askWhatIf, planAtHand } from "../shop/plan.js";
import { inUnits } from "../work/units.js";

/** @import { Change, SolveRequest } from "../types/wire.d.ts" */

/** What is typed and not entered yet. */
const drafts = { draft, drop, keep };

/** The shop's server, as far as a phone needs it: what it last said of itself, its demo jobs, pairing, sync. */
const shop = {
  demos,
  fetchJob: async (/** @type {string} */ job) => (await import("../shop/fetch.js")).fetchJob(job),
  findAtShop: async (/** @type {string} */ words) => (await import("../shop/fetch.js")).findAtShop(words),
  fetchRest: async () => (await import("../shop/fetch-rest.js")).fetchRest(),
  helpPage,
  holding: async (/** @type {{ ask?: boolean }} */ how = {}) => (await import("../shop/fetch-rest.js")).holding(how),
  itemsOf,
  numberHere,
  pair,
  simulated,
  syncNow,
  watchSync,
};

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

/** What came since a job was last looked at on this device. */
const news = { arrivedByJob, arrivedIn, noteLooked };

/** All of them. */
export const rest = { drafts, model, news, shop };
