/* Where this page is open under an address that may change: said once, with one tap to move the log to the shop's
   lasting address. To a browser another address is another app with an empty log, so the log goes along: in the address
   itself, or as a file where it is too much for one. Nothing is taken away here. */

import { h } from "../dom.js";
import { bareNumbers, betterThan } from "../../work/addresses.js";

/** @import { Context } from "../../types/context.d.ts" */

const SAID = "bothends-address-said";

/** Whether somebody has put the note away for this address; a browser without the store is told again. */
function said(set = false) {
  try {
    if (set) localStorage.setItem(SAID, location.origin);
    return localStorage.getItem(SAID) === location.origin;
  } catch {
    return false;
  }
}

/**
 * The log with what the other side needs to go on: where it came from, this device's name, a code to pair it there.
 * @param {Context} ctx
 */
async function packing(ctx) {
  const [made, held, code] = await Promise.all([
    ctx.files.exported(),
    ctx.device.access(),
    ctx.pc.askShop("/api/pairing", { method: "POST" }),
  ]);
  const moving = { from: location.origin, name: held?.name ?? "", code: code.body?.code ?? "" };
  return { name: made.name, log: { ...JSON.parse(made.text), moving } };
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
      const { name, log } = await packing(ctx);
      let address;
      try {
        address = `${better}/${ctx.files.packLog(log)}`;
      } catch (error) {
        if (!(error instanceof Error) || error.name !== "LinkError") throw error;
        ctx.files.download({ name, text: JSON.stringify(log) });
        way.replaceChildren(
          `The data is too large for an address. It was exported to ${name}: `,
          h("a", { href: `${better}/#/moved` }, "open the new address"),
          " and choose the file.",
        );
        return;
      }
      location.assign(address);
    } catch (error) {
      wrong.textContent = `${wordsOf(error)} Nothing was moved.`;
    }
  }
  const host = new URL(location.href).host;
  const there = better ? new URL(better).host : "";
  const where = bare
    ? `This page is open at ${host}, an address that may change.`
    : `The shop’s lasting address is ${there}; this page is open at ${host}.`;
  const advice = better
    ? `Continue at ${there}: your data comes along and stays here too. Photos do not: it fetches them from the shop. ` +
      "Sync here first, so that the shop has them all."
    : "Once the shop’s server has a lasting name, it is offered here. Until then export your data now and then.";
  node.append(
    h("p", null, h("strong", { text: where })),
    h("p", { text: `In a browser each address has its own data. ${advice}` }),
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
