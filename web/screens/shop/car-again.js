/* The way to a new job for a car, with what is known of it. */

import { h } from "../../parts/dom.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { CarFound } from "../../work/pc/car-local.js" */

const SAID = "New job for this car";

/** @param {Context} ctx @param {CarFound} found @returns {HTMLElement} */
export const anew = (ctx, { car_key: key }) =>
  h("a", { class: "key wide again", href: ctx.href({ words: ["again"], query: { key } }, ""), text: SAID });
