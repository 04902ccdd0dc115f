/* What stands around a screen: the bar at the top, the rail of a wide PC, word of an update or of another tab in the
   way, and the mark of a simulated season. */

import { watchBase } from "./book/base.js";
import { access } from "./book/device.js";
import { listen } from "./book/tabs.js";
import { acceptUpdate, watchApp } from "./book/update.js";
import { undoable } from "./context.js";
import { carBar } from "./parts/car-bar.js";
import { h } from "./parts/dom.js";
import { FIRST } from "./work/first-words.js";
import { counted } from "./work/plural.js";

/** @import { Context, JobContext, Shown } from "./types/context.d.ts" */

/** From here on the pages of the shop stand in the bar. Narrower, the first screen has them. */
const WAYS = matchMedia("(min-width: 64em)");
/** From here on everything read stands beside the question. */
const WIDE = matchMedia("(min-width: 90rem)");
/** A part of the page that index.html has. */
const place = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));

const goBack = (/** @type {Context} */ ctx) =>
  history.length > 1 ? history.back() : ctx.go({ words: [] }, { job: "" });

const PAGES = [
  ["Jobs", "table"],
  ["Shop statistics", "shop"],
  ["Devices", "devices"],
  ["Export", "export"],
  ["Settings", "settings"],
];
/** What the shop has to say while somebody works; it goes from bar to bar. */
const MARK = h("a", { class: "shop-mark", hidden: true });
const UNNAMED = "Car without a name";

/** How many conflicts there are to resolve, as last heard of, and when the shop was asked last. */
let unresolved = 0;
let asked = -Infinity;
const ASK_MS = 60_000;
const resolving = (/** @type {HTMLElement} */ way) => {
  way.hidden = !unresolved;
  way.textContent = counted(unresolved, "{n} conflict to resolve", "{n} conflicts to resolve");
};

/** The way to the desk, where there is something to resolve; the shop is asked now and then, on a wide window alone. */
function deskWay() {
  const way = h("a", { class: "way", href: "#/desk" });
  resolving(way);
  if (!WAYS.matches || performance.now() - asked < ASK_MS) return way;
  asked = performance.now();
  const look = async () => {
    if (!(await access())) return;
    unresolved = await (await import("./shop/pc/unsettled.js")).roughly();
    resolving(/** @type {HTMLElement | null} */ (document.querySelector(".ways [href='#/desk']")) ?? way);
  };
  look().catch(() => {});
  return way;
}
listen((message) => ["entries", "marks"].includes(message.what) && (asked = -Infinity));

/** Pages of the shop's PC; seen on a wide window only. */
const ways = (/** @type {Context} */ ctx, /** @type {string[]} */ words) =>
  h(
    "nav",
    { class: "ways", "aria-label": "Pages" },
    words[0] === "desk" && !ctx.job ? null : deskWay(),
    PAGES.filter(([, word]) => !ctx.device.copy || word === "settings").map(([label, word]) =>
      h("a", { class: "way", href: `#/${word}`, "aria-current": !ctx.job && words[0] === word ? "page" : null }, label),
    ),
  );

/**
 * The bar: back, the car (which leads to what is known about it), what can be undone, the log.
 * @param {JobContext} ctx
 * @param {string[]} words
 * @param {Shown["bar"]} [own] what stands in the car's place, where the screen says so
 * @returns {HTMLElement}
 */
function bar(ctx, words, own) {
  const far = Boolean(ctx.job) || words.length > 0;
  const to = (/** @type {string} */ name, /** @type {string} */ word) => ({
    words: name,
    href: ctx.href({ words: [word] }),
  });
  if (!ctx.job) {
    return carBar({
      back: far ? () => goBack(ctx) : null,
      name: FIRST.name,
      href: far ? "#/" : null,
      title: far ? "All jobs" : undefined,
      to: words[0] === "settings" ? null : { words: FIRST.settings, href: "#/settings", narrow: true },
      more: ways(ctx, words),
    });
  }
  const about = words[0] === "about";
  return carBar({
    back: () => goBack(ctx),
    name: ctx.sheet?.title || UNNAMED,
    href: about ? "#/" : ctx.href({ words: ["about"] }),
    title: about ? "All jobs" : "Car, owner and request",
    ...own,
    mark: MARK,
    saved: undoable(ctx.job),
    to: words[0] === "list" ? to("Plan", "plan") : to("Log", "list"),
    more: ways(ctx, words),
  });
}

/**
 * What others added to a job since its Log was last looked at on this device: a count at the way there, marks in the
 * rail. Nothing waits for it.
 * @param {JobContext} ctx
 */
