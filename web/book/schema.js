/* The number that an entry is written with: 2 where a reader of 1 would take it for something else (a rise for a
   height, a later reading for hand-over day, a plan in degrees for one without a turn), 3 where a reader of 2 would (a
   load of a front wheel for one of the rear, a move of screws for one of nothing), 4 where a reader of 3 would (a move
   of the other axle for one of the job's); an older phone then lists it as not understood. The same as schema_of in
   api/bothends/book/sheet/kinds.py, which a test holds against this. */

import { inDegrees } from "../work/sheet.js";

/** @import { Body } from "../types/log.d.ts" */

/** @param {unknown} value */
const said = (value) => value !== null && value !== undefined;

const NEW_AXLES = ["beam", "wishbone"];
const NEW_READINGS = ["arm-difference", "bolt-length", "bump-gap", "damper-length"];

const turns = (/** @type {any} */ body) => Boolean(body.left?.turns || body.right?.turns);
/** Whether an entry says what readers of 2 know nothing of, by its kind.
 * @type {Record<string, (body: any) => boolean>} */
const ofAxles = {
  car: (body) => body?.sprung === "front" || NEW_AXLES.includes(body?.axle),
  move: turns,
  plan: turns,
  reading: (body) => said(body?.axle) || NEW_READINGS.includes(body.what),
};

/**
 * The number of the schema to write an entry of that kind and body with.
 * @param {string} kind
 * @param {Body} body
 */
export function schemaOf(kind, body) {
  if (kind === "move" && said(/** @type {any} */ (body).axle)) return 4;
  if (ofAxles[kind]?.(body)) return 3;
  if (kind === "target") return said(body.as) && body.as !== "heights" ? 2 : 1;
  if (kind === "reading") return said(body.after_km) ? 2 : 1;
  if (kind === "erase") return said(body.only) ? 2 : 1;
  return kind === "plan" && inDegrees(body) ? 2 : 1;
}
