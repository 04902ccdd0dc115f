/* Whether the log still agrees with itself, asked of the model on this phone. No network; never in the way of entering:
   who asks says how long to wait. */

import { solve } from "./solver.js";

const NONE = { text: "", answer: null, come: null };
let last = NONE;

/** The answer to a request, worked out on this phone; the same request is not asked twice. Rejects with a SolverProblem. */
export function checked(request) {
  const text = JSON.stringify(request);
  if (last.text !== text) {
    const asked = { text, answer: solve(request), come: null };
    last = asked;
    asked.answer.then((answer) => (asked.come = answer), () => last === asked && (last = NONE));
  }
  return last.answer;
}

/** The answer to a request where this phone has it already, else null. */
export const already = (request) => (last.come && last.text === JSON.stringify(request) ? last.come : null);

/** The same, or null when it could not be told in that time. */
export const checkedWithin = (request, patience_ms) =>
  Promise.race([checked(request).catch(() => null), new Promise((resolve) => setTimeout(resolve, patience_ms, null))]);
