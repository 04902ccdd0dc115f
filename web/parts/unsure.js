/* Readings that may not fit what was chosen: which, why, who read them and when, and what can be done about each. It is
   read again only where it still can be. */

import { moment } from "../work/conflicts.js";
import { counted } from "../work/plural.js";
import { unsureReadings, unsureSentence } from "../work/unsure.js";
import { h } from "./dom.js";
import { deviceName, nameWriters } from "./writers.js";

/** @import { Context, JobContext } from "../types/context.d.ts" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { Sheet, Unsure } from "../types/sheet.d.ts" */
/** @import { Asked } from "../work/unsure.js" */

const SAID = {
  title: /** @type {[string, string]} */ (["{n} reading to look at again", "{n} readings to look at again"]),
  holds: "It holds",
  remove: "Remove it",
  again: "Read again",
  correct: "Correct it",
  past: (/** @type {string} */ why) => `${why}: it cannot be read again.`,
  spoken: (/** @type {string} */ key, /** @type {string} */ what) => `${key}: ${what}`,
};

/**
 * One reading with its keys.
 * @param {Pick<Context, "href">} ctx
 * @param {string} job
 * @param {Asked} asked
 * @param {(items: Item[], said: string) => unknown} write
 */
function one(ctx, job, { row, name, value, past, route, holds, remove }, write) {
  const what = `${name}, ${value}`;
  const key = (/** @type {string} */ words, /** @type {Item[]} */ items) =>
    h(
      "button",
      { type: "button", class: "key", "aria-label": SAID.spoken(words, what), onclick: () => write(items, words) },
      words,
    );
  const words = past ? SAID.correct : SAID.again;
  const to = { ...route, query: { ...route.query, from: "list" } };
  return h(
    "li",
    { class: "card dashed" },
    h("strong", { text: `${name}: ${value}` }),
    h("span", { class: "who" }, moment(row), deviceName(row)),
    past ? h("p", { class: "past", text: SAID.past(past) }) : null,
    h(
      "div",
      { class: "keys" },
      key(SAID.holds, holds),
      h("a", { class: "key", href: ctx.href(to, job), "aria-label": SAID.spoken(words, what) }, words),
      key(SAID.remove, remove),
    ),
  );
}

/**
 * The block of a job; null where nothing is to be looked at.
 * @param {Pick<Context, "href">} ctx
 * @param {{ job: string, sheet: Sheet, write: (items: Item[], said: string) => unknown }} of
 */
export function unsureBlock(ctx, { job, sheet, write }) {
  const all = sheet.unsure.map((unsure) => ({ unsure, readings: unsureReadings(unsure, sheet) }));
  const much = new Set(sheet.unsure.flatMap((/** @type {Unsure} */ { readings }) => readings)).size;
  if (!much) return null;
  return h(
    "section",
    { class: "doubts unsure" },
    h("h2", { text: counted(much, ...SAID.title) }),
    all.map(({ unsure, readings }) => [
      h("p", { text: unsureSentence(unsure) }),
      h(
        "ul",
        { class: "doubt-list" },
        readings.map((asked) => one(ctx, job, asked, write)),
      ),
    ]),
  );
}

/**
 * Put the block of the job that is shown into its place.
 * @param {JobContext} ctx
 * @param {Element} place
 */
export function unsureOf(ctx, place) {
  const write = async (/** @type {Item[]} */ items, /** @type {string} */ said) => {
    if (await ctx.save(items, { said })) ctx.redraw();
  };
  const block = unsureBlock(ctx, { job: ctx.job, sheet: ctx.sheet, write });
  if (!block) return;
  place.append(block);
  // Without a network the names may not come; the rest stands.
  nameWriters(ctx, block).catch(() => {});
}
