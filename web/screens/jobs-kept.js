/* The start page put by for the next start: its first open jobs and its keys, drawn as jobs.js draws them. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { FIRST } from "../work/first-words.js";
import { carded, deckOf, inWork, list } from "./jobs-cards.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { About, Shelves } from "./jobs-cards.js" */
/** @import { Tree } from "../types/log.d.ts" */

/** So many cards fill a PC's window; what comes below them is there before anybody has scrolled to it. */
const SEEN = 12;
/** All that is kept of an element besides its words. */
const KEPT = ["class", "href", "role", "aria-label", "data-job", "data-deck", "type", "placeholder", "inert"];

/** @param {Element} element @returns {Tree} */
function treeOf(element) {
  const set = KEPT.flatMap((name) => {
    const value = element.getAttribute(name);
    return value === null ? [] : [[name, value]];
  });
  const inside = [...element.childNodes].map((one) => (one instanceof Element ? treeOf(one) : (one.textContent ?? "")));
  return [element.localName, Object.fromEntries(set), ...inside];
}

/**
 * Put the start page by, as it is drawn of these jobs; nothing where none is open.
 * @param {Context} ctx
 * @param {Shelves} held
 * @param {{ about: About, search: HTMLElement | null }} how
 */
export function putBy(ctx, held, { about, search }) {
  const rows = carded(held.open.rows).slice(0, SEEN);
  if (!rows.length) return ctx.log.keepStart(null);
  const mine = h("div", { class: "mine" }, list(ctx, rows, about, inWork(held.open.rows)));
  // The search has its place and is of no use before the app is there.
  if (search) Object.assign(search, { hidden: false, inert: true });
  const home = h("div", { class: "home" }, search, mine);
  const { node } = shell({ title: FIRST.title, body: [home], ...deckOf(ctx, held) });
  const [tag, set, ...inside] = treeOf(node);
  return ctx.log.keepStart([tag, { ...set, "data-last": "" }, ...inside]);
}
