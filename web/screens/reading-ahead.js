/* What the model will be asked at Next, asked while the thumb is still on its way there: what is typed is taken as
   if it were kept, and the answer waits. Keeps nothing; where another figure is kept in the end, the answer is not
   used. One at a time, so that Next never waits for more than one figure that was not meant. */

import { needs } from "../work/guide.js";
import { READINGS } from "../work/readings.js";

/** @import { Context, JobContext } from "../types/context.d.ts" */
/** @import { Body } from "../types/log.d.ts" */
/** @import { Sheet, Side, What } from "../types/sheet.d.ts" */

/** @typedef {Body & { what: What, side: Side, value: number }} Written The body of a reading as it stands. */

/** A figure that stood this long is likely the whole of it. */
const REST_MS = 150;
/** Heights and loads of one car are alike: the first digits of a figure are not, and are no figure yet. */
const ALIKE = 2;

/**
 * Whether a figure may be the whole of it, by others of its kind.
 * @param {Sheet} sheet
 * @param {Written} body
 */
function whole(sheet, { what, value }) {
  const others = READINGS[what].signed ? [] : sheet.readings.filter((reading) => reading.what === what);
  return !others.length || others.some((other) => value <= ALIKE * other.value && other.value <= ALIKE * value);
}

/**
 * Have the model work on the job as it would be with this reading.
 * @param {Context} ctx
 * @param {Written} body
 */
async function workOut(ctx, body) {
  const entries = ctx.entries();
  const presumed = {
    id: ctx.log.newId({ after: entries.at(-1)?.id ?? null }),
    job: ctx.job,
    device: "",
    at: ctx.log.stamp(),
    kind: "reading",
    body,
  };
  const [{ sheet, request }] = await ctx.log.fold([{ job: ctx.job, entries: [...entries, presumed] }]);
  if (!needs(sheet).length) await ctx.model.checked(request.request);
}

/**
 * {soon, stop}: `soon()` after every change of what is typed, `make()` gives its body or null; `stop()` once it is
 * kept.
 * @param {JobContext} ctx
 * @param {() => Written | null} make
 */
export function ahead(ctx, make) {
  let timer = 0;
  let busy = false;
  const stop = () => clearTimeout(timer);
  const soon = () => {
    stop();
    timer = setTimeout(now, REST_MS);
  };
  async function now() {
    if (busy) return soon();
    const body = make();
    if (!body || !whole(ctx.sheet, body)) return undefined;
    busy = true;
    // Whatever is wrong with it is told where it is kept.
    await workOut(ctx, body).catch(() => {});
    busy = false;
    return undefined;
  }
  ctx.whileShown(stop);
  return { soon, stop };
}
