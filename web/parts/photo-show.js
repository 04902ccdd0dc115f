/* A photo put into its place; where it is neither here nor at the shop yet, that is said there. */

import { h } from "./dom.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { PhotoRow } from "../types/sheet.d.ts" */

const SAID = { lacks: "Photo not here yet" };

/**
 * A photo, drawn; null where it is neither here nor at the shop. What it takes is let go when the screen is left.
 * @param {JobContext} ctx
 * @param {PhotoRow} row
 * @param {string} alt
 * @returns {Promise<HTMLImageElement | null>}
 */
export async function photoImage(ctx, row, alt) {
  await ctx.need("photos");
  const blob = await ctx.photos.look(row.sha256).catch(() => null);
  if (!blob) return null;
  const src = URL.createObjectURL(blob);
  ctx.whileShown(() => URL.revokeObjectURL(src));
  return h("img", { src, alt, width: row.width, height: row.height, decoding: "async" });
}

/**
 * Put a photo into a place; what was put there is let go when the screen is left.
 * @param {JobContext} ctx
 * @param {PhotoRow} row
 * @param {HTMLElement} place
 * @param {string} [alt]
 * @returns {Promise<boolean>} whether it is there
 */
export async function showPhoto(ctx, row, place, alt = "") {
  const image = await photoImage(ctx, row, alt);
  if (!image) {
    place.replaceChildren(h("span", { class: "photo-lacks", text: SAID.lacks }));
    return false;
  }
  place.replaceChildren(image);
  // A picture that cannot be drawn is as good as none.
  await image.decode().catch(() => {});
  return true;
}
