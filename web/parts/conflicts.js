/* Entries that contradict each other: both are shown, a person says which holds. Nothing is erased. */

import { h } from "./dom.js";
import { shell } from "./shell.js";
import { disputedNames, goesOnWords, holdingBack } from "../work/card-conflicts.js";
import { askedWords, keepWords, moment, picks } from "../work/conflicts.js";
import { counted } from "../work/plural.js";
import { sentence } from "../work/sentence.js";
import { writtenBy } from "../work/writer.js";
import { deviceName, nameWriters } from "./writers.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { Conflict } from "../types/sheet.d.ts" */
/** @import { JobContext, Shown } from "../types/context.d.ts" */

const SAID = {
  list: /** @type {[string, string]} */ (["{n} conflict to resolve", "{n} conflicts to resolve"]),
  more: "Who, when and the effect",
  saved: (/** @type {string} */ when) => `saved ${when}`,
  choice: "the choice",
  back: "No teardown yet",
  first: (/** @type {string} */ names) => `Choose first: ${names}.`,
  plan: "To the plan",
};

/**
 * @param {JobContext} ctx
 * @param {Conflict} conflict
 */
function one(ctx, conflict) {
  const settle = (/** @type {Item[]} */ items) => async () => {
    if (await ctx.save(items, { said: SAID.choice })) ctx.redraw();
  };
  return h(
    "li",
    null,
    h("p", { text: askedWords(conflict) }),
    h(
      "div",
      { class: "keys" },
      picks(conflict, (id) => ctx.entry(id) ?? undefined).map((pick) =>
        h(
          "button",
          { type: "button", class: "key wide entry pick-this", onclick: settle(pick.items) },
          h("strong", { text: keepWords(pick) }),
          h("span", { class: "who" }, SAID.saved(moment(pick.entry)), deviceName(writtenBy(pick.entry, ctx.sheet))),
        ),
      ),
    ),
  );
}

/**
 * The block; null when nothing contradicts.
 * @param {JobContext} ctx
 * @param {Conflict[]} [list] those to show; all where none are given
 */
export function conflicts(ctx, list = ctx.sheet.conflicts) {
  if (!list.length) return null;
  const block = h(
    "section",
    { class: "doubts conflicts", tabindex: "-1" },
    h("h2", { text: counted(list.length, ...SAID.list) }),
    h(
      "ul",
      null,
      list.map((conflict) => one(ctx, conflict)),
    ),
    h("a", { class: "key", href: `#/desk?job=${ctx.job}` }, SAID.more),
  );
  // Without a network the names may not come; the rest stands.
  nameWriters(ctx, block).catch(() => {});
  return block;
}

/**
 * What two wrote on a card without having seen each other, for the plan, which goes by the later until one is picked.
 * @param {JobContext} ctx
 */
export const cardConflicts = (ctx) =>
  conflicts(
    ctx,
    ctx.sheet.conflicts.filter(({ about }) => about === "card"),
  );

/**
 * In place of the steps of a teardown that may not begin: why, and what to choose.
 * @param {JobContext} ctx
 * @param {string} title
 * @returns {Shown}
 */
export function heldBack(ctx, title) {
  const list = holdingBack(ctx.sheet);
  const page = shell({
    title: SAID.back,
    body: [h("p", { text: SAID.first(disputedNames(list)) }), conflicts(ctx, list)],
    main: { words: SAID.plan, href: ctx.href({ words: ["plan"] }) },
  });
  return { title, node: page.node, focus: page.title };
}

/**
 * On a step of a teardown that is under way: what is in dispute meanwhile; null where nothing is.
 * @param {JobContext} ctx
 */
export function meanwhile(ctx) {
  const list = holdingBack(ctx.sheet);
  if (!list.length) return null;
  return h("p", { class: "refused meanwhile" }, h("a", { href: ctx.href({ words: ["list"] }) }, goesOnWords(list)));
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
