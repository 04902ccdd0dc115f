/* What the model will be asked at Next, asked while the thumb is still on its way there: what is typed is taken as if it
   were kept, and the answer waits. Keeps nothing; where another figure is kept in the end, the answer is not used. */

import { fold } from "../book/fold.js";
import { newId, stamp } from "../book/ids.js";
import { checked } from "../model/check.js";
import { missing } from "./guide.js";

/** A figure that stood this long is likely the whole of it. */
const REST_MS = 150;

async function workOut(ctx, body) {
  const entries = ctx.entries();
  const presumed = { id: newId({ after: entries.at(-1)?.id ?? null }), job: ctx.job, device: "", at: stamp(), kind: "reading", body };
  const [{ sheet, request }] = await fold([{ job: ctx.job, entries: [...entries, presumed] }]);
  if (!missing(sheet).length) await checked(request.request);
}

/** {soon, stop}: `soon()` after every change of what is typed, `make()` gives its body or null; `stop()` once it is kept. */
export function ahead(ctx, make) {
  let timer = 0;
  const stop = () => clearTimeout(timer);
  const now = () => {
    const body = make();
    // Whatever is wrong with it is told where it is kept.
    if (body) workOut(ctx, body).catch(() => {});
  };
  const soon = () => {
    stop();
    timer = setTimeout(now, REST_MS);
  };
  ctx.whileShown(stop);
  return { soon, stop };
}
