/* Where a plan comes from, or a trial of other bars and loads: what this phone found as it checked the last reading, else
   the server when it answers at once, else this phone's own copy of the model.

   Owns the choice and the time limits. The two cannot differ, so whichever is done first is taken. A problem that either
   names (a field out of range) is a real answer and is passed on; silence, a dead network or a broken server leave the
   question to the phone, and a phone that cannot leaves it to the server. */

import { already, checked } from "../model/check.js";
import { once } from "../model/once.js";
import { SolverProblem, whatIf } from "../model/solver.js";
import { Trouble, request } from "./client.js";

const PATIENCE_MS = 6000;
/** A shop's server on its own network answers well within this; from then on the phone works on it too. */
const HEAD_START_MS = 400;

/** One question to the server; null when it did not answer as a server of ours would. */
async function fromServer(path, question) {
  try {
    const { status, body } = await request("POST", path, { body: question, patience_ms: PATIENCE_MS });
    if (status === 200) return body;
    if (body.code) throw new SolverProblem(problemOf(body));
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    if (error.problem && error.status < 500) throw new SolverProblem(problemOf(error.problem));
  }
  return null;
}

/** The parts of a problem document that the screens use. */
function problemOf(body) {
  return { code: body.code, path: body.path ?? "$", detail: body.detail ?? body.title ?? "the request was refused" };
}

const after = (ms) => new Promise((done) => setTimeout(done, ms));

/** Ask the server, and the phone too when it does not answer at once: {answer, where}. */
async function either(path, request, onPhone) {
  const asked = fromServer(path, request);
  const early = await Promise.race([asked, after(HEAD_START_MS)]);
  if (early) return { answer: early, where: "server" };
  const phone = onPhone().then((answer) => ({ answer, where: "phone" }));
  const server = asked.then((answer) => (answer ? { answer, where: "server" } : phone));
  try {
    return await Promise.any([phone, server]);
  } catch ({ errors }) {
    throw errors[0];
  }
}

const plans = once((request) => either("/api/solve", request, () => checked(request)));

/** A plan that is here already, {answer, where}, else null. */
export function planAtHand(request) {
  const answer = already(request);
  return plans.already(request) ?? (answer && { answer, where: "phone" });
}

/**
 * Ask for a plan; the same one is not asked twice unless it failed. Resolves to {answer, where: "server" | "phone"}.
 * Rejects with a SolverProblem: code, path, detail.
 */
export const askForPlan = async (request) => planAtHand(request) ?? plans.ask(request);

/** Ask for a trial on the car of a request, in the same way. */
export const askWhatIf = (request, change) =>
  either("/api/what-if", { ...request, change }, () => whatIf(request, change));
