/* What a new job for a car takes along from a trial of other bars. */

import { short } from "../numbers.js";
import { heightsAs } from "../wish.js";

/** The wish with other bars: the heights it came to on this car, since a rise counts from how the car will be found; with its own
    tolerances. One of angles stays as it is. */
function newWish(target, { left_mm, right_mm }) {
  if (left_mm === null || right_mm === null) return target;
  const { tolerance_mm: off, lean_mm: lean } = target;
  return {
    ...heightsAs(target, { left_mm, right_mm }),
    ...(off == null ? {} : { tolerance_mm: off }),
    ...(lean == null ? {} : { lean_mm: lean }),
  };
}

/** The entries of a new job for this car with the bars of a column: what holds with other bars too, and what was learned.
    Travel and half axle were found with the old ones. */
export function newJob(ctx, column) {
  const { sheet } = ctx;
  const { known, half_axle_deg: found, limits = {}, ...car } = ctx.request.request.car;
  const { bump_mm: bump, droop_mm: droop, permissible_stress_mpa: old, ...kept } = limits;
  if (column.permissible_given && column.permissible_stress_mpa !== old)
    kept.permissible_stress_mpa = column.permissible_stress_mpa;
  const { car: name, owner, car_id: id } = sheet.about ?? {};
  const about = Object.fromEntries(
    Object.entries({ title: sheet.title, car: name, owner, car_id: id }).filter(([, text]) => text),
  );
  return [
    ["job", { ...about, wish: `Other bars, ${short(column.bar.diameter_mm)} mm` }],
    ["car", { ...car, bar: { ...car.bar, ...column.bar }, limits: kept }],
    ["target", newWish(ctx.request.request.target, column.target)],
    ["known", { use: true, job: ctx.job, posterior: column.posterior }],
  ];
}
