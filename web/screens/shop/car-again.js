/* A new job for a car, with what is known of it. */

import { h } from "../../parts/dom.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Item } from "../../types/log.d.ts" */
/** @import { CarFound } from "../../work/pc/car-local.js" */

const SAID = {
  title: "New job for this car",
  request: "Customer’s request",
  example: "Level it, 250 mm both sides",
  use: "Start from its earlier visits. Untick if bars, arms or bushes were changed.",
  barOnly: "Bar and arm are copied; nothing was learned.",
  nameOnly: "Only its name is known.",
  start: "Start job",
};

/** @param {Context} ctx @param {CarFound} found @returns {HTMLElement} */
export function anew(ctx, { car, owner, again }) {
  const { known } = again;
  const wish = h("input", {
    id: "again-wish",
    type: "text",
    maxlength: 400,
    autocomplete: "off",
    placeholder: SAID.example,
  });
  const use = known ? h("input", { id: "again-known", type: "checkbox", checked: true }) : null;
  /** @param {Event} event */
  const begin = async (event) => {
    event.preventDefault();
    const title = [car, owner].filter(Boolean).join(", ");
    const said = wish.value.trim();
    /** @type {any[]} */
    const items = [["job", { title, ...again.job, ...(said ? { wish: said } : {}) }]];
    if (Object.keys(again.car).length) items.push(["car", again.car]);
    if (known) items.push(["known", use?.checked ? known : { use: false, job: known.job }]);
    const job = await ctx.begin(/** @type {Item[]} */ (items));
    if (job) ctx.go({ words: ["target"] }, { job });
  };
  ctx.unsaved(() => wish.value.trim() !== "");
  return h(
    "details",
    { class: "again" },
    h("summary", { text: SAID.title }),
    h(
      "form",
      { class: "new", onsubmit: begin },
      h("label", { for: "again-wish", text: SAID.request }),
      wish,
      use
        ? h("label", { class: "key wide followup" }, use, h("span", { text: SAID.use }))
        : h("p", { class: "where", text: again.car.bar ? SAID.barOnly : SAID.nameOnly }),
      h("button", { class: "key main wide" }, SAID.start),
    ),
  );
}
