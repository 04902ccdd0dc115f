/* What an address can carry in its fragment, told apart without what unpacks it: a job, the whole log, a pairing code
   (for a phone, or for this very PC's browser), a link's token. Owns taking all but the job out of the address, so that
   they stay neither in it nor in the way back. */

/** @typedef {keyof typeof SCREENS} Taken What is taken out of an address. */

/** What stands before the job in a link. */
export const MARK = "#job=";
/** What stands before a whole log that moves to another address. */
export const LOG_MARK = "#log=";

/**
 * Whether an address carries a job.
 * @param {string} hash
 */
export const carriesJob = (hash) => hash.startsWith(MARK);

const TAKEN = /^#(pair|here|link|log)=(.*)$/s;
const SCREENS = { pair: "#/pair", here: "#/", link: "#/link", log: "#/moved" };
/** @type {{ [what in Taken]?: string }} */
const held = {};

/** Take a code, a token or a log out of the address, which then names the screen that is meant. */
export function takeOut() {
  const found = TAKEN.exec(location.hash);
  if (!found) return;
  const what = /** @type {Taken} */ (found[1]);
  const text = found[2];
  held[what] = text;
  // A page loaded again asks again: whether a link was revoked meanwhile is then known.
  if (what === "link") tabStore((store) => store.setItem("bothends-link", text));
  history.replaceState(null, "", SCREENS[what]);
}

/**
 * What came, "" where nothing did. A link's token outlasts loading the page again.
 * @param {Taken} what
 */
export const cameIn = (what) =>
  held[what] ?? (what === "link" ? tabStore((store) => store.getItem("bothends-link")) : null) ?? "";

/**
 * Forget what came, once it has been used.
 * @param {Taken} what
 */
export function letGo(what) {
  delete held[what];
  if (what === "link") tabStore((store) => store.removeItem("bothends-link"));
}

/**
 * The tab's own short memory, where the browser has one.
 * @template T
 * @param {(store: Storage) => T} work
 */
function tabStore(work) {
  try {
    return work(sessionStorage);
  } catch {
    return null;
  }
}
