/* Where this page is open under an address that may change: said once, with one tap to move the log to the shop's
   lasting address. To a browser another address is another app with an empty log, so the log goes along: in the
   address itself, or as a file where it is too much for one. Photos come from the shop there; those that it lacks are
   sent to it first, and go along in a file where that fails. Nothing is taken away here. */

import { h } from "../dom.js";
import { bareNumbers, betterThan } from "../../work/addresses.js";
import { movingWords } from "../../work/holding-words.js";
import { alongWords, leftWords } from "../../work/photo-words.js";

/** @import { Context } from "../../types/context.d.ts" */

const SAID = "bothends-address-said";
const SENDING = "Sending photos to the shop first…";
const tooLarge = (/** @type {string} */ name) => `The data is too large for an address. It was exported to ${name}: `;

/** Whether somebody has put the note away for this address; a browser without the store is told again. */
function said(set = false) {
  try {
    if (set) localStorage.setItem(SAID, location.origin);
    return localStorage.getItem(SAID) === location.origin;
  } catch {
    return false;
  }
}

/** Photos that the shop still lacks once it was offered them. @param {Context} ctx @param {HTMLElement} way */
async function unsent(ctx, way) {
  await ctx.need("photos");
  if (!(await ctx.photos.waiting())) return 0;
  way.textContent = SENDING;
  await ctx.shop.syncNow();
  await ctx.photos.send();
  return ctx.photos.waiting();
}

/**
 * The log with what the other side needs to go on: where it came from, this device's name, a code to pair it there.
 * @param {Context} ctx
 * @param {{ photos: boolean }} how
 */
async function packing(ctx, { photos }) {
  const [made, held, code] = await Promise.all([
    ctx.files.exported(null, undefined, { photos }),
    ctx.device.access(),
    ctx.pc.askShop("/api/pairing", { method: "POST" }),
  ]);
  const moving = { from: location.origin, name: held?.name ?? "", code: code.body?.code ?? "" };
  return { name: made.name, left: made.left, log: { ...JSON.parse(made.text), moving } };
}

/**
 * The address that carries the log; "" where it is too much for one.
 * @param {Context} ctx
 * @param {string} better
 * @param {object} log
 */
function addressOf(ctx, better, log) {
  try {
    return `${better}/${ctx.files.packLog(/** @type {any} */ (log))}`;
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "LinkError") throw error;
    return "";
  }
}

/** @param {unknown} error */
const wordsOf = (error) => (error instanceof Error ? error.message : String(error));

/**
 * The note, or null where there is nothing to say; `once` is for a screen that must not say it every day.
 * @param {Context} ctx
 * @param {{ once?: boolean }} [how]
 */
export async function moveNote(ctx, { once = false } = {}) {
  const bare = bareNumbers(location.href);
  if (once && (!bare || said())) return null;
  await ctx.need("files", "pc");
  const better = betterThan(location.href, await ctx.pc.told());
  if (!bare && !better) return null;
  const way = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const node = h("section", { class: "state moving", "aria-label": "The address of this page" });
  async function move() {
    wrong.textContent = "";
    try {
      // Where photos cannot be looked at, none were taken.
      const photos = await unsent(ctx, way).catch(() => 0);
      const { name, left, log } = await packing(ctx, { photos: photos > 0 });
      const address = photos ? "" : addressOf(ctx, better ?? "", log);
      if (address) return location.assign(address);
      ctx.files.download({ name, text: JSON.stringify(log) });
      way.replaceChildren(
        photos ? `${alongWords(photos)} It is ${name}: ` : tooLarge(name),
        h("a", { href: `${better}/#/moved` }, "open the new address"),
        " and choose the file.",
        leftWords(left) && ` ${leftWords(left)}`,
      );
    } catch (error) {
      wrong.textContent = `${wordsOf(error)} Nothing was moved.`;
    }
  }
  const part = better ? await ctx.shop.holding({ ask: false }) : null;
  const host = new URL(location.href).host;
  const there = better ? new URL(better).host : "";
  const where = bare
    ? `This page is open at ${host}, an address that may change.`
    : `The shop’s lasting address is ${there}; this page is open at ${host}.`;
  const advice = better
    ? `Continue at ${there}: your data comes along and stays here too. Photos come from the shop there; those that ` +
      "it lacks are sent to it first, or go along in a file."
    : "Once the shop’s server has a lasting name, it is offered here. Until then export your data now and then.";
  node.append(
    h("p", null, h("strong", { text: where })),
    h("p", { text: `In a browser each address has its own data. ${advice}` }),
    h("p", { text: part ? movingWords(part) : "", hidden: !part }),
    h(
      "div",
      { class: "keys" },
      better ? h("button", { type: "button", class: "key", onclick: move }, "Move to the new address") : null,
      once
        ? h(
            "button",
            {
              type: "button",
              class: "key",
              onclick: () => {
                said(true);
                node.remove();
              },
            },
            "Not now",
          )
        : null,
    ),
    way,
    wrong,
  );
  return node;
}
