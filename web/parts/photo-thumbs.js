/* Photos as small pictures; a tap shows one whole, with its words. A photo is fetched once it comes into view. */

import { h } from "./dom.js";
import { showPhoto } from "./photo-show.js";
import { useStyle } from "./style.js";
import { nameOf } from "../work/photo-words.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { PhotoRow } from "../types/sheet.d.ts" */

const SAID = {
  wait: "…",
  list: "Photos",
};

/**
 * A row of them; null where there are none.
 * @param {JobContext} ctx
 * @param {PhotoRow[]} rows
 * @returns {HTMLElement | null}
 */
export function thumbs(ctx, rows) {
  if (!rows.length) return null;
  useStyle("photo", "style");
  const seen = new IntersectionObserver((found) => {
    for (const { isIntersecting, target } of found) {
      const row = rows[keys.indexOf(/** @type {HTMLButtonElement} */ (target))];
      if (!isIntersecting || !row) continue;
      seen.unobserve(target);
      showPhoto(ctx, row, /** @type {HTMLElement} */ (target));
    }
  });
  const open = async (/** @type {PhotoRow} */ row) => (await import("./photo-view.js")).viewPhoto(ctx, row);
  const keys = rows.map((row) =>
    h(
      "button",
      {
        type: "button",
        class: "photo-thumb",
        "aria-label": [nameOf(row), row.words].filter(Boolean).join(": "),
        onclick: () => open(row),
      },
      h("span", { class: "photo-lacks", text: SAID.wait }),
    ),
  );
  for (const key of keys) seen.observe(key);
  ctx.whileShown(() => seen.disconnect());
  return h("div", { class: "photo-thumbs", role: "group", "aria-label": SAID.list }, keys);
}
