/* What stands around a screen: the bar at the top, the rail on a PC, word of an update or of another tab in the way,
   and the mark of a simulated season. */

import { watchBase } from "./book/base.js";
import { access } from "./book/device.js";
import { watchSimulated } from "./shop/server.js";
import { listen } from "./book/tabs.js";
import { acceptUpdate, watchApp } from "./book/update.js";
import { undoable } from "./context.js";
import { carBar } from "./parts/car-bar.js";
import { h } from "./parts/dom.js";
import { steps } from "./work/guide.js";
import { book } from "./screens/list.js";

const WIDE = matchMedia("(min-width: 68rem)");
const place = (id) => document.getElementById(id);

const goBack = (ctx) => (history.length > 1 ? history.back() : ctx.go({ words: [] }, { job: "" }));
const back = (ctx) =>
  h("button", { type: "button", class: "key flat", "aria-label": "Back", onclick: () => goBack(ctx) }, "‹");
const flat = (label, href) => h("a", { class: "key flat", href }, label);

const PAGES = [["Jobs", "table"], ["Shop", "shop"], ["Devices", "devices"], ["Settings", "settings"]]; // prettier-ignore

/** How many questions there are to settle, as last heard of, and when the shop was asked last. */
let toSettle = 0;
let asked = -Infinity;
const ASK_MS = 60_000;
const settling = (way) => {
  way.hidden = !toSettle;
  way.textContent = `To settle: ${toSettle}`;
};

/** The way to the desk, where there is something to settle; the shop is asked now and then, on a wide window alone. */
function deskWay() {
  const way = h("a", { class: "key flat", href: "#/desk" });
  settling(way);
  if (!WIDE.matches || performance.now() - asked < ASK_MS) return way;
  asked = performance.now();
  access().then(async (held) => {
    if (!held) return;
    toSettle = await (await import("./shop/pc/unsettled.js")).roughly();
    settling(document.querySelector(".ways [href='#/desk']") ?? way);
  }).catch(() => {}); // prettier-ignore
  return way;
}
listen((message) => ["entries", "marks"].includes(message.what) && (asked = -Infinity));

/** Pages of the shop's PC; seen on a wide window only. */
const ways = (ctx, words) =>
  h(
    "nav",
    { class: "ways", "aria-label": "Pages" },
    words[0] === "desk" && !ctx.job ? null : deskWay(),
    PAGES.map(([label, word]) =>
      h(
        "a",
        { class: "key flat", href: `#/${word}`, "aria-current": !ctx.job && words[0] === word ? "page" : null },
        label,
      ),
    ),
  );

/** Strike what was saved last; only as long as the screen after it is shown. */
function undo(ctx) {
  const offer = undoable(ctx.job);
  return offer
    ? h(
        "button",
        { type: "button", class: "key flat undo", "aria-label": `Undo: ${offer.said}`, onclick: offer.run },
        "Undo",
      )
    : null;
}

/** Back, the job's name and how far it is, what can be undone, and the way to everything read. */
function bar(ctx, words) {
  if (!ctx.job) {
    const name = h(
      words.length ? "a" : "div",
      { class: "name", href: words.length ? "#/" : null },
      h("strong", { text: "Bothends" }),
    );
    return h(
      "div",
      { class: "bar" },
      words.length ? back(ctx) : null,
      name,
      words[0] === "settings" ? null : h("a", { class: "key flat narrow", href: "#/settings" }, "Settings"),
      ways(ctx, words),
    );
  }
  const all = steps(ctx.sheet);
  const here = all.findIndex((step) => step.words.join() === words.join());
  const way = here >= 0 && Object.keys(ctx.query).length === 0 ? `${here + 1} of ${all.length}` : "";
  return h(
    "div",
    { class: "bar" },
    back(ctx),
    h(
      "a",
      { class: "name", href: "#/", title: "All jobs" },
      h("strong", { text: ctx.sheet.title || "Car without a name" }),
      h("span", { text: [undoable(ctx.job) ? "saved" : "", way].filter(Boolean).join(", ") }),
    ),
    undo(ctx),
    words[0] === "list" ? null : flat("Read so far", ctx.href({ words: ["list"] })),
    ["about", "ask", "close", "plan", "pose", "read", "share"].includes(words[0])
      ? null
      : flat("Plan", ctx.href({ words: ["plan"] })),
    ways(ctx, words),
  );
}

/**
 * The bar above a screen in rows (parts/shell.js): back, the car, the log.
 * @param {any} ctx
 * @param {string[]} words
 * @returns {HTMLElement}
 */
function shortBar(ctx, words) {
  const list = words[0] === "list";
  const far = ctx.job || words.length > 0;
  const settings = { words: "Settings", href: "#/settings" };
  const to = (/** @type {string} */ name, /** @type {string} */ word) => ({
    words: name,
    href: ctx.href({ words: [word] }),
  });
  const log = list ? to("Plan", "plan") : to("Log", "list");
  return carBar({
    back: far ? () => goBack(ctx) : null,
    name: ctx.job ? ctx.sheet.title || "Car without a name" : "Bothends",
    href: ctx.job ? ctx.href({ words: ["about"] }) : far ? "#/" : null,
    title: ctx.job ? "Car, owner, request" : far ? "All jobs" : undefined,
    to: ctx.job ? log : words[0] === "settings" ? null : settings,
    more: ways(ctx, words),
  });
}

/** On a wide window, everything read beside the question; keeps its place while questions change. */
export function drawRail(ctx, words) {
  const rail = place("rail");
  const was = rail.hidden;
  rail.hidden = !ctx.job || words[0] === "list" || !WIDE.matches;
  // On a phone it never stands; asking how far it is scrolled would lay the page out for nothing.
  if (was && rail.hidden) return;
  const scrolled = rail.scrollTop;
  const key = (label, to) => h("a", { class: "key", href: ctx.href({ words: [to] }) }, label);
  const shown = () => [
    h(
      "div",
      { class: "keys" },
      key("Plan", "plan"),
      key("Read something else", "add"),
      key("Try other bars or loads", "whatif"),
    ),
    ...book(ctx).filter(Boolean),
  ];
  rail.replaceChildren(...(rail.hidden ? [] : shown()));
  rail.scrollTop = scrolled;
}

/** Draw the frame of a screen. */
export function drawFrame(ctx, words) {
  const rows = place("main").querySelector(".shell");
  place("top").replaceChildren(rows ? shortBar(ctx, words) : bar(ctx, words));
  drawRail(ctx, words);
}

// Only the rail comes and goes with the width: what is being typed stays as it is.
export const onWidth = (listener) => WIDE.addEventListener("change", listener);

/** Word of another tab in the way and of a new version, above the question. */
export function watchNotices() {
  const notice = h("p", { class: "notice", role: "alert" });
  const held = h("p", { role: "status" });
  const update = h(
    "div",
    { class: "notice update", hidden: true },
    h("p", { text: "A newer version of this app is here. Nothing that was saved changes." }),
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
  (globalThis.requestIdleCallback ?? setTimeout)(() => {
    watchSimulated((on) => {
      mark.hidden = !on;
      document.body.toggleAttribute("data-simulated", on);
    }).catch(() => {});
  });
  watchBase((found) => (notice.textContent = found?.text ?? ""));
  watchApp(({ update: found }) => {
    update.hidden = !found;
    held.textContent = found?.held ?? "";
  });
}
