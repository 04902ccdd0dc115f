/* The cards of the first screen, and the keys that go on with one of them: here as soon as there is a job. */

import { h } from "../parts/dom.js";
import { stageStrip } from "../parts/draw/stages.js";
import { card as plateCard, fold } from "../parts/plate.js";
import { FIRST } from "../work/first-words.js";
import { stagesOf } from "../work/flow.js";
import { counted } from "../work/plural.js";
import { standing } from "../work/standing.js";
import { targetWords } from "../work/target-words.js";

/** @import { Snapshot } from "../book/snapshot.js" */
/** @import { KeySpec } from "../parts/deck.js" */
/** @import { Context } from "../types/context.d.ts" */
/** @import { Counts } from "../types/log.d.ts" */
/** @import { Folded, Sheet } from "../types/sheet.d.ts" */

/**
 * @typedef {object} About What is said of jobs besides their own.
 * @property {Map<string, Counts>} counts what of each has not reached the shop
 * @property {boolean} paired
 * @property {((job: Pick<Folded, "sheet" | "stages">) => string | null) | null} reminder
 * @property {((job: string) => string) | null} news "2 new" of a job, "" where nothing is, once that is known
 */

const SAID = {
  closed: "Handed over",
  hidden: "Hidden",
  unnamed: "Car without a name",
  reading: (/** @type {number} */ n, /** @type {number} */ of) => `Reading the records: ${n} of ${of} jobs`,
  nothing: (/** @type {string} */ words) => `No job on this phone has “${words}” in its car, owner or request.`,
};

/** @param {Sheet} sheet */
const nameOf = ({ title, car_name: car, owner }) =>
  [title || car || SAID.unnamed, owner && !title.includes(owner) ? owner : ""].filter(Boolean).join(", ");

/**
 * A job that was looked up.
 * @param {Context} ctx
 * @param {string} job
 */
const lookedUp = (ctx, job) => /** @type {Snapshot} */ (ctx.log.peek(job));

/**
 * Six stages of a job as one strip.
 * @param {Folded} found
 */
function strip(found) {
  const stages = stagesOf(found);
  const now = stages.findIndex(({ state }) => state === "now");
  const at = now < 0 ? stages.length : now;
  const label = at < stages.length ? `Stage ${at + 1} of ${stages.length}: ${stages[at].name}` : "All stages done";
  return stageStrip(
    stages.map(({ name }) => name),
    at,
    label,
  );
}

/**
 * What has not reached the shop; nothing where there is none, or no shop.
 * @param {Partial<Counts>} [counts]
 * @param {boolean} [paired]
 */
function unsynced({ waiting = 0, refused = 0 } = {}, paired = false) {
  const lines = [
    paired && waiting ? counted(waiting, "{n} change not synced", "{n} changes not synced") : "",
    refused ? counted(refused, "{n} change refused by the shop", "{n} changes refused by the shop") : "",
  ].filter(Boolean);
  return lines.map((text) => h("span", { class: "left-here", text }));
}

/**
 * A job's card; `first` where it is the one to go on with.
 * @param {Context} ctx
 * @param {string} job
 * @param {About & { first?: boolean }} about
 */
function card(ctx, job, { counts, paired, reminder, news, first = false }) {
  const found = lookedUp(ctx, job);
  const { sheet } = found;
  const { words, next, done } = standing(found);
  const target = targetWords(sheet.target) || sheet.wish;
  const due = done && reminder ? reminder(found) : null;
  const fresh = news?.(job);
  const node = plateCard(
    { href: ctx.href(next, job), form: first ? "in-work" : "", cls: "job" },
    h("strong", { text: nameOf(sheet) }),
    fresh ? h("b", { class: "new-mark", text: fresh }) : null,
    target ? h("span", { class: "target-words", text: target }) : null,
    done ? null : strip(found),
    h("b", { class: "stands", text: due ?? words }),
    unsynced(counts.get(job), paired),
  );
  node.dataset.job = job;
  return h("li", null, node);
}

/**
 * The jobs that were read, split: {known, hidden, open, closed}, each the one written to last first.
 * @param {Context} ctx
 * @param {string[]} list
 */
export function sorted(ctx, list) {
  const last = (/** @type {string} */ job) =>
    lookedUp(ctx, job).entries.reduce((newest, { id }) => (id > newest ? id : newest), "");
  const at = new Map(list.filter(ctx.log.peek).map((job) => [job, last(job)]));
  const known = [...at.keys()].sort((a, b) => ((at.get(a) ?? "") < (at.get(b) ?? "") ? 1 : -1));
  const closed = (/** @type {string} */ job) => Boolean(lookedUp(ctx, job).sheet.closed);
  const hidden = known.filter((job) => lookedUp(ctx, job).sheet.about.hidden === true);
  const shown = known.filter((job) => !hidden.includes(job));
  return { known, hidden, open: shown.filter((job) => !closed(job)), closed: shown.filter(closed) };
}

/**
 * How many were handed over, and how many of them are to be rechecked.
 * @param {Context} ctx
 * @param {string[]} over
 * @param {About} about
 */
function overWords(ctx, over, { reminder }) {
  const due = reminder ? over.filter((job) => reminder(lookedUp(ctx, job))).length : 0;
  return due ? counted(due, `${over.length}, {n} to recheck`, `${over.length}, {n} to recheck`) : String(over.length);
}

/**
 * The cards, those open before those handed over, as far as the search goes.
 * @param {Context} ctx
 * @param {string[]} list
 * @param {About} about
 * @param {string} search
 */
export function shelf(ctx, list, about, search) {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const text = (/** @type {string} */ job) => {
    const { sheet } = lookedUp(ctx, job);
    return [sheet.title, sheet.car_name, sheet.owner, sheet.wish].join(" ").toLowerCase();
  };
  const fits = (/** @type {string} */ job) => words.every((word) => text(job).includes(word));
  const { known, hidden, open, closed } = sorted(ctx, list);
  const [now, over, gone] = [open, closed, hidden].map((some) => some.filter(fits));
  const cards = (/** @type {string[]} */ some) =>
    h(
      "ul",
      { class: "cards" },
      some.map((job) => card(ctx, job, { ...about, first: job === open[0] })),
    );
  const whole = known.length === list.length;
  return [
    whole ? null : h("p", { class: "working", text: SAID.reading(known.length, list.length) }),
    now.length ? cards(now) : null,
    over.length
      ? fold(
          { title: SAID.closed, more: overWords(ctx, over, about), open: words.length > 0, id: "closed", level: "h2" },
          cards(over),
        )
      : null,
    gone.length
      ? fold({ title: SAID.hidden, more: String(gone.length), id: "hidden", level: "h2" }, cards(gone))
      : null,
    list.length && !now.length && !over.length && !gone.length && whole && words.length
      ? h("p", { text: SAID.nothing(search) })
      : null,
  ].filter((part) => part !== null);
}

/**
 * The keys under the thumb, from the job to go on with.
 * @param {Context} ctx
 * @param {string | null} job null where all are handed over
 * @returns {{ quiet: KeySpec | null, main: KeySpec }}
 */
export function deckOf(ctx, job) {
  const begin = { words: FIRST.begin, href: "#/new" };
  if (!job) return { quiet: null, main: begin };
  const found = lookedUp(ctx, job);
  const { next, place } = standing(found);
  const small = `${(found.sheet.car_name || nameOf(found.sheet)).split(/[ ,]/)[0]}, ${place}`;
  return { quiet: begin, main: { words: "Go on", small, href: ctx.href(next, job) } };
}
