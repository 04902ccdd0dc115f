/* Who wrote what is shown: a place for the name, filled at once where the writer gave one, else once the shop, or this
   device, has told what the device is called. */

import { writerWords } from "../work/writer.js";
import { h } from "./dom.js";
import { named } from "../work/this-device.js";

/** @import { Context } from "../types/context.d.ts" */

/** @typedef {{ device: string, writer?: string | null }} Written what was written, or its row */

/** @param {Written} by */
const said = (by) => `, ${writerWords(by, (device) => device)}`;

/**
 * The place of a writer's name; empty until it is told.
 * @param {Written} by
 * @returns {HTMLElement}
 */
export const deviceName = ({ device, writer = null }) =>
  h("span", {
    class: "device",
    "data-device": device,
    "data-writer": writer,
    text: writer === null ? "" : said({ device, writer }),
  });

const SAID = {
  get mine() {
    return named("{here}");
  },
  other: (/** @type {string} */ device) => `another device (…${device.slice(-4)})`,
};

/**
 * name(device): as the shop calls it; without a shop this device is told from the others.
 * @param {Pick<Context, "device" | "need" | "pc">} ctx
 * @returns {Promise<(device: string) => string>}
 */
export async function namesOf(ctx) {
  if (await ctx.device.access()) {
    await ctx.need("pc");
    return ctx.pc.writers();
  }
  const mine = await ctx.device.deviceId();
  return (device) => (device === mine ? SAID.mine : SAID.other(device));
}

/**
 * Fill in the names inside a node. `alone`: nothing is said where this device, of no shop, wrote all of it.
 * @param {Pick<Context, "device" | "need" | "pc">} ctx
 * @param {HTMLElement} node
 * @param {{ alone?: boolean }} [how]
 */
export async function nameWriters(ctx, node, { alone = false } = {}) {
  const all = /** @type {NodeListOf<HTMLElement>} */ (node.querySelectorAll("[data-device]"));
  const places = [...all].filter(({ dataset }) => dataset.writer === undefined);
  if (!places.length) return;
  const [mine, held] = await Promise.all([ctx.device.deviceId(), ctx.device.access()]);
  if (alone && !held && places.length === all.length && places.every(({ dataset }) => dataset.device === mine)) return;
  const nameOf = await namesOf(ctx);
  for (const place of places) place.textContent = `, ${nameOf(place.dataset.device ?? "")}`;
}
