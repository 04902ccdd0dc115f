/* How a job looks in the list: car, target, stage, where it stands and where it goes on, in a few words. Made once
   after a fold, kept, and drawn as it is (screens/jobs-cards.js). Draws nothing. */

import { reminder } from "./due.js";
import { stagesOf } from "./flow.js";
import { standing } from "./standing.js";
import { targetWords } from "./target-words.js";

/** @import { Card } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

const SAID = {
  unnamed: "Car without a name",
  all: "All stages done",
  stage: (/** @type {number} */ n, /** @type {number} */ of, /** @type {string} */ name) =>
    `Stage ${n} of ${of}: ${name}`,
};

/** @param {{ title: string, car: string, owner: string }} about */
export const nameOf = ({ title, car, owner }) =>
  [title || car || SAID.unnamed, owner && !title.includes(owner) ? owner : ""].filter(Boolean).join(", ");

/**
 * For a search.
 * @param {{ title: string, car: string, owner: string, wish: string }} about
 */
export const textOf = ({ title, car, owner, wish }) => [title, car, owner, wish].join(" ").toLowerCase();

/**
 * The card of a job.
 * @param {Pick<Folded, "sheet" | "stages">} found
 * @returns {Card}
 */
export function cardOf(found) {
  const { sheet } = found;
  const { words, place, next, done } = standing(found);
  const all = stagesOf(found);
  const now = all.findIndex(({ state }) => state === "now");
  const at = now < 0 ? all.length : now;
  const about = { title: sheet.title, car: sheet.car_name, owner: sheet.owner, wish: sheet.wish };
  const name = nameOf(about);
  const hidden = sheet.about.hidden === true;
  return {
    name,
    target: targetWords(sheet.target) || sheet.wish,
    at,
    stages: all.map((stage) => stage.name),
    stage: at < all.length ? SAID.stage(at + 1, all.length, all[at].name) : SAID.all,
    stands: words,
    place,
    small: `${(sheet.car_name || name).split(/[ ,]/)[0]}, ${place}`,
    next: { words: next.words, query: { ...next.query } },
    done,
    due: done && !hidden ? reminder(found) : null,
    asks: hidden ? 0 : sheet.conflicts.length + sheet.unsure.length,
    text: textOf(about),
    erased: sheet.erased,
    hidden,
  };
}
