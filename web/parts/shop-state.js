/* The truth about what is where: how many entries are on this phone only, whether the shop answers, what it refused.
   Parts for the first screen and the settings; each keeps itself up to date as long as its screen is shown. */

import { h } from "./dom.js";

/** @import { Status } from "../shop/pace.js" */
/** @import { Context } from "../types/context.d.ts" */

const OLD_MS = 3 * 24 * 3600 * 1000;

/**
 * "just now", "5 minutes ago", "3 hours ago", "2 days ago".
 * @param {number} ms
 * @param {number} [now]
 */
export function ago(ms, now = Date.now()) {
  const minutes = Math.max(0, (now - ms) / 60_000);
  if (minutes < 1.5) return "just now";
  if (minutes < 90) return `${Math.round(minutes)} minutes ago`;
  if (minutes < 48 * 60) return `${Math.round(minutes / 60)} hours ago`;
  return `${Math.round(minutes / 1440)} days ago`;
}

/**
 * What to say of the shop, from the status of the sync.
 * @param {Status} status
 */
export function shopWords({ state, code, text, ok_at }) {
  const last = ok_at ? ` Last in step ${ago(ok_at)}.` : "";
  if (code === "not-paired") return "Not paired with a shop: everything stays on this phone.";
  if (state === "working") return "Asking the shop.";
  if (text) return `${text}${last}`;
  return ok_at ? `In step with the shop ${ago(ok_at)}.` : "The shop has not been asked yet.";
}

/**
 * The block: counts, the shop's state, the clock, and keys for what a person can do about it.
 * @param {Context} ctx
 * @param {{ keys?: boolean }} [how]
 */
export function shopState(ctx, { keys = true } = {}) {
  const count = h("p", { class: "count" });
  const shop = h("p", { class: "shop", role: "status" });
  const clock = h("p", { class: "clock" });
  const old = h("p", { class: "clock" });
  const choices = h("div", { class: "keys" });
  /** @type {Status | null} */
  let status = null;

  async function draw() {
    const [all, paired, since] = await Promise.all([
      ctx.log.counts(),
      ctx.device.access(),
      ctx.log.waitingSince(),
    ]).catch(() => [null, null, null]);
    if (!all || !status) return;
    count.textContent = `Entries: ${ctx.log.inWords(all)}.`;
    shop.textContent = shopWords(status);
    clock.textContent = status.clock ?? "";
    const oldest = since ? Date.parse(since) : Date.now();
    old.textContent =
      all.waiting && Date.now() - oldest > OLD_MS
        ? `The oldest entry that is on this phone only was made ${ago(oldest)}. ` +
          "Let it reach the shop, or export the log."
        : "";
    const key = (/** @type {string} */ label, /** @type {string} */ href) => h("a", { class: "key", href }, label);
    const again = status.code === "key-refused" || status.code === "not-allowed";
    choices.replaceChildren(
      ...[
        !paired
          ? key("Pair with a shop", "#/pair")
          : again
            ? key("Pair again", "#/pair")
            : h("button", { type: "button", class: "key", onclick: ctx.shop.syncNow }, "Ask the shop now"),
        status.code === "no-answer" && location.protocol === "https:"
          ? key("How to trust the certificate", ctx.device.helpPage())
          : null,
        all.refused ? key(`See what was refused: ${all.refused}`, "#/refused") : null,
      ].filter((one) => one !== null),
    );
  }
  ctx.whileShown(ctx.shop.watchSync((now) => {
    status = now;
    draw();
  })); // prettier-ignore
  const heard = ctx.log.listen((message) => {
    if (["entries", "marks", "access"].includes(message.what)) draw();
  });
  ctx.whileShown(heard);
  return h(
    "section",
    { class: "state", "aria-label": "What is where" },
    count,
    shop,
    clock,
    old,
    keys ? choices : null,
  );
}
