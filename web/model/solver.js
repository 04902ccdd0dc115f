/* Promises for the worker: solve, replan, whatIf, sheets, cars, warm, warmBench. Owns request ids, the worker's life
   and death.

   A rejected promise carries a SolverProblem with code, path and detail, whoever raised it: the model, the bridge, or
   the browser when the worker died. A dead worker is replaced at the next question. */

import { scriptAddress } from "./place.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */
/** @import { Change, SolveAnswer, SolveRequest, Target, WhatIfAnswer } from "../types/wire.d.ts" */

/** @typedef {{ code: string, path?: string, detail: string }} Told What went wrong, as it crosses from the worker. */

/** What went wrong: `code` for programs, `path` of the field ("$" for the whole), `detail` for people. */
export class SolverProblem extends Error {
  /** @param {Told} told */
  constructor({ code, path = "$", detail }) {
    super(detail);
    this.name = "SolverProblem";
    this.code = code;
    this.path = path;
    this.detail = detail;
  }
}

/** @type {Worker | null} */
let worker = null;
let last = 0;
/** @type {Map<number, { resolve: (answer: any) => void, reject: (problem: SolverProblem) => void }>} */
const waiting = new Map();

/**
 * Fail everything that waits and forget the worker, so that the next question starts a new one.
 * @param {string} detail
 */
function stopFor(detail) {
  worker?.terminate();
  worker = null;
  const problem = new SolverProblem({ code: "worker-crashed", detail });
  for (const { reject } of waiting.values()) reject(problem);
  waiting.clear();
}

function start() {
  const started = new Worker(scriptAddress("model/worker.js"), {
    type: "module",
    name: "model",
  });
  started.addEventListener("message", ({ data }) => {
    const asked = waiting.get(data.id);
    if (!asked) return;
    waiting.delete(data.id);
    if (data.problem) asked.reject(new SolverProblem(data.problem));
    else asked.resolve(data.answer);
  });
  started.addEventListener("error", (event) => {
    event.preventDefault();
    stopFor(`the model on this device stopped: ${event.message || "its program could not be loaded"}`);
  });
  started.addEventListener("messageerror", () => stopFor("the model on this device sent something unreadable"));
  return started;
}

/**
 * @param {string} what
 * @param {unknown} [payload]
 * @returns {Promise<any>}
 */
function ask(what, payload) {
  const asked = (worker ??= start());
  const id = ++last;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    asked.postMessage({ id, ask: what, payload });
  });
}

/** Load interpreter and model now, so that a plan needs no network later. Resolves to true. */
export const warm = () => ask("warm");

/** Fetch what a trial of other bars needs besides, so that it needs no network later. Resolves to true. */
export const warmBench = () => ask("bench");

/**
 * Solve a whole request on this phone.
 * @param {SolveRequest} request
 * @returns {Promise<SolveAnswer>}
 */
export const solve = (request) => ask("solve", request);

/**
 * Plan again for another target from the fit of the last solved request; `advice` false skips what to measure.
 * @param {Target} target
 * @param {{ advice?: boolean }} [how]
 * @returns {Promise<SolveAnswer>}
 */
export const replan = (target, { advice = true } = {}) => ask("replan", { target, advice });

/**
 * Try a change on the car of a request; the fitted car is kept for the next change.
 * @param {SolveRequest} request
 * @param {Change} change
 * @returns {Promise<WhatIfAnswer>}
 */
export const whatIf = (request, change) => ask("what_if", { request, change });

/**
 * What lists of entries come to, one each.
 * @param {{ job: string, entries: Entry[] }[]} jobs
 * @returns {Promise<Folded[]>}
 */
export const sheets = (jobs) => ask("sheets", jobs);

/**
 * Whose visits some jobs are, one each; what a job says of that as book/sheet/identity.py takes it.
 * @param {import("../work/car-said.js").Told[]} jobs
 * @returns {Promise<import("../work/car-said.js").Which[]>}
 */
export const cars = (jobs) => ask("cars", jobs);

/** Stop the worker; whoever waits gets worker-crashed. */
export const stop = () => stopFor("the model on this device was stopped");
