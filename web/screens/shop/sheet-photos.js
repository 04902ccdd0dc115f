/* Photos on the back of the sheet: the newest two or three of marks and splines, for whoever opens the car next. A part
   of its own, whatever else stands on that side. */

import { h } from "../../parts/dom.js";
import { photoImage } from "../../parts/photo-show.js";
import { shortDate } from "../../work/dates.js";
import { forPaper, nameOf } from "../../work/photo-words.js";

/** @import { JobContext } from "../../types/context.d.ts" */
/** @import { PhotoRow } from "../../types/sheet.d.ts" */

/** @typedef {{ row: PhotoRow, image: HTMLImageElement | null }} Pictured */

/** Most photos on paper. */
const MOST = 3;
const SAID = {
  title: "Photos",
  lacks: "not here yet",
};

/**
 * The photos that go on paper, each drawn or null where it is neither here nor at the shop.
 * @param {JobContext} ctx
 * @returns {Promise<Pictured[]>}
 */
export async function paperPhotos(ctx) {
  const rows = forPaper(ctx.sheet.photos, MOST);
  if (!rows.length) return [];
  return Promise.all(
    rows.map(async (row) => {
      const image = await photoImage(ctx, row, nameOf(row));
      await image?.decode().catch(() => {});
      return { row, image };
    }),
  );
}

/** @param {Pictured} pictured */
function figure({ row, image }) {
  const words = [nameOf(row), shortDate(row.at), row.words, image ? "" : SAID.lacks].filter(Boolean).join(", ");
  return h("figure", null, image && /** @type {HTMLImageElement} */ (image.cloneNode()), h("figcaption", null, words));
}

/**
 * The block; null where there is none.
 * @param {Pictured[]} found
 */
export const photoBlock = (found) =>
  found.length
    ? h("section", { class: "sheet-photos" }, h("h3", { text: SAID.title }), h("div", null, found.map(figure)))
    : null;
