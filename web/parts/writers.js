/* Who wrote what is shown: a place for the device's name, filled once the shop, or this device, has told it. */

import { h } from "./dom.js";

/** @import { Context } from "../types/context.d.ts" */

/**
 * The place of a device's name; empty until it is told.
 * @param {string} device
 * @returns {HTMLElement}
 */
export const deviceName = (device) => h("span", { class: "device", "data-device": device });

const SAID = {
  mine: "this device",
  other: (/** @type {string} */ device) => `another device (…${device.slice(-4)})`,
};

/**
 * name(device): as the shop calls it; without a shop this device is told from the others.
 * @param {Pick<Context, "device" | "need" | "pc">} ctx
 * @returns {Promise<(device: string) => string>}
 */
async function namesOf(ctx) {
  if (await ctx.device.access()) {
    await ctx.need("pc");
    return ctx.pc.writers();
  }
  const mine = await ctx.device.deviceId();
  return (device) => (device === mine ? SAID.mine : SAID.other(device));
}

/**
 * Fill in the names inside a node.
 * @param {Pick<Context, "device" | "need" | "pc">} ctx
 * @param {HTMLElement} node
 */
export async function nameWriters(ctx, node) {
  const places = /** @type {NodeListOf<HTMLElement>} */ (node.querySelectorAll("[data-device]"));
  if (!places.length) return;
  const nameOf = await namesOf(ctx);
  for (const place of places) place.textContent = `, ${nameOf(place.dataset.device ?? "")}`;
}
