/* What a screen is given: its route, the sheet of its job, and the few things it may do.

   A screen is a function of this that gives back {title, node, focus, fresh}: `focus` the element to start at,
   `fresh()` called instead of drawing again when the job changed elsewhere (a screen on which something is typed gives
   one, so that nothing jumps under a finger). Writing goes through `save` only.

   - sheet, request {request, ids, stops}, stages, timeline: as in api/bothends/book/sheet/, fresh after every save.
   - entry(id): the whole entry, or null.
   - save([[kind, body], ...], {said}): true once it is on the disk; false where it was not kept: that is said above the
     question, what was typed stays. `said` names it for the undo that is then offered.
   - begin([[kind, body], ...]): a new job; its id, or null where it was not kept.
   - go(route, {job, replace}), href(route, job): routes are {words, query}. redraw(): the same screen again, in its
     place.
   - unsaved(fn): whether something typed here is not saved; no update reloads the page meanwhile.
   - log, address, device; drafts, news, shop and model once `need("rest")` resolved, which only the list of jobs has to
     ask for; files and pc once `need("files", "pc")` did: see context/groups.js.
   - whileShown(stop): called when the screen is left, for listeners and timers. */

import { NotKept } from "./book/base.js";
import { look, peek } from "./book/snapshot.js";
import { groups, need } from "./context/groups.js";

/** @import { Item } from "./types/log.d.ts" */
/** @import { Context, Refused, Route } from "./types/context.d.ts" */
/** @import { Snapshot } from "./book/snapshot.js" */

/** @typedef {{ job: string, words: string[], query: { [name: string]: string } }} Here The route that is shown. */
/**
 * @typedef {{ job: string, said: string, run: () => Promise<boolean>, address: string }} Undo A save that can be
 *   undone.
 */

/** @type {{ [kind: string]: string }} */
const SAID = {
  car: "answer",
  close: "hand-over",
  job: "car, owner and request",
  known: "known constants",
  move: "teeth turned",
  note: "note",
  photo: "photo",
  plan: "plan",
  reading: "reading",
  settle: "choice",
  step: "step",
  strike: "removal",
  target: "target",
};

/** @type {Undo | null} */
let offer = null;
/** @type {(Refused & { job: string }) | null} */
let refused = null;
/** @type {(() => boolean)[]} */
let questions = [];
/** @type {(() => void)[]} */
let stops = [];

/**
 * The save that can be undone on this screen, or null.
 * @param {string} job
 */
export const undoable = (job) => (offer?.job === job ? offer : null);

/** Whether something typed on this page is not saved. */
export const hasUnsaved = () => questions.some((question) => question());

/**
 * Before a screen is drawn: the one before it no longer listens. An offer to undo lasts for one address.
 * @param {string} address
 */
export function leave(address) {
  questions = [];
  for (const stop of stops.splice(0)) stop();
  if (offer?.address && offer.address !== address) offer = null;
  if (offer) offer.address = address;
}

/**
 * Say above the question what was not kept; "" clears it.
 * @param {string} text
 */
export function sayKept(text) {
  const place = document.getElementById("kept");
  if (place) place.textContent = text;
}

/**
 * Run something that keeps; where the phone did not keep it, say so and give `otherwise`.
 * @template T
 * @param {() => Promise<T>} work
 * @param {T | null} otherwise
 */
async function keeping(work, otherwise) {
  try {
    const out = await work();
    sayKept("");
    return out;
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    sayKept(error.message);
    return otherwise;
  }
}

/** The groups that come later, as they are when they are asked for. */
const LATER = Object.getOwnPropertyDescriptors({
  get drafts() {
    return /** @type {Context["drafts"]} */ (groups.rest?.drafts);
  },
  get files() {
    return /** @type {Context["files"]} */ (groups.files);
  },
  get model() {
    return /** @type {Context["model"]} */ (groups.rest?.model);
  },
  get news() {
    return /** @type {Context["news"]} */ (groups.rest?.news);
  },
  get pc() {
    return /** @type {Context["pc"]} */ (groups.pc);
  },
  get photos() {
    return /** @type {Context["photos"]} */ (groups.photos);
  },
  get shop() {
    return /** @type {Context["shop"]} */ (groups.rest?.shop);
  },
});

/**
 * The context of a route; `found` is the job's snapshot or null, `move(address, replace)` shows another address.
 * @param {Here} route
 * @param {Snapshot | null} found
 * @param {{ hrefOf: (job: string, route: Route) => string, move: (address: string, replace: boolean) => void,
 *   redraw: () => void }} page
 * @returns {Context}
 */
export function context(route, found, { hrefOf, move, redraw }) {
  let last = found;
  let busy = false;
  const now = () => (last = (route.job && peek(route.job)) || last);
  const go = (/** @type {Route} */ to, { job = route.job, replace = false } = {}) => move(hrefOf(job, to), replace);

  /**
   * @param {Item[]} items
   * @param {{ said?: string }} [how]
   */
  async function save(items, { said = SAID[items.at(-1)?.[0] ?? ""] } = {}) {
    // A second tap while the first is on its way to the disk is the same tap.
    if (busy) return false;
    busy = true;
    const made = await keeping(() => groups.log.append(route.job, items), null).finally(() => (busy = false));
    if (!made) return false;
    const back = { words: route.words, query: route.query };
    const run = async () => {
      const from = location.hash;
      /** @type {Item[]} */
      const strikes = made.map(({ id }) => /** @type {Item} */ (["strike", { entry: id }])).reverse();
      if (!(await keeping(() => groups.log.append(route.job, strikes), null))) return false;
      offer = null;
      await look(route.job).catch(() => {});
      // Who has gone elsewhere meanwhile is not fetched back.
      if (location.hash === from) go(back);
      return true;
    };
    offer = { job: route.job, said, run, address: "" };
    // Where the fold fails, the next screen says so; the entry is kept all the same.
    await look(route.job).catch(() => {});
    return true;
  }

  /** @type {Omit<Context, "drafts" | "files" | "model" | "news" | "pc" | "photos" | "shop">} */
  const given = {
    ...route,
    ...groups,
    need,
    sayKept,
    get sheet() {
      return now()?.sheet ?? null;
    },
    get request() {
      return now()?.request ?? null;
    },
    get stages() {
      return now()?.stages ?? [];
    },
    get timeline() {
      return now()?.timeline ?? [];
    },
    entry: (id) => now()?.entries.find((entry) => entry.id === id) ?? null,
    entries: () => now()?.entries ?? [],
    save,
    begin: async (items) => (await keeping(() => groups.log.begin(items), null))?.job ?? null,
    go,
    href: (to, job = route.job) => hrefOf(job, to),
    redraw,
    unsaved: (question) => questions.push(question),
    whileShown: (stop) => stops.push(stop),
    /** Whether a draft was kept; where not, that is said and the text stays on the screen. */
    kept(work) {
      try {
        work();
        sayKept("");
        return true;
      } catch (error) {
        if (!(error instanceof NotKept)) throw error;
        sayKept(error.message);
        return false;
      }
    },
    /** Remember what the solver refused and go to its field. */
    refuse(problem, to) {
      refused = { ...problem, job: route.job };
      go(to, { replace: true });
    },
    problemAt: (key) => (refused && refused.job === route.job && refused.key === key ? refused : null),
    solved(key) {
      if (refused?.key === key) refused = null;
    },
  };
  return Object.defineProperties(/** @type {Context} */ (given), LATER);
}
