/* How many of the shop's jobs this device holds, and the key that fetches the others; nothing where it holds all. */

import { h } from "../dom.js";
import { FETCH_ALL, holdingWords } from "../../work/holding-words.js";

/** @import { Context } from "../../types/context.d.ts" */

const RENEW_MS = 1000;

/**
 * The part, which renews itself as jobs come.
 * @param {Context} ctx with `rest`
 */
export function holdingPart(ctx) {
  const text = h("p", { role: "status" });
  const key = h("button", { type: "button", class: "key", onclick: () => fetchAll() }, FETCH_ALL);
  const node = h("div", { class: "holding", hidden: true }, text, h("div", { class: "keys" }, key));
  const look = async () => {
    const held = await ctx.shop.holding();
    node.hidden = !held;
    if (!held) return;
    text.textContent = holdingWords(held);
    key.hidden = held.asked;
  };
  async function fetchAll() {
    await ctx.shop.fetchRest();
    await look();
  }
  let timer = 0;
  const soon = () => {
    timer ||= setTimeout(() => {
      timer = 0;
      look().catch(() => {});
    }, RENEW_MS);
  };
  ctx.whileShown(
    ctx.log.listen((/** @type {{ what: string }} */ { what }) => ["entries", "marks"].includes(what) && soon()),
  );
  ctx.whileShown(() => clearTimeout(timer));
  look().catch(() => {});
  return node;
}
