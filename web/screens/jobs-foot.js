/* What stands below the jobs, small: the shop's state, its pages, the demo jobs of Slipway Garage. */

import { h } from "../parts/dom.js";
import { card as plateCard } from "../parts/plate.js";
import { shopLine } from "../parts/shop-state.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { DemoJob } from "../types/wire.d.ts" */

const DEMOS = "Try one from Slipway Garage";
/** Pages of a paired device, in the order of the bar of a PC. */
const PAGES = [
  ["Jobs table", "#/table"],
  ["Shop statistics", "#/shop"],
  ["Devices", "#/devices"],
  ["Import and export", "#/export"],
];

/**
 * One of the demo jobs.
 * @param {Context} ctx
 * @param {DemoJob} demo
 */
function offer(ctx, { title, request }) {
  const [name, wish = ""] = title.split(": ");
  const [, owner = "", car = ""] = /^(?:(.+)'s )?(.+)$/.exec(name) ?? [];
  const open = async () => {
    const job = await ctx.begin(
      ctx.shop.itemsOf(request, { title: [car, owner].filter(Boolean).join(", "), car, owner, wish }),
    );
    if (job) ctx.go({ words: ["plan"] }, { job });
  };
  const node = plateCard({ ontap: open }, h("strong", { text: name }), h("span", { text: wish }));
  return h("li", null, node);
}

/**
 * The parts below the work: how it stands with the shop, its pages, the note of an address that may change, the demo
 * jobs.
 * @param {Context} ctx with `rest`
 * @param {HTMLElement} promise what the browser says of keeping the data
 */
export function below(ctx, promise) {
  const pages = h(
    "nav",
    { class: "pages", "aria-label": "Pages of the shop", hidden: true },
    PAGES.map(([label, href]) => h("a", { class: "key", href }, label)),
  );
  const moving = h("div");
  const holding = h("div");
  const offered = h("section", { class: "demos", hidden: true });
  ctx.device
    .access()
    .then(async (held) => {
      pages.hidden = !held;
      if (!held) return;
      const [{ moveNote }, { holdingPart }] = await Promise.all([
        import("../parts/shop/move-address.js"),
        import("../parts/shop/holding.js"),
      ]);
      holding.append(holdingPart(ctx));
      const note = await moveNote(ctx, { once: true });
      if (note) moving.append(note);
    })
    .catch(() => {});
  ctx.shop.demos().then((found) => {
    if (!found?.length) return;
    offered.hidden = false;
    offered.append(
      h("h2", { text: DEMOS }),
      h(
        "ul",
        { class: "cards" },
        found.map((demo) => offer(ctx, demo)),
      ),
    );
  });
  return [holding, h("div", { class: "small-print" }, shopLine(ctx), promise), pages, moving, offered];
}
