/* The number that an entry is written with: 2 where a reader of 1 would take it for something else (a rise for a
   height, a later reading for hand-over day, a plan in degrees for one without a turn), 3 where a reader of 2 would (a
   load of a front wheel for one of the rear); an older phone then lists it as not understood. The same as schema_of in
   api/bothends/book/sheet/kinds.py, which a test holds against this. */

import { inDegrees } from "../work/sheet.js";

/** @import { Body } from "../types/log.d.ts" */

/** @param {unknown} value */
const said = (value) => value !== null && value !== undefined;

/**
 * The number of the schema to write an entry of that kind and body with.
 * @param {string} kind
 * @param {Body} body
 */
export function schemaOf(kind, body) {
  if (kind === "target") return said(body.as) && body.as !== "heights" ? 2 : 1;
  if (kind === "reading" && said(body.axle) && body.axle !== "rear") return 3;
  if (kind === "reading") return said(body.after_km) ? 2 : 1;
  if (kind === "erase") return said(body.only) ? 2 : 1;
  return kind === "plan" && inDegrees(body) ? 2 : 1;
}
