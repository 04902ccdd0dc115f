/* What a new job for a car takes along from a trial of other bars. */

import { short } from "../numbers.js";
import { heightsAs } from "../wish.js";

/** @import { Body, Item } from "../../types/log.d.ts" */
/** @import { Column, TargetBody } from "../../types/wire.d.ts" */
/** @import { JobContext } from "../../types/context.d.ts" */

/**
 * The wish with other bars: the heights it came to on this car, since a rise counts from how the car will be found;
 * with its own tolerances. One of angles stays as it is.
 * @param {TargetBody} target
 * @param {{ left_mm: number | null, right_mm: number | null }} heights
 * @returns {Body}
 */
function newWish(target, { left_mm, right_mm }) {
  if (left_mm === null || right_mm === null) return target;
  const { tolerance_mm: off = null, lean_mm: lean = null } = target;
  return {
    ...heightsAs(target, { left_mm, right_mm }),
    ...(off === null ? {} : { tolerance_mm: off }),
    ...(lean === null ? {} : { lean_mm: lean }),
  };
}

/**
 * The entries of a new job for this car with the bars of a column: what holds with other bars too, and what was
 * learned. Travel and half axle were found with the old ones.
 * @param {JobContext} ctx
 * @param {Column} column
 * @returns {Item[]}
 */
export function newJob(ctx, column) {
  const { sheet } = ctx;
  const { known: _, half_axle_deg: __, limits, ...car } = ctx.request.request.car ?? {};
  const { bump_mm: ___, droop_mm: ____, permissible_stress_mpa: old, ...rest } = limits ?? {};
  const other = column.permissible_given && column.permissible_stress_mpa !== old;
  const kept = other ? { ...rest, permissible_stress_mpa: column.permissible_stress_mpa } : rest;
  const diameter = column.bar.diameter_mm ?? null;
  const { car: name, owner, car_id: id } = sheet.about ?? {};
  const about = Object.fromEntries(
    Object.entries({ title: sheet.title, car: name, owner, car_id: id }).filter(([, text]) => text),
  );
  return [
    ["job", { ...about, wish: diameter === null ? "Other bars" : `Other bars, ${short(diameter)} mm` }],
    ["car", { ...car, bar: { ...car.bar, ...column.bar }, limits: kept }],
    ["target", newWish(ctx.request.request.target, column.target)],
    ["known", { use: true, job: ctx.job, posterior: column.posterior }],
  ];
}
