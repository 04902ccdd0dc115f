/* Who wrote what is shown: a place for the device's name, filled once the shop, or this device, has told it. */

import { h } from "./dom.js";

/** @import { JobContext } from "../types/context.d.ts" */

/**
 * The place of a device's name; empty until it is told.
 * @param {string} device
 * @returns {HTMLElement}
 */
export const deviceName = (device) => h("span", { class: "device", "data-device": device });

/**
 * Fill in the names inside a node. Without a shop a device is told from this one alone.
 * @param {JobContext} ctx
 * @param {HTMLElement} node
 */
export async function nameWriters(ctx, node) {
  const places = /** @type {NodeListOf<HTMLElement>} */ (node.querySelectorAll("[data-device]"));
  if (!places.length) return;
  await ctx.need("pc");
  const nameOf = await ctx.pc.writers();
  for (const place of places) place.textContent = `, ${nameOf(place.dataset.device ?? "")}`;
}
