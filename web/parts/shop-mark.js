/* The mark of the shop in the bar of a work screen: a sign and a few words that lead to where it can be mended. Told
   apart by form and words; one element that goes from bar to bar, so that a screen that is drawn anew says nothing
   twice. */

import { h, s, say } from "./dom.js";

/** @import { Mark } from "../work/shop-mark.js" */

/** A closed door, a cross, an arrow that waits below a line. @type {Record<Mark["sign"], string>} */
const DRAWN = {
  ended: "M4.5 4.5L15.5 15.5M10 1.5A8.5 8.5 0 1 0 10 18.5A8.5 8.5 0 1 0 10 1.5",
  refused: "M4 4L16 16M16 4L4 16",
  waits: "M2 2.5H18M10 18V7M5 12L10 7L15 12",
};

const sign = (/** @type {Mark["sign"]} */ name) =>
  s(
    "svg",
    { class: "icon shop-sign", viewBox: "0 0 20 20", width: 16, height: 16, "aria-hidden": "true" },
    s("path", { d: DRAWN[name] }),
  );

/** What each place says, so that nothing is said or drawn twice. @type {WeakMap<HTMLElement, string>} */
const saying = new WeakMap();

/**
 * Show a mark at its place, or nothing; what is new is spoken, politely.
 * @param {HTMLElement} place
 * @param {Mark | null} mark
 */
export function showMark(place, mark) {
  const before = saying.get(place) ?? "";
  const now = mark?.more ?? "";
  if (before === now) return;
  saying.set(place, now);
  place.hidden = !mark;
  if (!mark) {
    place.replaceChildren();
    return;
  }
  const { sign: name, words, remedy, more, href } = mark;
  place.setAttribute("href", href);
  place.setAttribute("aria-label", more);
  place.setAttribute("title", more);
  place.dataset.sign = name;
  place.replaceChildren(
    sign(name),
    h("span", { class: "shop-words" }, ...(remedy ? [`${words}: `, h("span", { text: remedy })] : [words])),
  );
  say(more);
}
