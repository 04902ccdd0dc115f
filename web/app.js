/* Wires the page: routes to screens, where the focus goes, drawing again when a job changed elsewhere, the start of
   sync, worker and model.

   A route is #/job/words...?query, or #/words... where no job is meant. Screens get a context (context.js) and give
   back {title, node, focus, fresh}; they never touch each other. This is the only module that knows them all. */

import { roomBy } from "./book/base.js";
import { access } from "./book/device.js";
import { carriesJob, takeOut } from "./book/fragment.js";
import { isId } from "./book/ids.js";
import "./book/install.js";
import "./book/lengths.js";
import { look, peek } from "./book/snapshot.js";
import { listen } from "./book/tabs.js";
import { keepApp, keepShopPages, startApp } from "./book/update.js";
import { context, hasUnsaved, leave } from "./context.js";
import { groups, need } from "./context/groups.js";
import { drawFrame, drawRail, onWidth, watchNotices, watchShop } from "./frame.js";
import { COPY } from "./model/place.js";
import { atRest, h, rested } from "./parts/dom.js";
import { showHand } from "./parts/hand.js";
import { keepScroll } from "./parts/shell.js";
import { laterStyles } from "./parts/style.js";
import { jobsScreen, putStartBy } from "./screens/jobs.js";
import { named } from "./work/this-device.js";

/** @import { Here } from "./context.js" */
/** @import { Snapshot } from "./book/snapshot.js" */
/** @import { JobContext, Route, Shown } from "./types/context.d.ts" */

/** @typedef {(ctx: JobContext) => Shown | null} Screen What draws; null where the address names nothing it has. */
/** @typedef {{ [word: string]: Screen | undefined }} Screens */
/**
 * @typedef {[table: Screens, word: string, from: () => Promise<Screen>, groups?: ("files" | "pc")[]]} Later A screen
 *   that is fetched.
 */

/** Screens of a job, by the first word of the route; its list where nothing fits. @type {Screens} */
const SCREENS = Object.create(null);
/** Screens without a job; the jobs where nothing fits. @type {Screens} */
const PLACES = Object.create(null);
/** The way to the first plan, its beginning first: fetched as soon as the list of jobs stands, so that no reading
 * waits for it.
 * @type {Later[]} */
const WAY = [
  [PLACES, "new", async () => (await import("./screens/target.js")).target],
  [SCREENS, "target", async () => (await import("./screens/target.js")).target],
  [SCREENS, "read", async () => (await import("./screens/reading.js")).reading],
  [SCREENS, "ask", async () => (await import("./screens/ask.js")).ask],
  [SCREENS, "plan", async () => (await import("./screens/plan.js")).plan],
];
/** What the list of jobs, the frame and every other screen ask for by themselves: fetched with the way to the plan, so
   that it is here by then. */
const PARTS = [
  () => import("./screens/jobs-foot.js"),
  () => import("./context/rest.js"),
  () => import("./shop/server.js"),
  () => import("./screens/jobs-cards.js"),
  () => import("./book/remake.js"),
  () => import("./book/outbox.js"),
  () => import("./model/solver.js"),
  () => import("./parts/shop-mark.js"),
  () => import("./work/shop-mark.js"),
];
/** Screens seldom seen first: fetched once the page stands, so that it stands sooner, with the groups of the context
   that they need. They join the tables above.
 * @type {Later[]} */
