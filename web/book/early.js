/* The first cards are read before the other modules of the app are here: index.html names this module before it, and
   it runs as soon as what it needs has come, so the database answers while the rest is on its way. Who comes for the
   first time, or means another address, has no use for it.

   What it read may be older than what another page wrote meanwhile; the list is read again once its cards stand. */

import { shelves } from "./shelf.js";

/** Cards that are drawn of a shelf at first. */
export const FEW = 40;
/** What is not folded. */
const OPEN = { open: FEW, closed: 0, hidden: 0 };

const { dataset } = document.documentElement;
/** @type {ReturnType<typeof shelves> | null} */
let read = ["", "#", "#/"].includes(location.hash) && dataset.visit !== "first" ? shelves(OPEN) : null;
read?.catch(() => {});

/** The open jobs and how many others there are, as they were when the page was opened; afterwards as they are. */
export function firstShelves() {
  const found = read ?? shelves(OPEN);
  read = null;
  return found;
}
