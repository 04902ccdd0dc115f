/* The truth about what is where: how much is on this phone only, whether the shop answers, what it refused. One line
   for the first screen, a block for the settings; each keeps itself up to date as long as its screen is shown. */

import { h } from "./dom.js";
import { counted } from "../work/plural.js";
import { named } from "../work/this-device.js";

/** @import { Status } from "../shop/pace.js" */
/** @import { Context } from "../types/context.d.ts" */
/** @import { Counts } from "../types/log.d.ts" */

/** What is where. @typedef {{ status: Status, all: Counts, paired: unknown, since: number | null }} Found */

const OLD_MS = 3 * 24 * 3600 * 1000;

const SAID = {
  alone: "Not paired with a shop. Everything stays on {here}.",
  copy: "A public copy of the app, with no shop behind it. Everything stays on {here} until you send it yourself.",
  working: "Syncing…",
  never: "Not synced yet.",
  now: "Sync now",
  pair: "Pair with a shop",
  again: "Pair again",
  trust: "How to trust the certificate",
  old: (/** @type {string} */ when) => `Oldest change not synced: ${when}. Sync it, or export the data on {here}.`,
};

/**
 * "just now", "5 min ago", "3 hours ago", "2 days ago".
 * @param {number} ms
 * @param {number} [now]
 * @returns {string}
 */
export function ago(ms, now = Date.now()) {
  const minutes = Math.max(0, (now - ms) / 60_000);
  if (minutes < 1.5) return "just now";
  if (minutes < 90) return `${Math.round(minutes)} min ago`;
  if (minutes < 48 * 60) return counted(Math.round(minutes / 60), "{n} hour ago", "{n} hours ago");
  return counted(Math.round(minutes / 1440), "{n} day ago", "{n} days ago");
}

/**
 * What to say of the shop, from the status of the sync.
 * @param {Pick<Status, "state" | "code" | "text" | "ok_at">} status
 * @returns {string}
 */
export function shopWords({ state, code, text, ok_at: last }) {
  if (code === "not-paired") return named(SAID.alone);
  if (state === "working") return SAID.working;
  if (text) return last ? `${text} Last synced ${ago(last)}.` : text;
  return last ? `Synced ${ago(last)}.` : SAID.never;
}

/**
 * What a person can do about it, as keys.
 * @param {Context} ctx
 * @param {Found} found
 * @param {(label: string, href: string) => HTMLElement} key
 */
function choicesOf(ctx, { status, all, paired }, key) {
  if (ctx.device.copy) return [];
  const again = status.code === "key-refused" || status.code === "not-allowed";
  const pair = !paired ? key(SAID.pair, "#/pair") : again ? key(SAID.again, "#/pair") : null;
  const keys = [
    pair ?? h("button", { type: "button", class: "key", onclick: ctx.shop.syncNow }, SAID.now),
    status.code === "no-answer" && location.protocol === "https:" ? key(SAID.trust, ctx.shop.helpPage()) : null,
    all.refused ? key(counted(all.refused, "See {n} refused change", "See {n} refused changes"), "#/refused") : null,
  ];
  return keys.filter((one) => one !== null);
}

/**
 * Follow what is where: draws now and after every change.
 * @param {Context} ctx
 * @param {(found: Found) => void} draw
 */
function follow(ctx, draw) {
  /** @type {Status | null} */
  let status = null;
  async function look() {
    const [all, paired, since] = await Promise.all([
      ctx.log.counts(),
      ctx.device.access(),
      ctx.log.waitingSince(),
    ]).catch(() => [null, null, null]);
    if (all && status) draw({ status, all, paired, since: since ? Date.parse(since) : null });
  }
  const watch = (/** @type {Status} */ now) => {
    status = now;
    look();
  };
  ctx.whileShown(ctx.shop.watchSync(watch));
  ctx.whileShown(ctx.log.listen((message) => ["entries", "marks", "access"].includes(message.what) && look()));
}

/** Words of what has waited too long, where the phone has a shop. */
const oldWords = (/** @type {Found} */ { all, since, paired }) =>
  paired && all.waiting && since && Date.now() - since > OLD_MS ? named(SAID.old(ago(since))) : "";

const link = (/** @type {string} */ label, /** @type {string} */ href) => h("a", { class: "key", href }, label);

/**
 * The block: counts, the shop's state, the clock, and keys for what a person can do about it.
 * @param {Context} ctx
 * @returns {HTMLElement}
 */
export function shopState(ctx) {
  const count = h("p", { class: "count" });
  const shop = h("p", { class: "shop", role: "status" });
  const clock = h("p", { class: "clock" });
  const old = h("p", { class: "clock" });
  const choices = h("div", { class: "keys" });
  follow(ctx, (found) => {
    const { status, all, paired } = found;
    const held = counted(all.waiting + all.refused + all.shop, "{n} record on {here}.", "{n} records on {here}.");
    const waits = counted(all.waiting, "{n} change not synced.", "{n} changes not synced.");
    count.textContent = paired && all.waiting ? `${named(held)} ${waits}` : named(held);
    shop.textContent = ctx.device.copy ? named(SAID.copy) : shopWords(status);
    clock.textContent = status.clock ?? "";
    old.textContent = oldWords(found);
    choices.replaceChildren(...choicesOf(ctx, found, link));
  });
  return h("section", { class: "state", "aria-label": "What is where" }, count, shop, clock, old, choices);
}

/**
 * The same in one line, for the foot of the first screen.
 * @param {Context} ctx
 * @returns {HTMLElement}
 */
export function shopLine(ctx) {
  const words = h("p", { class: "shop", role: "status" });
  const more = h("p", { class: "clock" });
  const choices = h("span", { class: "shop-keys" });
  follow(ctx, (found) => {
    words.textContent = ctx.device.copy ? named(SAID.copy) : shopWords(found.status);
    more.textContent = [found.status.clock, oldWords(found)].filter(Boolean).join(" ");
    choices.replaceChildren(...choicesOf(ctx, found, link));
  });
  return h("section", { class: "shop-line", "aria-label": "What is where" }, words, choices, more);
}