const LATER = [
  [SCREENS, "about", async () => (await import("./screens/about.js")).about],
  [SCREENS, "add", async () => (await import("./screens/add.js")).add],
  [SCREENS, "axle", () => otherAxle()],
  [SCREENS, "assumed", async () => (await import("./screens/assumed.js")).assumed],
  [SCREENS, "close", async () => (await import("./screens/close.js")).close],
  [SCREENS, "cross", async () => (await import("./screens/target-cross.js")).crossAmount],
  [SCREENS, "gauge", async () => (await import("./screens/gauge.js")).gauge],
  [SCREENS, "ground", async () => (await import("./screens/ground.js")).ground],
  [SCREENS, "known", async () => (await import("./screens/known.js")).known],
  [SCREENS, "layout", async () => (await import("./screens/layout.js")).layout],
  [SCREENS, "list", async () => (await import("./screens/list.js")).list],
  [SCREENS, "move", async () => (await import("./screens/move.js")).move],
  [SCREENS, "pose", async () => (await import("./screens/pose.js")).pose],
  [SCREENS, "propped", async () => (await import("./screens/propped.js")).propped],
  [SCREENS, "recheck", async () => (await import("./screens/recheck.js")).recheck],
  [SCREENS, "share", async () => (await import("./screens/share.js")).share, ["files"]],
  [SCREENS, "teardown", async () => (await import("./screens/teardown.js")).teardown],
  [SCREENS, "zero", async () => (await import("./screens/zero.js")).zero],
  [PLACES, "again", async () => (await import("./screens/again.js")).again, ["pc"]],
  [PLACES, "cross", async () => (await import("./screens/target-cross.js")).crossAmount],
  [PLACES, "link", async () => (await import("./screens/open.js")).open, ["files"]],
  [PLACES, "open", async () => (await import("./screens/open.js")).open, ["files"]],
  [PLACES, "pair", async () => (await import("./screens/pair.js")).pair],
  [PLACES, "refused", async () => (await import("./screens/refused.js")).refused, ["files"]],
  [PLACES, "settings", async () => (await import("./screens/settings.js")).settings, ["files"]],
];

/** Screens that the shop's PC uses and a phone seldom: fetched when first wanted, or once the shop is known.
 * @type {Later[]} */
const SHOP = [
  [SCREENS, "sheet", async () => (await import("./screens/shop/sheet.js")).sheet, ["files", "pc"]],
  [PLACES, "car", async () => (await import("./screens/shop/car.js")).car, ["files", "pc"]],
  [PLACES, "desk", async () => (await import("./screens/shop/desk.js")).desk, ["files", "pc"]],
  [PLACES, "devices", async () => (await import("./screens/shop/devices.js")).devices, ["files", "pc"]],
  [PLACES, "erase", async () => (await import("./screens/shop/erase.js")).erase, ["files", "pc"]],
  [PLACES, "export", async () => (await import("./screens/shop/export.js")).exporting, ["files", "pc"]],
  [PLACES, "moved", async () => (await import("./screens/shop/moved.js")).moved, ["files", "pc"]],
  [PLACES, "shop", async () => (await import("./screens/shop/shop.js")).shop, ["files", "pc"]],
  [PLACES, "table", async () => (await import("./screens/shop/table.js")).table, ["files", "pc"]],
  [SCREENS, "whatif", async () => (await import("./screens/shop/what-if.js")).whatIf, ["files", "pc"]],
];

/** Screens of a shop, which a public copy of the app has not: their addresses lead nowhere there. */
const OF_SHOP = ["car", "devices", "erase", "export", "link", "moved", "pair", "refused", "shop", "table"];

/** How long what is not the first screen waits for it. */
const PATIENCE_MS = 4000;
/** A part of the page that index.html has. */
const place = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
let turns = 0;
let drawn = "";
/** Hears whether a job is shown, once sync is here.
 * @type {(shown: boolean) => void} */
let jobShown = () => {};
/** @type {{ route: Here, ctx: JobContext, shown: Shown } | null} */
let current = null;

/**
 * The address of a route.
 * @param {string} job
 * @param {Route} route
 */
function hrefOf(job, { words, query = {} }) {
  const search = new URLSearchParams(/** @type {{ [name: string]: string }} */ (query)).toString();
  return `#/${[job, ...words].filter(Boolean).map(encodeURIComponent).join("/")}${search ? `?${search}` : ""}`;
}

/** A word of an address; half an escape stays as it is, and names nothing.
 * @param {string} word */
function decoded(word) {
  try {
    return decodeURIComponent(word);
  } catch {
    return word;
  }
}

/**
 * The route of the page's address.
 * @returns {Here}
 */
