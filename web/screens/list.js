/* The Log of a job: what it is for, what was read and put off, what is known of the car, what was removed. Every row
   opens what it says; under the thumb one more reading, and back to where the work stands. */

import { conflicts } from "../parts/conflicts.js";
import { h } from "../parts/dom.js";
import { hiddenNote, hideKey } from "../parts/hide-job.js";
import { fold } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { nameWriters } from "../parts/writers.js";
import { moment, wordsOf } from "../work/conflicts.js";
import { counted } from "../work/plural.js";
import { titled } from "../work/sentence.js";
import { standing } from "../work/standing.js";
import { walkOf } from "../work/walk.js";
import { carRows, jobRows, laterRows } from "./list-facts.js";
import { rounds } from "./list-readings.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */

const SAID = {
  title: "Log",
  add: "Add a reading",
  on: "Go on",
  removed: "Removed or corrected",
  puzzles: (/** @type {string} */ list) => `Records kept but not used: ${list}.`,
  /** @type {[string, string]} */
  clocks: [
    "The clock went back before {n} record. The order is right.",
    "The clock went back before {n} records. The order is right.",
  ],
};
/** Where else a job leads. */
const WAYS = [
  ["Hand over", "close"],
  ["Send this job", "share"],
  ["Other bars or loads", "whatif"],
];

/**
 * Readings and moves that no longer hold, removed or corrected; nothing is erased.
 * @param {JobContext} ctx
 */
function removed(ctx) {
  const { readings, moves, photos, puzzles, other } = ctx.sheet;
  const elsewhere = [...other.readings, ...other.moves];
  const also = moves.flatMap((row) => row.also ?? []);
  const shown = new Set([...[...readings, ...moves, ...elsewhere, ...photos, ...puzzles].map(({ id }) => id), ...also]);
  const gone = ctx.entries().filter(({ id, kind }) => ["reading", "move", "photo"].includes(kind) && !shown.has(id));
  if (!gone.length) return null;
  return fold(
    { title: SAID.removed, more: String(gone.length), id: "removed", level: "h2" },
    h(
      "ul",
      { class: "struck" },
      gone.map((entry) => h("li", null, h("s", { text: titled(wordsOf(entry, ctx.sheet)) }), ` ${moment(entry)}`)),
    ),
  );
}

/**
 * Photos, and what others bring into the Log: what is new, what is to be looked at again, who reads here. Fetched once
 * it stands.
 * @param {JobContext} ctx
 * @param {{ body: HTMLElement, asks: HTMLElement, named: () => void, photos: HTMLElement }} log
 */
async function others(ctx, { body, asks, named, photos }) {
  const [{ showNews }, { showPhotos }, { nameAsk }, { unsureOf }] = await Promise.all([
    import("./list-news.js"),
    import("./list-photos.js"),
    import("../parts/name-ask.js"),
    import("../parts/unsure.js"),
  ]);
  showPhotos(ctx, photos);
  unsureOf(ctx, asks);
  const asked = await nameAsk(ctx, ctx.redraw);
  if (asked) asks.append(asked);
  await showNews(ctx, body, named);
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function list(ctx) {
  const { sheet, stages } = ctx;
  const { next, place } = standing({ sheet, stages, walk: walkOf(ctx) });
  const asks = h("div", { class: "asks" });
  const photos = h("section", { class: "photos" });
  const body = h(
    "div",
    { class: "log" },
    hiddenNote(ctx),
    conflicts(ctx),
    asks,
    sheet.puzzles.length
      ? h("p", { class: "refused", text: SAID.puzzles(sheet.puzzles.map(({ text }) => text).join("; ")) })
      : null,
    sheet.clocks.length ? h("p", { class: "where", text: counted(sheet.clocks.length, ...SAID.clocks) }) : null,
    jobRows(ctx),
    laterRows(ctx),
    rounds(ctx),
    photos,
    carRows(ctx),
    removed(ctx),
    h(
      "nav",
      { class: "pages", "aria-label": "More of this job" },
      WAYS.map(([words, to]) => h("a", { class: "key", href: ctx.href({ words: [to] }) }, words)),
      h("a", { class: "key", href: "#/" }, "All jobs"),
    ),
    hideKey(ctx),
  );
  const screen = shell({
    title: SAID.title,
    body: [body],
    quiet: { words: SAID.add, href: ctx.href({ words: ["add"] }) },
    main: { words: SAID.on, small: titled(place), href: ctx.href(next) },
  });
  const named = () => nameWriters(ctx, body, { alone: true }).catch(() => {});
  named();
  others(ctx, { body, asks, named, photos }).catch(() => {});
  return { title: SAID.title, node: screen.node };
}
