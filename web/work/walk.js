/* The teardown of a job's other axle, step by step: its plan, what the model is asked and answers seen from there,
   whether it is under way. Its steps are those of the job's own axle (teardown-steps.js), on the sheet turned over.
   Pure: a sheet, a request or an answer in, the same out.

   Ticks are in the log, named by their axle, which an older app passes over. The plan is none of the log's, since
   every plan there is one of the job's own axle: the device keeps it with what is typed. */

import { sprungOf, turnsNothing } from "./adjuster.js";
import { planFor, promised } from "./promise.js";
import { hasBegun, underWay, underWayThere, walkThere } from "./teardown-steps.js";
import { seenThere } from "./there.js";
import { otherAxle } from "./weighing.js";
import { markOf } from "./wish.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Plan, Sheet } from "../types/sheet.d.ts" */
/** @import { SolveAnswer, SolveRequest } from "../types/wire.d.ts" */

/** Which draft of a job the plan of its other axle is. @param {Sheet["car"]} car */
export const planOf = (car) => `${otherAxle(car)}/plan`;

/** The teardown of the job's own axle that was begun and is not done; null where none is. @param {Sheet} sheet */
export function begunHere(sheet) {
  const number = underWay(sheet);
  const plan = number ? planFor(sheet, number) : null;
  return plan && hasBegun(sheet, plan) ? number : null;
}

/**
 * The teardown of the other axle that was begun and is not done; null where none is.
 * @param {Sheet} sheet
 * @param {Plan | null} plan as this device keeps it; without one the ticks alone tell
 */
export function begunThere(sheet, plan) {
  const number = plan ? begunHere(seenThere(sheet, plan)) : null;
  return number ?? underWayThere(sheet);
}

/** That axle's plan as this device keeps it; null where it has none. @param {JobContext} ctx @returns {Plan | null} */
const planThere = (ctx) => ctx.drafts.draft(ctx.job, planOf(ctx.sheet.car)) ?? null;

/**
 * The teardown under way at the axle that a screen is not of; null where none is. Plan, steps, Log and hand-over all
 * ask this.
 * @param {JobContext} ctx
 * @returns {number | null}
 */
export const begunElsewhere = (ctx) =>
  ctx.there ? (ctx.begunElsewhere ?? null) : begunThere(ctx.sheet, planThere(ctx));

/** Number and name of the teardown under way at the job's other axle; null where none is. @param {JobContext} ctx */
export const walkOf = (ctx) => walkThere(ctx.sheet, begunElsewhere(ctx), planThere(ctx));

/**
 * An answer to a request of both axles, as if the job were of the other one.
 * @param {SolveAnswer} answer with `both`
 * @returns {SolveAnswer}
 */
export function answerThere(answer) {
  const { options, target, headline, withheld, now, step_deg, assumed, measure_next } =
    /** @type {NonNullable<SolveAnswer["both"]>} */ (answer.both);
  return { ...answer, options, target, headline, withheld, now, step_deg, assumed, measure_next, both: null };
}

/**
 * A request of both axles, as if the job were of the other one: what it says, and rows that name no axle, are of that
 * one.
 * @param {SolveRequest} request
 * @returns {SolveRequest}
 */
export function requestThere(request) {
  const { other, ...own } = /** @type {any} */ (request.car);
  const axle = sprungOf(own);
  return /** @type {any} */ ({
    ...request,
    car: { ...other, sprung: otherAxle(own), other: own },
    target: /** @type {any} */ (request.target).other ?? request.target,
    log: (request.log ?? []).map((row) => ({ ...row, axle: row.axle ?? axle })),
  });
}

/**
 * What was made of such a request, as it is asked: the job's own, with the ends that are held there and the log.
 * @param {SolveRequest} asked
 * @param {SolveRequest} request the job's own
 * @returns {SolveRequest}
 */
export function requestHere(asked, request) {
  const { held, sprung } = /** @type {any} */ (asked.car);
  const other = { .../** @type {any} */ (request.car).other, ...(held ? { held } : {}) };
  return /** @type {any} */ ({
    ...request,
    car: { ...request.car, other },
    log: (asked.log ?? []).map((row) => ({ ...row, axle: row.axle ?? sprung })),
  });
}

/**
 * The plan that a teardown of the other axle is begun by: the best way there; the heights are those that it stands at
 * until the job's own axle is set too.
 * @param {SolveAnswer} answer
 * @param {Sheet} sheet
 * @returns {Plan}
 */
export function promisedThere(answer, sheet) {
  const there = answerThere(answer);
  const both = /** @type {NonNullable<SolveAnswer["both"]>} */ (answer.both);
  const target = /** @type {any} */ (sheet.target).other;
  const body = promised({ option: there.options[0], answer: there, target, teardown: sheet.teardowns + 1 });
  const stands = both.meanwhile[both.axle];
  if (!stands || both.first !== both.axle || turnsNothing(answer.options[0]) || markOf(body.target) !== "body-height")
    return body;
  const side = (/** @type {"left" | "right"} */ name) => ({ ...body[name], body_height_mm: stands[name] });
  return { ...body, left: side("left"), right: side("right"), lean_mm: stands.lean_mm };
}
