/* The photos in the Log: all of the job, and the key for one more of anything. */

import { h } from "../parts/dom.js";
import { photoKey } from "../parts/photo-key.js";
import { thumbs } from "../parts/photo-thumbs.js";

/** @import { JobContext } from "../types/context.d.ts" */

const SAID = { title: "Photos", key: "Take a photo" };

/**
 * @param {JobContext} ctx
 * @param {HTMLElement} place
 */
export function showPhotos(ctx, place) {
  const rows = ctx.sheet.photos;
  place.replaceChildren(
    h("h2", { text: SAID.title }),
    ...[thumbs(ctx, rows)].filter((node) => node !== null),
    photoKey(ctx, { shows: "other", teardown: ctx.sheet.teardowns }, { words: SAID.key, bare: true }),
  );
}
