/* The line under the bar: the chance so far and what the reading on the screen would make it. The whole line is a key
   to the plan. While it is worked out again the old figure stays, dimmed. */

import { h } from "./dom.js";
import { inHundred } from "../work/numbers.js";
import { rack } from "./rack.js";

/** A gain below this, of 1, is none that anyone would see. */
const LEAST_GAIN = 0.02;

const bare = (/** @type {number} */ odds) => inHundred(odds).replace(" in 100", "");

/**
 * What the line says, from chances of 0 to 1 or null.
 * @param {{chance: number | null, with?: number | null, again?: boolean}} now `again` where the same place was read
 * before
 * @returns {string}
 */
export function runningWords({ chance, with: after, again = false }) {
  const more = again ? "once more" : "this";
  const none = after === null || after === undefined;
  if (chance === null) return none ? "No reading yet" : `No reading yet: with ${more} ${bare(after)}`;
  if (none) return inHundred(chance);
  if (after - chance < LEAST_GAIN) return `${inHundred(chance)}: ${more} hardly ${again ? "helps" : "changes it"}`;
  return `${inHundred(chance)}, with ${more} ${bare(after)}`;
}

/**
 * The running line.
 * @param {{chance: number | null, with?: number | null, again?: boolean, computing?: boolean, href: string}} what
 * @returns {{node: HTMLElement, show: (now: {chance?: number | null, with?: number | null, again?: boolean,
 *   computing?: boolean}) => void}}
 */
export function runningLine({ href, ...what }) {
  let now = what;
  const words = h("span", { class: "words" });
  const teeth = rack({ ...what, heard: false });
  const node = h("a", { class: "run", href }, words, h("span", { class: "go" }, "Plan"), teeth.node);
  const show = (/** @type {any} */ next) => {
    now = { ...now, ...next };
    words.textContent = runningWords(now);
    teeth.show(now);
    node.classList.toggle("computing", Boolean(now.computing));
    node.setAttribute("aria-busy", now.computing ? "true" : "false");
  };
  show({});
  return { node, show };
}
