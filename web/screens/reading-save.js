/* What a reading comes to once it is typed: the body of its entry, the check against the rest, and the way on. */

import { say } from "../parts/dom.js";
import { onward } from "../work/flow.js";
import { readRoute } from "../work/guide.js";
import { fromPhone } from "../work/reading-draft.js";
import { nameOf } from "../work/readings.js";
import { said } from "../work/sheet.js";
import { queried } from "./reading-query.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Body } from "../types/log.d.ts" */
/** @import { ReadingRow } from "../types/sheet.d.ts" */
/** @import { Written } from "./reading-ahead.js" */
/** @import { Asked, Fields } from "./reading.js" */

/** Screens of a teardown, which judge a reading themselves. */
const STEPS = ["teardown", "propped"];
/** What has to be another for a changed reading to be written. */
const COMPARED = /** @type {const} */ (["value", "datum", "reference", "spot"]);
const OF_PHONE = ["method", "sd", "reversed", "zero_error_deg"];

/**
 * Of a reading that is changed, what stays as it was said, fields of newer versions too. Figures typed over the phone's
 * are no longer the phone's.
 * @param {ReadingRow | null} entry
 * @param {number} value
 * @param {number | null} against the gauge on the body
 * @returns {Body}
 */
function stays(entry, value, against) {
  if (!entry) return {};
  const { datum: _, reference: __, spot: ___, ...rest } = said(entry);
  if (entry.method === "phone" && (entry.value !== value || (entry.datum ?? null) !== against))
    for (const name of OF_PHONE) delete rest[name];
  return rest;
}

/**
 * The entry's body as it stands, or null while a figure is missing.
 * @param {Asked & { ctx: JobContext, how: string, spot: string, fields: Fields }} of the reading as asked, how the
 *   gauge is used, the place, the fields
 * @returns {Written | null}
 */
export function bodyOf({ ctx, what, side, axle, entry, pose, teardown, kind, typed, how, spot, fields }) {
  const { arm, body: base } = fields;
  const value = arm.value();
  const against = base ? base.value() : null;
  if (value === null || (base && against === null)) return null;
  const body = {
    ...stays(entry, value, against),
    what,
    side,
    value,
    teardown,
    ...fromPhone(typed, { how, arm: arm.state(), datum: base?.state() }),
  };
  const more = {
    datum: against,
    reference: kind.signed && how === "gravity" ? how : null,
    pose,
    axle,
    spot: pose?.hanging ? null : spot,
    resettled: entry ? null : Number(ctx.query.resettled ?? 0),
    corrects: entry?.id,
  };
  // A gauge that reads nought on the body was laid there all the same.
  const says = (/** @type {[string, unknown]} */ [name, one]) => (name === "datum" ? one !== null : Boolean(one));
  return { ...body, ...Object.fromEntries(Object.entries(more).filter(says)) };
}

/**
 * The same reading, to be read once more.
 * @param {Pick<Asked, "what" | "side" | "axle" | "pose" | "teardown"> & { ctx: JobContext }} of
 */
function anew({ ctx, what, side, axle, pose, teardown }) {
  const { series, resettled, from } = ctx.query;
  const route = readRoute({ what, side, axle, pose, series, teardown, resettled });
  ctx.go({ ...route, query: { ...route.query, ...(from ? { from } : {}) } }, { replace: true });
}

/**
 * Save what was read, ask about it where it does not fit, and go on.
 * @param {Asked & { ctx: JobContext, body: Written, view: Node, onwait: () => void }} of the reading as asked, its
 *   body, the drawing (`view`: gone once the screen was left), `onwait` while it is checked
 */
export async function saving({ ctx, body, view, onwait, ...one }) {
  const { entry, key } = one;
  const here = location.href;
  const same = entry && COMPARED.every((name) => (entry[name] ?? null) === (body[name] ?? null));
  const had = new Set(ctx.entries().map(({ id }) => id));
  if (!same && !(await ctx.save([["reading", body]], { said: nameOf(body) }))) return;
  ctx.drafts.drop(ctx.job, key);
  if (entry) ctx.solved(entry.id);
  say(`${nameOf(body)}: saved`);
  const kept = ctx
    .entries()
    .filter(({ kind, id }) => kind === "reading" && !had.has(id))
    .at(-1);
  // The teardown's own step judges what hangs free; everything else is asked about here.
  const judged = same || STEPS.includes(String(ctx.query.from ?? "").split("/")[0]);
  const done = judged || !kept ? "on" : await queried(ctx, kept.id, onwait);
  // Who has gone elsewhere meanwhile is not fetched back, also where that screen is still on its way.
  if (!view.isConnected || location.href !== here) return;
  if (done === "again") anew({ ctx, ...one });
  else ctx.go(onward(ctx.sheet, ctx.words, ctx.query));
}
