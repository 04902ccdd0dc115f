/* The start page as it was drawn last, kept where a script can read it at once: it stands before any module of the app,
   and long before the database, has come (visit.js draws it, and has the name of the place too). The jobs as they are
   take its place. Who writes it is screens/jobs-kept.js; an erasure takes it away with the card. */

/** @import { Tree } from "../types/log.d.ts" */

const PLACE = "bothends/start";

/** Keep it; null where there is nothing to see. @param {Tree | null} tree */
export function keepStart(tree) {
  try {
    if (tree) localStorage.setItem(PLACE, JSON.stringify(tree));
    else localStorage.removeItem(PLACE);
  } catch {
    // No room, or none allowed: then the page starts without it.
    dropStart();
  }
}

/** Let go of it: it has words that are no longer to be read, or another version drew it. */
export function dropStart() {
  try {
    globalThis.localStorage?.removeItem(PLACE);
  } catch {
    // Nothing was ever kept.
  }
}
