/* Where a plan comes from, or a trial of other bars and loads: what this phone found as it checked the last reading,
   else the server when it answers at once, else this phone's own copy of the model.

   Owns the choice and the time limits. The two cannot differ, so whichever is done first is taken. A problem that
   either names (a field out of range) is a real answer and is passed on; silence, a dead network or a broken server
   leave the question to the phone, and a phone that cannot leaves it to the server. */

import { already, checked } from "../model/check.js";
import { once } from "../model/once.js";
import { SolverProblem, whatIf } from "../model/solver.js";
import { Trouble, request } from "./client.js";

const PATIENCE_MS = 6000;
/** A shop's server on its own network answers well within this; from then on the phone works on it too. */
const HEAD_START_MS = 400;

/** @import { Change, Problem, SolveAnswer, SolveRequest, WhatIfAnswer } from "../types/wire.d.ts" */

/**
 * @template A
 * @typedef {{ answer: A, where: "server" | "phone" }} From An answer, and where it was worked out.
 */

/**
 * One question to the server; null when it did not answer as a server of ours would.
 * @param {string} path
 * @param {unknown} question
 * @returns {Promise<any>}
 */
async function fromServer(path, question) {
  try {
    const { status, body } = await request("POST", path, { body: question, patience_ms: PATIENCE_MS });
    if (status === 200) return body;
    if (body.code) throw new SolverProblem(problemOf(body));
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    if (error.problem && (error.status ?? 0) < 500) throw new SolverProblem(problemOf(error.problem));
  }
  return null;
}

/**
 * The parts of a problem document that the screens use.
 * @param {Partial<Problem> & { code: string }} body
 */
function problemOf(body) {
  return { code: body.code, path: body.path ?? "$", detail: body.detail ?? body.title ?? "the request was refused" };
}

/** @param {number} ms */
const after = (ms) => new Promise((done) => setTimeout(done, ms));

/**
 * Ask the server, and the phone too when it does not answer at once.
 * @template A
 * @param {string} path
 * @param {unknown} request
 * @param {() => Promise<A>} onPhone
 * @returns {Promise<From<A>>}
 */
async function either(path, request, onPhone) {
  const asked = fromServer(path, request);
  const early = await Promise.race([asked, after(HEAD_START_MS)]);
  if (early) return { answer: early, where: "server" };
  /** @type {Promise<From<A>>} */
  const phone = onPhone().then((answer) => ({ answer, where: "phone" }));
  /** @type {Promise<From<A>>} */
  const server = asked.then((answer) => (answer ? { answer, where: "server" } : phone));
  try {
    return await Promise.any([phone, server]);
  } catch (error) {
    throw error instanceof AggregateError ? error.errors[0] : error;
  }
}

const plans = once((/** @type {SolveRequest} */ request) => either("/api/solve", request, () => checked(request)));

/**
 * A plan that is here already, else null.
 * @param {SolveRequest} request
 * @returns {From<SolveAnswer> | null}
 */
export function planAtHand(request) {
  const answer = already(request);
  return plans.already(request) ?? (answer && { answer, where: "phone" });
}

/**
 * Ask for a plan; the same one is not asked twice unless it failed. Rejects with a SolverProblem: code, path, detail.
 * @param {SolveRequest} request
 */
export const askForPlan = async (request) => planAtHand(request) ?? plans.ask(request);

/**
 * Ask for a trial on the car of a request, in the same way.
 * @param {SolveRequest} request
 * @param {Change} change
 * @returns {Promise<From<WhatIfAnswer>>}
 */
export const askWhatIf = (request, change) =>
  either("/api/what-if", { ...request, change }, () => whatIf(request, change));
