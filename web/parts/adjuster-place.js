/* A place for a picture of an adjuster, or of where one of its readings is taken. The drawings are fetched when one is
   wanted: a job with splines alone never needs them. */

import { h } from "./dom.js";

/**
 * The place, drawn once the drawings are here.
 * @param {{ side?: "left" | "right" | null, of: string, label: string }} about `of`: its name in draw/adjuster.js
 * @returns {HTMLElement}
 */
export function adjusterPlace({ side, of, label }) {
  const place = h("div", { class: "live" });
  const draw = async () => {
    const { adjusterPicture } = await import("./draw/adjuster.js");
    const picture = adjusterPicture({ side: side ?? "left", of, label });
    if (picture) place.replaceChildren(picture);
  };
  draw().catch(() => {});
  return place;
}
