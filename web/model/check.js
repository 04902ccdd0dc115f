/* Whether the log still agrees with itself, asked of the model on this phone. No network; never in the way of entering:
   who asks says how long to wait. */

import { once } from "./once.js";
import { solve } from "./solver.js";

/** @import { SolveAnswer, SolveRequest } from "../types/wire.d.ts" */

const phone = once(solve);

/**
 * The answer to a request, worked out on this phone; the same request is not asked twice. Rejects with a SolverProblem.
 */
export const checked = phone.ask;

/** The answer to a request where this phone has it already, else null. */
export const { already } = phone;

/**
 * The same, or null when it could not be told in that time.
 * @param {SolveRequest} request
 * @param {number} patience_ms
 * @returns {Promise<SolveAnswer | null>}
 */
export const checkedWithin = (request, patience_ms) =>
  Promise.race([checked(request).catch(() => null), after(patience_ms)]);

/**
 * Nothing, after a while.
 * @param {number} ms
 * @returns {Promise<null>}
 */
const after = (ms) => new Promise((resolve) => setTimeout(() => resolve(null), ms));
