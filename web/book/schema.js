/* The number that an entry is written with: 2 where a reader of 1 would take it for something else (a rise for a
   height, a later reading for hand-over day, a plan in degrees for one without a turn), 3 where a reader of 2 would (a
   load of a front wheel for one of the rear, a move of screws for one of nothing), 4 where a reader of 3 would (a move
   of the other axle for one of the job's), 5 where a reader of 4 would (a height with the other axle carried amidships
   for one of the car on its wheels), 6 where a reader of 5 would (what is wanted of both axles for what is wanted of
   one); an older phone then lists it as not understood. The same as schema_of in
   api/bothends/book/sheet/kinds.py, which a test holds against this. */

import { KINDS } from "../model/facts.js";
import { inDegrees } from "../work/sheet.js";

/** @import { Body } from "../types/log.d.ts" */
/** @import { What } from "../types/sheet.d.ts" */

/** @param {unknown} value */
const said = (value) => value !== null && value !== undefined;

const NEW_AXLES = ["beam", "wishbone"];

const newReading = (/** @type {What} */ what) => KINDS[what]?.since > 2;
const turns = (/** @type {any} */ body) => Boolean(body.left?.turns || body.right?.turns);
/** Whether an entry says what readers of a lower number know nothing of, by its kind; the highest first.
 * @type {[number: number, of: Record<string, (body: any) => boolean>][]} */
const NEWER = [
  [6, { target: (body) => said(body.other) }],
  [5, { reading: (body) => Boolean(body.pose?.centred) }],
  [4, { move: (body) => said(body.axle) }],
  [
    3,
    {
      car: (body) => body?.sprung === "front" || NEW_AXLES.includes(body?.axle),
      move: turns,
      plan: turns,
      reading: (body) => said(body?.axle) || newReading(body.what),
    },
  ],
];

/**
 * The number of the schema to write an entry of that kind and body with.
 * @param {string} kind
 * @param {Body} body
 */
export function schemaOf(kind, body) {
  for (const [number, of] of NEWER) if (of[kind]?.(body)) return number;
  if (kind === "target") return said(body.as) && body.as !== "heights" ? 2 : 1;
  if (kind === "reading") return said(body.after_km) ? 2 : 1;
  if (kind === "erase") return said(body.only) ? 2 : 1;
  return kind === "plan" && inDegrees(body) ? 2 : 1;
}
