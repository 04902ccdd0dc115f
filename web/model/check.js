/* Whether the log still agrees with itself, asked of the model on this phone. No network; never in the way of entering:
   who asks says how long to wait. */

import { once } from "./once.js";
import { solve } from "./solver.js";

const phone = once(solve);

/** The answer to a request, worked out on this phone; the same request is not asked twice. Rejects with a SolverProblem. */
export const checked = phone.ask;

/** The answer to a request where this phone has it already, else null. */
export const { already } = phone;

/** The same, or null when it could not be told in that time. */
export const checkedWithin = (request, patience_ms) =>
  Promise.race([checked(request).catch(() => null), new Promise((resolve) => setTimeout(resolve, patience_ms, null))]);
