/* The job as seen from its other axle: the same sheet with the axles changed over, so that whatever works on a job's
   own axle works on that one as it is; and what is entered there, as the log keeps it. Which axle a job is of stays
   its car's word. Pure: a sheet in, a sheet out; an item in, an item out. */

import { sprungOf } from "./adjuster.js";
import { needs, readRoute, series } from "./guide.js";
import { readingsOf, stands, unreadSide } from "./sheet.js";
import { ofBoth, otherAxle } from "./weighing.js";

/** @import { Body, Item } from "../types/log.d.ts" */
/** @import { Plan, Sheet, StepRow } from "../types/sheet.d.ts" */
/** @import { Route } from "./guide.js" */

/** Forms of a target that a plan of both axles has. */
const TOGETHER = ["heights", "rise", "level"];
/** Screens of a job that can be shown of its other axle. */
export const INSIDE = ["ask", "gauge", "layout", "move", "propped", "read", "target", "teardown"];

/** Whether a plan of both axles is asked for. @param {Pick<Sheet, "car" | "target">} sheet */
export const wantsBoth = (sheet) =>
  ofBoth(sheet) && Boolean(/** @type {any} */ (sheet.target).other) && TOGETHER.includes(sheet.target.as ?? "heights");

/** The name of a step of a teardown there, in the job's own log. @param {string} axle @param {string} step */
const stepThere = (axle, step) => `${axle}/${step}`;

/** Ticks as that axle's: its own under their plain names, those of the job's own axle left out. What is neither's, such
 * as how the gauge is used, stays. @param {StepRow[]} rows @param {string} axle */
function stepsThere(rows, axle) {
  const mine = stepThere(axle, "");
  return rows.flatMap((row) => {
    if (row.step.startsWith(mine)) return [{ ...row, step: row.step.slice(mine.length) }];
    return row.step.includes("/") ? [row] : [];
  });
}

/**
 * The sheet of a job of both axles, seen from the other one. Rows name their axle; what was planned for the job's own
 * is left out.
 * @param {Sheet} sheet
 * @param {Plan | null} [plan] that axle's, where its teardown is begun
 * @returns {Sheet}
 */
export function seenThere(sheet, plan = null) {
  const { other, ...own } = /** @type {any} */ (sheet.car);
  const { other: wanted, ...target } = /** @type {any} */ (sheet.target);
  const here = sprungOf(own);
  const named = (/** @type {any[]} */ rows) => rows.map((row) => ({ ...row, axle: row.axle ?? here }));
  const loads = sheet.readings.filter(({ what }) => what === "wheel-load");
  return /** @type {any} */ ({
    ...sheet,
    car: { ...other, sprung: otherAxle(own), other: own },
    target: wanted ? { ...wanted, other: target } : { other: target },
    readings: [...sheet.other.readings, ...named(loads)],
    moves: sheet.other.moves,
    other: { readings: named(sheet.readings.filter(({ what }) => what !== "wheel-load")), moves: named(sheet.moves) },
    steps: stepsThere(sheet.steps ?? [], otherAxle(own)),
    plans: plan ? [plan] : [],
  });
}

/** What an item that was made there says in the job's own log, by its kind.
 * @type {Record<string, (body: any, axle: "rear" | "front") => Body>} */
const KEPT = {
  car: ({ sprung: _, ...body }) => /** @type {Body} */ ({ other: body }),
  target: (body) => /** @type {Body} */ ({ other: body }),
  reading: (body, axle) => ({ ...body, axle: body.axle ?? axle }),
  // Its plan is on this device alone.
  move: ({ plan: _, ...body }, axle) => ({ ...body, axle }),
  step: (body, axle) => (body.step.includes("/") ? body : { ...body, step: stepThere(axle, body.step) }),
};

/**
 * Items made on screens of the other axle, as the log keeps them.
 * @param {Item[]} items
 * @param {"rear" | "front"} axle
 * @returns {Item[]}
 */
export const keptThere = (items, axle) =>
  items.map(([kind, body]) => /** @type {Item} */ ([kind, KEPT[kind]?.(body, axle) ?? body]));

/**
 * The address of a screen, inside the other axle's.
 * @param {Route} route
 * @returns {Route}
 */
export const inside = ({ words, query }) => ({ words: INSIDE.includes(words[0]) ? ["axle", ...words] : words, query });

/**
 * What a plan of both axles cannot be made without at the other one; nothing where none is asked for.
 * @param {Sheet} sheet
 */
export const needsThere = (sheet) =>
  wantsBoth(sheet)
    ? needs(seenThere(sheet)).map((step) => ({
        ...step,
        ...inside(step),
        ...(step.step ? { step: { ...step.step, axle: otherAxle(sheet.car) } } : {}),
      }))
    : [];

/** The first height of a sheet's own axle that is still to be read since the last teardown. @param {Sheet} sheet */
function unreadHeight({ readings, teardowns }) {
  const lacking = unreadSide(readings, teardowns);
  return series("heights").find(({ side }) => side === lacking);
}

/**
 * Where the heights of the other axle that are still to be read since the last teardown begin; null where both are.
 * @param {Sheet} sheet
 * @returns {Route | null}
 */
export function heightsThere(sheet) {
  const lacking = unreadHeight(seenThere(sheet));
  if (!lacking) return null;
  // On the way to the first plan one side leads to the other; later all four are asked for.
  if (!sheet.teardowns) return inside(readRoute({ ...lacking, series: "heights" }));
  const { words, query } = inside(readRoute(lacking));
  return { words, query: { ...query, from: "axle" } };
}

/**
 * Where the heights of the job's own axle that are still to be read since the last teardown begin; null where both are.
 * @param {Sheet} sheet
 * @returns {Route | null}
 */
export function heightsHere(sheet) {
  const lacking = unreadHeight(sheet);
  if (!lacking) return null;
  const { words, query } = readRoute(lacking);
  return { words, query: { ...query, from: "axle" } };
}

/**
 * Heights read of a sheet's own axle since its last teardown, [mm]: the mean of each side, null where it was not read.
 * @param {Sheet} sheet
 * @returns {{ left: number | null, right: number | null }}
 */
export function heightsNow(sheet) {
  const mean = (/** @type {"left" | "right"} */ side) => {
    const rows = readingsOf(sheet, { what: "body-height", side, teardown: sheet.teardowns });
    const found = rows.filter((row) => stands(row.pose) && (row.after_km ?? null) === null);
    return found.length ? found.reduce((sum, { value }) => sum + value, 0) / found.length : null;
  };
  return { left: mean("left"), right: mean("right") };
}
