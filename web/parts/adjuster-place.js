/* A place for a picture of an adjuster, or of where one of its readings is taken. The drawings are fetched when one is
   wanted: a job with splines alone never needs them. */

import { adjusterOf, seenOf } from "../work/adjuster.js";
import { h } from "./dom.js";

/** An eccentric at the bar's inner end is a cam on a lever, at the outer end it joins two plates. @param {string} of
 * @param {any} car */
const viewOf = (of, car) => (adjusterOf(car)?.end === "inner" ? of.replace(/^eccentric/, "cam") : of);

/**
 * The place, drawn once the drawings are here.
 * @param {{ side?: "left" | "right" | null, of: string, car: any, label: string }} about `of`: its name in
 *   draw/adjuster.js; `car` as the sheet has it, of the axle that is drawn
 * @returns {HTMLElement}
 */
export function adjusterPlace({ side, of, car, label }) {
  const place = h("div", { class: "live" });
  const draw = async () => {
    const { adjusterPicture } = await import("./draw/adjuster.js");
    const picture = adjusterPicture({ side: side ?? "left", of: viewOf(of, car), seen: seenOf(car), label });
    if (picture) place.replaceChildren(picture);
  };
  draw().catch(() => {});
  return place;
}
