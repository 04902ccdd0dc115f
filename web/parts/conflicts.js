/* Entries that contradict each other: both are shown, a person says which holds. Nothing is erased. */

import { h } from "./dom.js";
import { counted } from "../work/plural.js";
import { sentence } from "../work/sentence.js";
import { keepWords, moment, picks } from "../work/conflicts.js";

/** @import { Body } from "../types/log.d.ts" */
/** @import { Conflict } from "../types/sheet.d.ts" */
/** @import { JobContext } from "../types/context.d.ts" */

/**
 * @param {JobContext} ctx
 * @param {Conflict} conflict
 */
function one(ctx, conflict) {
  const settle = (/** @type {Body} */ body) => async () => {
    if (await ctx.save([["settle", body]], { said: "the choice" })) ctx.redraw();
  };
  return h(
    "li",
    null,
    h("p", { text: sentence(conflict.text) }),
    h(
      "div",
      { class: "keys" },
      picks(conflict, (id) => ctx.entry(id) ?? undefined).map((pick) =>
        h(
          "button",
          { type: "button", class: "key wide entry", onclick: settle(pick.body) },
          h("strong", { text: keepWords(pick) }),
          h("span", { text: `saved ${moment(pick.entry)}` }),
        ),
      ),
    ),
  );
}

/**
 * The block; null when nothing contradicts.
 * @param {JobContext} ctx
 */
export function conflicts(ctx) {
  const list = ctx.sheet.conflicts;
  if (!list.length) return null;
  return h(
    "section",
    { class: "doubts" },
    h("h2", { text: counted(list.length, "{n} conflict to resolve", "{n} conflicts to resolve") }),
    h(
      "ul",
      null,
      list.map((conflict) => one(ctx, conflict)),
    ),
    h("a", { class: "key", href: `#/desk?job=${ctx.job}` }, "Who, when and the effect"),
  );
}

const HOLD = ["unsettled-move", "missing-move"];

/**
 * What must be settled or entered before a plan can be trusted; null where nothing stands in its way.
 * @param {JobContext} ctx
 */
export function stopped(ctx) {
  const stops = ctx.request.stops.filter(({ code }) => HOLD.includes(code));
  if (!stops.length) return null;
  const told = conflicts(ctx);
  const others = stops.filter(({ code }) => !told || code !== "unsettled-move");
  return h(
    "div",
    { class: "gaps" },
    h("p", { text: "No plan until the teeth turned are clear." }),
    others.map(({ text }) => h("p", { class: "refused", text: sentence(text) })),
    told,
    h("a", { class: "key wide", href: ctx.href({ words: ["list"] }) }, "Log"),
  );
}
