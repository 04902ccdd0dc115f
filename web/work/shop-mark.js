/* What the bar of a work screen says of the shop: how much is not there yet, and that access has ended; nothing where
   all is well, and nothing where there is no shop. Decides and words; draws nothing. */

import { counted } from "./plural.js";
import { named } from "./this-device.js";

/** @import { Status } from "../shop/pace.js" */
/** @import { Counts } from "../types/log.d.ts" */

/**
 * `words` stand in the bar, `remedy` behind them where there is room, `more` is for those who listen; `href` leads to
 * where it can be mended.
 * @typedef {{ sign: "ended" | "refused" | "waits", words: string, remedy: string, more: string, href: string }} Mark
 */

const ENDED = ["key-refused", "not-allowed"];
const SAID = {
  ended: "Access ended",
  pair: "pair again",
  get kept() {
    return named("Pair {here} again on the shop’s code. Everything entered is kept here.");
  },
  refused: "See why, and what to do.",
  waits: "They go by themselves once the shop answers.",
};

/**
 * The mark for what is where, or null. A try that is under way changes nothing of what the last one said, so that the
 * mark does not come and go with every try; what has just been entered is on its way and no news.
 * @param {{ status: Pick<Status, "state" | "code" | "text">, all: Counts, paired: boolean, was?: Mark | null }} found
 *   `was` is what is said now
 * @returns {Mark | null}
 */
export function shopMark({ status, all, paired, was = null }) {
  if (!paired) return null;
  const trying = status.state === "working";
  const failed = ["waiting", "stopped"].includes(status.state);
  const before = trying ? was?.sign : null;
  if (before === "ended" || ENDED.includes(status.code ?? "")) return endedMark(all);
  if (all.waiting && (failed || before === "waits")) return waitsMark(all, failed ? status.text : "");
  return all.refused ? refusedMark(all) : null;
}

const waitsWords = (/** @type {number} */ n) => counted(n, "{n} not synced", "{n} not synced");

/** @param {Counts} all @returns {Mark} */
function endedMark({ waiting }) {
  const more = [`${SAID.ended}. ${SAID.kept}`, waiting ? `${waitsWords(waiting)}.` : ""].filter(Boolean).join(" ");
  return { sign: "ended", words: SAID.ended, remedy: SAID.pair, more, href: "#/pair" };
}

/** @param {Counts} all @param {string} why @returns {Mark} */
function waitsMark({ waiting }, why) {
  const words = waitsWords(waiting);
  const more = [`${words}.`, why, SAID.waits].filter(Boolean).join(" ");
  return { sign: "waits", words, remedy: "", more, href: "#/settings" };
}

/** @param {Counts} all @returns {Mark} */
function refusedMark({ refused }) {
  const words = counted(refused, "{n} refused", "{n} refused");
  return { sign: "refused", words, remedy: "", more: `${words} by the shop. ${SAID.refused}`, href: "#/refused" };
}
