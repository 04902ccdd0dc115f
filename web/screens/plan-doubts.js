/* Readings that do not fit the others: what is likely wrong, and one tap to take the repaired value.

   Taking it writes an entry that corrects the old one; nothing is lost and the log shows both. */

import { h } from "../parts/dom.js";
import { plain } from "../work/numbers.js";
import { readRoute } from "../work/guide.js";
import { stageName, stageWork } from "../work/promise.js";
import { nameOf, valueOf } from "../work/readings.js";
import { repair, sentenceOf, words } from "../work/repair.js";
import { past } from "../work/still.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { JobContext, Route } from "../types/context.d.ts" */
/** @import { Doubt } from "../types/wire.d.ts" */

/**
 * @typedef {{name: string, text: string, route: Route, fix: Item[] | null, use: string, again: string}} Told `again`
 *   the words of the key to what is doubted: a reading of a state that is past can only be looked at
 */

const SAID = {
  fits: (/** @type {number} */ times) => `${plain(times, 1)} times further off than its spread allows.`,
  use: "Use the suggestion",
  used: "the suggestion used",
  again: "Read again",
  look: "Look at it",
  past: (/** @type {string} */ why) => ` ${why}: it cannot be read again, only corrected or removed.`,
  turned: { teardown: "Teeth", adjustment: "Turns" },
};

/** The reading or the move that a doubt is about. @param {JobContext} ctx @param {string} id */
function entryOf(ctx, id) {
  const { readings, moves, other } = ctx.sheet;
  const reading = [...readings, ...other.readings].find((row) => row.id === id);
  const move = [...moves, ...other.moves].find((row) => row.id === id);
  return reading ?? (move ? { ...move, kind: "move" } : null);
}

/** A doubt in words. @param {JobContext} ctx @param {Doubt} doubt @param {any} entry @returns {Told} */
function toldOf(ctx, doubt, entry) {
  const move = entry.kind === "move";
  const fix = repair(doubt, entry, ctx.sheet);
  const gone = move ? "" : past(ctx.sheet, entry);
  const read = move ? { words: ["move"], query: { entry: entry.id } } : readRoute({ ...entry, entry: entry.id });
  return {
    name: move
      ? `${SAID.turned[stageWork(ctx.sheet, entry.teardown)]} of ${stageName(ctx.sheet, entry.teardown)}`
      : `${nameOf(entry)}: ${valueOf(entry)}`,
    text: `${SAID.fits(Math.abs(doubt.misfit))} ${sentenceOf(doubt)}${gone ? SAID.past(gone) : ""}`,
    route: {
      words: ctx.sheet.other[move ? "moves" : "readings"].some(({ id }) => id === entry.id)
        ? ["axle", ...read.words]
        : read.words,
      query: { ...read.query, from: "plan" },
    },
    fix,
    use: fix ? words(doubt, entry) : "",
    again: move || gone ? SAID.look : SAID.again,
  };
}

/**
 * The doubts of an answer in words, loudest first.
 * @param {JobContext} ctx
 * @param {Doubt[]} list of the answer
 * @param {string[]} ids the entry at each place of the request's log
 * @returns {Told[]}
 */
export const doubtsOf = (ctx, list, ids) =>
  list
    .map((doubt) => ({ doubt, entry: entryOf(ctx, ids[doubt.log_index]) }))
    .filter(({ entry }) => entry)
    .map(({ doubt, entry }) => toldOf(ctx, doubt, entry));

/** What uses a suggestion. @param {JobContext} ctx @param {Told} told @param {() => void} onused */
const using = (ctx, told, onused) => async () => {
  if (await ctx.save(told.fix ?? [], { said: SAID.used })) onused();
};

/**
 * The keys of the deck for the first doubt.
 * @param {JobContext} ctx
 * @param {Told} told
 * @param {() => void} onused
 */
export function doubtKeys(ctx, told, onused) {
  const again = { words: told.again, href: ctx.href(told.route) };
  if (!told.fix) return { main: again, quiet: null };
  return { main: { words: SAID.use, small: told.use, ontap: using(ctx, told, onused) }, quiet: again };
}

/** The keys of a doubt in the list. @param {JobContext} ctx @param {Told} told @param {() => void} onused */
const keysOf = (ctx, told, onused) =>
  h(
    "div",
    { class: "pair-keys" },
    told.fix
      ? h("button", { type: "button", class: "key", onclick: using(ctx, told, onused) }, `Use ${told.use}`)
      : null,
    h("a", { class: "key", href: ctx.href(told.route) }, told.again),
  );

/**
 * The list of doubts, each with its keys; those of the first are in the deck where the plan is withheld.
 * @param {JobContext} ctx
 * @param {Told[]} all
 * @param {() => void} onused
 * @param {boolean} inDeck
 * @returns {HTMLElement}
 */
export const doubtList = (ctx, all, onused, inDeck) =>
  h(
    "ul",
    { class: "doubt-list doubts-told" },
    all.map((told, i) =>
      h(
        "li",
        { class: "card dashed" },
        h("strong", { text: told.name }),
        h("p", { text: told.text }),
        inDeck && i === 0 ? null : keysOf(ctx, told, onused),
      ),
    ),
  );
