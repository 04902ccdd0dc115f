/* What a new job for a car takes along from a trial of other bars. */

import { short } from "../numbers.js";
import { keptAbout, keptCar, keptTarget } from "../next-job.js";

/** @import { Item } from "../../types/log.d.ts" */
/** @import { JobContext } from "../../types/context.d.ts" */

/**
 * The entries of a new job for this car with the bars of a column: what holds with other bars too, and what was
 * learned.
 * @param {JobContext} ctx
 * @param {any} column
 * @returns {Item[]}
 */
export function newJob(ctx, column) {
  const { sheet } = ctx;
  const request = ctx.request.request;
  const old = request.car?.limits?.permissible_stress_mpa;
  const { limits, ...car } = keptCar(request.car ?? {});
  const { permissible_stress_mpa: _, ...kept } = limits;
  if (column.permissible_given && column.permissible_stress_mpa !== old)
    kept.permissible_stress_mpa = column.permissible_stress_mpa;
  return [
    ["job", { ...keptAbout(sheet), wish: `Other bars, ${short(column.bar.diameter_mm)} mm` }],
    ["car", { ...car, bar: { ...car.bar, ...column.bar }, limits: kept }],
    ["target", keptTarget(request.target, column.target)],
    ["known", { use: true, job: ctx.job, posterior: column.posterior }],
  ];
}