async function markNews(ctx) {
  await ctx.need("rest");
  const [{ ids }, mine] = await Promise.all([ctx.news.arrivedIn(ctx.job), ctx.device.deviceId()]);
  if (!ctx.entries().some(({ id, device }) => ids.has(id) && device !== mine)) return;
  const { newsCount, newsOf } = await import("./work/news.js");
  const news = newsOf(ctx.entries(), ids, mine);
  const way = document.querySelector("#top .to");
  if (newsFor !== ctx || !news.length || !way || way.querySelector(".new-mark")) return;
  const mark = (/** @type {string} */ text) => h("b", { class: "new-mark", text });
  way.append(" ", mark(newsCount(news)));
  const rail = place("rail");
  for (const { id } of news) rail.querySelector(`[data-entry="${CSS.escape(id)}"] .what`)?.append(" ", mark("new"));
}
/** @type {JobContext | null} */
let newsFor = null;

/** @typedef {(ctx: JobContext) => HTMLElement[]} Rows */

/** What draws the rail, once it is here; and for what. */
/** @type {Rows | null} */
let railRows = null;
/** @type {JobContext | null} */
let railFor = null;

/**
 * On a wide PC, everything read beside the question, a line each; keeps its place while questions change.
 * @param {JobContext} ctx
 * @param {string[]} words
 */
export function drawRail(ctx, words) {
  const rail = place("rail");
  const was = rail.hidden;
  rail.hidden = !ctx.job || ["list", "sheet", "whatif"].includes(words[0]) || !WIDE.matches;
  railFor = rail.hidden ? null : ctx;
  // On a phone it never stands; asking how far it is scrolled would lay the page out for nothing.
  if (was && rail.hidden) return;
  if (!rail.hidden && !railRows) {
    fetchRail(ctx, words);
    return;
  }
  const scrolled = rail.scrollTop;
  rail.replaceChildren(...(railRows && !rail.hidden ? railRows(ctx) : []));
  rail.scrollTop = scrolled;
}

/**
 * Have what draws the rail, and draw it if it is still wanted.
 * @param {JobContext} ctx
 * @param {string[]} words
 */
async function fetchRail(ctx, words) {
  ({ railRows } = await import("./screens/list-rail.js").catch(() => ({ railRows: null })));
  if (railRows && railFor === ctx) drawRail(ctx, words);
}

/**
 * Draw the frame of a screen; `own` what it puts in the car's place in the bar.
 * @param {JobContext} ctx
 * @param {string[]} words
 * @param {Shown["bar"]} [own]
 */
export function drawFrame(ctx, words, own) {
  place("top").replaceChildren(bar(ctx, words, own));
  drawRail(ctx, words);
  newsFor = ctx.job && words.length && words[0] !== "list" ? ctx : null;
  if (newsFor) (globalThis.requestIdleCallback ?? setTimeout)(() => markNews(ctx).catch(() => {}));
}

/**
 * Only the rail comes and goes with the width: what is being typed stays as it is.
 * @param {() => void} listener
 */
export const onWidth = (listener) => WIDE.addEventListener("change", listener);

/** Word of another tab in the way and of a new version, above the question. */
export function watchNotices() {
  const notice = h("p", { class: "notice", role: "alert" });
  const held = h("p", { role: "status" });
  const update = h(
    "div",
    { class: "notice update", hidden: true },
    h("p", { text: "A new version is ready. Your data stays as it is." }),
    held,
    h("button", { type: "button", class: "key main", onclick: acceptUpdate }, "Update now"),
  );
  const mark = h(
    "p",
    { class: "simulated", role: "note", hidden: true },
    h("strong", { text: "Simulated season:" }),
    " cars and readings are invented.",
  );
  place("notices").replaceChildren(mark, notice, update);
  // Not before the page stands; where nobody answers, what was last known holds.
  const follow = async () => {
    const { watchSimulated } = await import("./shop/server.js");
    await watchSimulated((on) => {
      mark.hidden = !on;
      document.body.toggleAttribute("data-simulated", on);
    });
  };
  (globalThis.requestIdleCallback ?? setTimeout)(() => follow().catch(() => {}));
  watchBase((found) => (notice.textContent = found?.text ?? ""));
  watchApp(({ update: found }) => {
    update.hidden = !found;
    held.textContent = found?.held ?? "";
  });
}

/** Follow what the bar of a work screen says of the shop, once sync is here. */
export async function watchShop() {
  const [{ watchSync }, { counts }, { shopMark }, { showMark }] = await Promise.all([
    import("./shop/pace.js"),
    import("./book/outbox.js"),
    import("./work/shop-mark.js"),
    import("./parts/shop-mark.js"),
  ]);
  /** @type {import("./shop/pace.js").Status | null} */
  let status = null;
  /** @type {import("./work/shop-mark.js").Mark | null} */
  let mark = null;
  let turn = 0;
  async function look() {
    const mine = (turn += 1);
    const [all, held] = await Promise.all([counts(), access()]).catch(() => [null, null]);
    if (!all || !status || mine !== turn) return;
    mark = shopMark({ status, all, paired: Boolean(held), was: mark });
    showMark(MARK, mark);
  }
  watchSync((now) => {
    status = now;
    look();
  });
  listen((message) => ["entries", "marks", "access"].includes(message.what) && look());
}