function parsed() {
  takeOut();
  if (carriesJob(location.hash)) return { job: "", words: ["open"], query: {} };
  const [path, search = ""] = location.hash.replace(/^#\/?/, "").split("?");
  const words = path.split("/").filter(Boolean).map(decoded);
  const query = Object.fromEntries(new URLSearchParams(search));
  if (isId(words[0])) return { job: words.shift() ?? "", words, query };
  if (words[0] && !known(PLACES, words[0])) return { job: "", words: [], query: { lost: "1" } };
  return { job: "", words, query };
}

/**
 * Show another address.
 * @param {string} address
 * @param {boolean} replace
 */
function moveTo(address, replace) {
  if (replace) history.replaceState(null, "", address);
  else if (address !== location.hash) history.pushState(null, "", address);
  render();
}

/** Where the eye and the finger were: how far down, what had the focus, which parts were open. What it gives back puts
 * all that back, and says whether the focus has a place still. */
function spot() {
  const main = place("main");
  const inside = () => /** @type {HTMLElement[]} */ ([...main.querySelectorAll("a, button, input, summary, h1")]);
  const name = (/** @type {Element} */ e) =>
    e.id || `${e.getAttribute("href") ?? ""} ${e.getAttribute("aria-label") ?? e.textContent}`;
  const top = scrollY;
  const parts = keepScroll(main);
  const active = document.activeElement;
  const focused = active && main.contains(active) ? name(active) : null;
  const open = [...main.querySelectorAll("details[open] > summary")].map(name);
  return () => {
    for (const summary of main.querySelectorAll("details > summary"))
      /** @type {HTMLDetailsElement} */ (summary.parentElement).open ||= open.includes(name(summary));
    const same = inside().find((e) => name(e) === focused);
    same?.focus({ preventScroll: true });
    scrollTo(0, top);
    parts();
    return focused === null || same !== undefined;
  };
}

/**
 * The table that has a route's screen, and the screen's name there.
 * @param {Here} route
 * @returns {[Screens, string]}
 */
function seat({ job, words: [word] }) {
  if (!job) return [PLACES, word];
  return [SCREENS, known(SCREENS, word) ? word : "list"];
}

/**
 * The screen of that name that has still to be fetched; undefined where it is here, or there is none.
 * @param {Screens} table
 * @param {string} name
 */
const toFetch = (table, name) =>
  table[name] ? undefined : [...WAY, ...LATER, ...SHOP].find((one) => one[0] === table && one[1] === name);

/**
 * Whether there is a screen of that name.
 * @param {Screens} table
 * @param {string} name
 */
const known = (table, name) =>
  Boolean(table[name] || toFetch(table, name)) && !(COPY !== null && table === PLACES && OF_SHOP.includes(name));

/**
 * Fetch one of the later screens, where it is not here yet.
 * @param {Later} later
 */
async function fetchScreen([table, name, from, groups = []]) {
  const [screen] = await Promise.all([table[name] ?? from(), need("rest", ...groups), laterStyles()]);
  table[name] = screen;
}

/** The screen of a job's other axle, and those that stand below its address, each given that axle. */
async function otherAxle() {
  const [{ there }, { INSIDE }, { ofBoth }, { axle }] = await Promise.all([
    import("./context/there.js"),
    import("./work/there.js"),
    import("./work/weighing.js"),
    import("./screens/axle.js"),
  ]);
  await Promise.all(INSIDE.map((name) => toFetch(SCREENS, name)).map((later) => later && fetchScreen(later)));
  return (/** @type {JobContext} */ ctx) => {
    const [, name] = ctx.words;
    return !name || !ofBoth(ctx.sheet)
      ? axle(ctx)
      : INSIDE.includes(name)
        ? (SCREENS[name]?.(there(ctx)) ?? null)
        : null;
  };
}

/**
 * Put a screen into the page. Call what is returned once all is drawn: then it stands at its beginning, or where the
 * start page was scrolled to as it was drawn last (visit.js).
 * @param {Node} node
 */
function put(node) {
  const main = place("main");
  const last = main.querySelector(":scope > [data-last]") && document.body.dataset.screen === "start";
  const stay = last ? keepScroll(main) : () => scrollTo(0, 0);
  main.replaceChildren(node);
  return stay;
}

/**
 * Draw a route's screen; `again` where it stands already, so that nothing moves under a finger.
 * @param {Here} route
 * @param {Snapshot | null} found the job as it is
 * @param {boolean} [again]
 */
function draw(route, found, again = false) {
  const restore = again ? spot() : null;
  leave(location.hash);
  const given = context(route, found, {
    hrefOf,
    move: moveTo,
    redraw: () => atRest(() => current?.route === route && draw(route, peek(route.job) ?? found, true)),
  });
  // Where a job is meant, it was found before anything is drawn.
  const ctx = /** @type {JobContext} */ (given);
  const [table, name] = seat(route);
  const shown = (table[name] ?? jobsScreen)(ctx);
  // An address that names nothing leads to where all there is can be found.
  if (!shown) return moveTo(hrefOf(route.job, { words: route.job ? ["list"] : [] }), true);
  current = { route, ctx, shown };
  document.title = route.job ? `${shown.title}: ${ctx.sheet.title}` : shown.title;
  document.body.dataset.screen = route.words[0] ?? (route.job ? "list" : "start");
  const stay = put(shown.node);
  // From here on the page is the app's own, and no longer what stood in it for somebody new.
  delete document.documentElement.dataset.visit;
  drawFrame(ctx, route.words, shown.bar);
  document.body.dataset.at = location.hash;
  jobShown(Boolean(route.job));
  if (restore?.()) return undefined;
  if (!restore) stay();
  return toStart(shown);
}

/** Put the focus where a screen starts: what it asks for, else its title. @param {Shown} shown */
function toStart({ focus, node }) {
  const start = focus ?? node.querySelector("h1");
  if (!focus) start?.setAttribute("tabindex", "-1");
  start?.focus({ preventScroll: true });
}

/**
 * Nothing could be worked out from the log: say so; the entries are safe.
 * @param {{ detail?: string, message?: string }} error
 */
function trouble(error) {
  current = null;
  place("main").replaceChildren(
    h(
      "section",
      { class: "refused", role: "alert" },
      h("h1", { text: "This cannot be shown now" }),
      h("p", { text: `${error.detail ?? error.message}. ${named("Everything entered is kept on {here}.")}` }),
      h("button", { type: "button", class: "key main", onclick: () => location.reload() }, "Load the page again"),
      h("a", { class: "key", href: "#/settings" }, "Settings and export"),
    ),
  );
}

/**
 * A job as it is on this device; where it is not, it is looked for where else it may be. What is said where it is not
 * found: "gone", or "away" where the shop may have it and cannot be reached.
 * @param {string} job
 * @returns {Promise<Snapshot | "gone" | "away">}
 */
async function lookFor(job) {
  const found = await look(job);
  if (found.entries.length) return found;
  try {
    const { to, away } = await (await import("./shop/pc/find-job.js")).findJob(job, location.href);
    // The page goes; nothing is drawn any more.
    if (to) return await new Promise(() => location.replace(to));
    const now = away ? null : await look(job);
    return now?.entries.length ? now : away ? "away" : "gone";
  } catch {
    return "gone";
  }
}

/**
 * A job that was looked up already, and is here.
 * @param {string} job
 */
function atHand(job) {
  const found = peek(job);
  return found?.entries.length ? found : null;
}

/** Show the page's address, once all it needs is here. */
async function render() {
  const turn = (turns += 1);
  const route = parsed();
  drawn = location.href;
  /** @type {Snapshot | "gone" | "away" | null} */
  let found = route.job ? atHand(route.job) : null;
  const [table, name] = seat(route);
  const lacking = toFetch(table, name);
  if ((route.job && !found) || lacking) {
    if (!current) place("main").replaceChildren(h("p", { class: "working", role: "status", text: "Opening the job" }));
    try {
      if (lacking) await fetchScreen(lacking);
      if (route.job) found = await lookFor(route.job);
    } catch (error) {
      return turn === turns ? trouble(/** @type {Error} */ (error)) : undefined;
    }
    if (turn !== turns) return undefined;
  }
  if (typeof found === "string") Object.assign(route, { job: "", words: [], query: { [found]: "1" } });
  // The start page as it was drawn last can be used already.
  if (document.querySelector("main > [data-last]")) await rested();
  return turn === turns ? draw(route, typeof found === "string" ? null : found) : undefined;
}

// A tapped link fires both events, a back button the first only: one move of the address, one drawing.
const moved = () => location.href !== drawn && render();
addEventListener("popstate", moved);
addEventListener("hashchange", moved);
addEventListener("pageshow", (event) => event.persisted && render());
onWidth(() => current && drawRail(current.ctx, current.route.words));

// Another page, or the shop, added to the job that is shown. Where something is typed the question stays as it is.
listen(async (message, elsewhere) => {
  const job = current?.route.job;
  if (message.what !== "entries" || !job || !message.jobs.includes(job) || !(elsewhere || message.came === "shop"))
    return;
  const turn = turns;
  const found = await look(job).catch(() => null);
  if (!found || turn !== turns || !current) return;
  const { route } = current;
  if (!current.shown.fresh) atRest(() => current?.route === route && draw(route, peek(job) ?? found, true));
  else {
    current.shown.fresh();
    drawRail(current.ctx, current.route.words);
  }
});

/** Keep in step with the shop, which the first screen stands without; let in the browser that the shop's PC opened. */
async function startShop() {
  try {
    const [{ startSync }, { letIn }, news] = await Promise.all([
      import("./shop/pace.js"),
      import("./shop/pairing.js"),
      import("./shop/news.js"),
    ]);
    startSync();
    watchShop().catch(() => {});
    ({ jobShown } = news);
    jobShown(Boolean(current?.route.job));
    // Where it cannot be let in (a code that was used, no server), the page says that it is not paired.
    letIn().catch(() => {});
  } catch {
    // The network went before they came.
    addEventListener("online", startShop, { once: true });
  }
}

/** Photos come after all else: they are sent behind the records, and make room for them. */
async function startPhotos() {
  roomBy(async () => (await import("./book/photos.js")).freed());
  if (COPY === null) (await import("./shop/photos.js")).startPhotos();
}

/** The rest of a large book, after all else: only where there is nothing to do. */
async function startRest() {
  if (COPY === null) (await import("./shop/fetch-rest.js")).startRest({ atWork: () => Boolean(current?.route.job) });
}

/** The start page is put by for the next start whenever a card changes while another screen is shown. */
function watchCards() {
  let asked = false;
  listen(({ what }) => {
    if (what !== "cards" || !current?.route.job || asked) return;
    asked = true;
    (globalThis.requestIdleCallback ?? setTimeout)(async () => {
      asked = false;
      if (current) await putStartBy(current.ctx).catch(() => {});
    });
  });
}

/** Once the page stands, fetch the screen that its main key leads to, the rest of the way to the plan, interpreter and
    model, then the other screens, and have all of it kept, so that nothing needs a network later. One after the other:
    a hundred files at once would hold up the one that somebody waits for. */
async function fetchAll() {
  const [first, ...rest] = WAY;
  await fetchScreen(first).catch(() => {});
  await Promise.allSettled([...rest.map(fetchScreen), ...PARTS.map((part) => part())]);
  await import("./model/solver.js").then(({ warm }) => warm()).catch(() => {});
  await Promise.allSettled(LATER.map(fetchScreen));
  startPhotos().catch(() => {});
  startRest().catch(() => {});
  keepApp();
  // Who has a job may want any of its screens, the printed sheet too, where there is no network.
  if (COPY !== null || (await access().catch(() => null)) || (await groups.log.jobs().catch(() => [])).length)
    keepShopPages();
}

document.querySelector(".skip")?.addEventListener("click", (event) => {
  event.preventDefault();
  place("main").focus();
});
watchNotices();
watchCards();
showHand();
// Nothing is in the way of the first screen; what takes long there does not hold up the rest for ever.
const stands = render().then(() => current?.shown.stands);
const stood = Promise.race([stands, new Promise((done) => setTimeout(done, PATIENCE_MS))]).catch(() => {});
stood.then(() => {
  startApp({ hasUnsaved });
  if (COPY === null) startShop();
  (globalThis.requestIdleCallback ?? setTimeout)(fetchAll);
});
// A phone that has just been paired belongs to a shop.
listen((message) => message.what === "access" && keepShopPages());
