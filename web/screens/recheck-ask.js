/* What a recheck asks: how far the car was driven since hand-over, then each height. Every key is kept as a draft. */

import { lengthReading } from "../parts/draw/height.js";
import { field } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { seenOf } from "../work/adjuster.js";
import { outside } from "../work/bounds.js";
import { READINGS, nameOf } from "../work/readings.js";
import { USUAL_KM } from "../work/recheck.js";
import { wordsIn } from "../work/units.js";
import { lastOfDay } from "../work/sheet.js";
import { markOf } from "../work/wish.js";

/** @import { JobContext } from "../types/context.d.ts" */

/** @import { Side } from "../types/sheet.d.ts" */

const KM = "log.after_km";
const SAID = {
  title: "How far since hand-over?",
  how: "Kilometres driven. The odometer less its reading at hand-over; a good guess will do.",
  label: "Driven since hand-over",
  later: "Not now",
  next: "Next",
  thenLeft: "then left",
  thenRight: "then right",
  thenVerdict: "then the verdict",
  lacking: "Enter the reading.",
  lackingKm: "Enter how far it was driven.",
  place: "Same place and load as at hand-over. Roll, bounce, then read.",
};

/** The drawing's kind of a mark. */
const PICTURES = { "body-height": "height", "hub-to-body": "hub" };

/** How far it was driven. @param {JobContext} ctx */
export function askKm(ctx) {
  const key = "recheck/km";
  const typed = ctx.drafts.draft(ctx.job, key);
  const figure = field({
    label: SAID.label,
    unit: " km",
    nudge: 10,
    shown: true,
    state: typed ?? { text: String(USUAL_KM), sign: 1, prefilled: true },
    onchange: (state) => ctx.kept(() => ctx.drafts.keep(ctx.job, key, state)),
    onnext: () => next(),
  });
  function next() {
    const km = figure.value();
    const wrong = km === null ? SAID.lackingKm : outside(KM, km, wordsIn(" km"));
    if (wrong || km === null) return figure.tell(wrong);
    ctx.drafts.drop(ctx.job, key);
    return ctx.go({ words: ["recheck", String(km), "left"] });
  }
  const screen = shell({
    title: SAID.title,
    how: SAID.how,
    typed: pad({ fields: [figure] }).node,
    quiet: { words: SAID.later, href: ctx.href({ words: ["close"] }) },
    main: { words: SAID.next, small: SAID.thenLeft, ontap: next },
  });
  return { title: SAID.title, focus: figure.input, fresh() {}, node: screen.node };
}

/** One height. @param {JobContext} ctx @param {{km: number, side: Side}} about */
export function askHeight(ctx, { km, side }) {
  const stage = lastOfDay(ctx.stages);
  const what = markOf(stage?.target);
  const key = `recheck/${km}/${what}/${side}`;
  const { unit, title } = READINGS[what];
  const name = nameOf({ what, side });
  const figure = field({
    label: name,
    unit,
    shown: true,
    state: ctx.drafts.draft(ctx.job, key) ?? undefined,
    onchange: (state) => ctx.kept(() => ctx.drafts.keep(ctx.job, key, state)),
    onnext: () => next(),
  });
  async function next() {
    const value = figure.value();
    const wrong = value === null ? SAID.lacking : outside(`log.value.${what}`, value, wordsIn(unit));
    if (wrong) return figure.tell(wrong);
    const body = { what, side, value, teardown: ctx.sheet.teardowns, after_km: km };
    if (!(await ctx.save([["reading", body]], { said: name }))) return undefined;
    ctx.drafts.drop(ctx.job, key);
    return ctx.go({ words: ["recheck", String(km), ...(side === "left" ? ["right"] : [])] });
  }
  ctx.unsaved(() => figure.state().text !== "");
  const picture = lengthReading({
    side,
    seen: seenOf(ctx.sheet.car),
    what: /** @type {any} */ (PICTURES[/** @type {keyof typeof PICTURES} */ (what)]),
    label: `${title}, ${side}`,
  });
  const screen = shell({
    side,
    title,
    how: SAID.place,
    picture,
    typed: pad({ fields: [figure], side }).node,
    quiet: { words: SAID.later, href: ctx.href({ words: ["close"] }) },
    main: { words: SAID.next, small: side === "left" ? SAID.thenRight : SAID.thenVerdict, ontap: next },
  });
  return { title: name, focus: figure.input, fresh() {}, node: screen.node };
}
