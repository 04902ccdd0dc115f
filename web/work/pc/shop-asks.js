/* What the shop's statistics are narrowed to: as the address says it, as the server is asked, in words.
   Draws nothing. */

import { shortDate } from "../dates.js";
import { pathOf } from "./path-of.js";

/** @typedef {"since" | "until" | "by" | "car"} Name */
/** @typedef {Record<Name, string>} Asked */

/** @type {Name[]} */
const NAMES = ["since", "until", "by", "car"];
const SAID = {
  all: "All teardowns of the shop.",
  only: (/** @type {string} */ what) => `Only teardowns ${what}.`,
  /** @type {{ [name in Name]: (said: string) => string }} */
  words: {
    since: (said) => `from ${shortDate(said)}`,
    until: (said) => `until ${shortDate(said)}`,
    by: (said) => `entered by ${said}`,
    car: (said) => `of a ${said}`,
  },
};

/** What an address asks for; a day that is none is left out.
 * @param {{ [name: string]: string }} query @returns {Asked} */
export const asks = (query) =>
  /** @type {Asked} */ (
    Object.fromEntries(
      NAMES.map((name) => {
        const said = query[name] ?? "";
        const day = name === "since" || name === "until";
        return [name, day && !/^\d{4}-\d\d-\d\d$/.test(said) ? "" : said];
      }),
    )
  );

/** The same without what narrows nothing. @param {Asked} asked @returns {{ [name: string]: string }} */
export const addressOf = (asked) =>
  Object.fromEntries(NAMES.filter((name) => asked[name]).map((name) => [name, asked[name]]));

/** Where the figures come from. @param {Asked} asked */
export const pathTo = (asked) => pathOf("/api/history/calibration", asked);

/** Whether anything narrows them. @param {Asked} asked */
export const narrows = (asked) => NAMES.some((name) => asked[name]);

/** What they are of, in a sentence. @param {Asked} asked */
export const ofWhat = (asked) =>
  narrows(asked)
    ? SAID.only(
        NAMES.filter((name) => asked[name])
          .map((name) => SAID.words[name](asked[name]))
          .join(", "),
      )
    : SAID.all;
