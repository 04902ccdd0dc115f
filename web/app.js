/* Wires the page: routes to screens, the bar at the top, the rail on a PC, where the focus goes, what was refused.

   A route is #/job/words...?query. Screens get a context and give back {title, node, focus}; they never touch each
   other. This is the only module that knows them all. */

import { NotKept } from "./book/storage.js";
import { entries } from "./book/entries.js";
import { fold } from "./book/sheet.js";
import { loadBounds } from "./model/bounds.js";
import { warm } from "./model/solver.js";
import { h } from "./parts/dom.js";
import { add } from "./screens/add.js";
import { ask } from "./screens/ask.js";
import { steps } from "./screens/guide.js";
import { book, list } from "./screens/list.js";
import { move } from "./screens/move.js";
import { plan } from "./screens/plan.js";
import { pose } from "./screens/pose.js";
import { reading } from "./screens/reading.js";
import { start } from "./screens/start.js";

const SCREENS = { add, ask, list, move, plan, pose, read: reading };
const place = (id) => document.getElementById(id);
const WIDE = matchMedia("(min-width: 68rem)");
let refused = null;
let drawn = "";

/** The address of a route. */
const href = (job, { words, query = {} }) => {
  const search = new URLSearchParams(query).toString();
  return `#/${[job, ...words].map(encodeURIComponent).join("/")}${search ? `?${search}` : ""}`;
};

function parsed() {
  const [path, search = ""] = location.hash.replace(/^#\/?/, "").split("?");
  const [job = "", ...words] = path.split("/").filter(Boolean).map(decodeURIComponent);
  return { job, words, query: Object.fromEntries(new URLSearchParams(search)) };
}

/** Whether something was kept; where not, say so, and the text stays on the screen. */
function kept(work) {
  try {
    work();
    place("kept").textContent = "";
    return true;
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    place("kept").textContent = error.message;
    return false;
  }
}

function context(route) {
  const go = (to, { job = route.job, replace = false } = {}) => {
    const address = href(job, to);
    if (replace) history.replaceState(null, "", address);
    else if (address !== location.hash) history.pushState(null, "", address);
    render();
  };
  const reread = () => fold(entries(route.job));
  return {
    ...route,
    sheet: reread(),
    reread,
    go,
    kept,
    href: (to, job = route.job) => href(job, to),
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
}

/** Back, the job's name and how far it is, and the way to everything read. */
function bar(ctx, words) {
  if (!ctx.job) return h("div", { class: "bar" }, h("span", { class: "name" }, h("strong", { text: "Bothends" })));
  const all = steps(ctx.sheet);
  const here = all.findIndex((step) => step.words.join() === words.join());
  const way = here >= 0 && Object.keys(ctx.query).length === 0 ? `${here + 1} of ${all.length}` : "";
  return h(
    "div",
    { class: "bar" },
    h("button", { type: "button", class: "key flat", "aria-label": "Back", onclick: () => (history.length > 1 ? history.back() : ctx.go({ words: [] }, { job: "" })) }, "‹"),
    h("a", { class: "name", href: "#/", title: "All jobs" }, h("strong", { text: ctx.sheet.title }), h("span", { text: way })),
    words[0] === "list" ? null : h("a", { class: "key flat", href: ctx.href({ words: ["list"] }) }, "Read so far"),
    ["plan", "ask", "read", "pose"].includes(words[0]) ? null : h("a", { class: "key flat", href: ctx.href({ words: ["plan"] }) }, "Plan"),
  );
}

/** On a wide window, everything read beside the question; keeps its place while questions change. */
function drawRail(ctx, known, words) {
  const rail = place("rail");
  const scrolled = rail.scrollTop;
  rail.hidden = !known || words[0] === "list" || !WIDE.matches;
  const key = (label, to) => h("a", { class: "key", href: ctx.href({ words: [to] }) }, label);
  const shown = () => [h("div", { class: "keys" }, key("Plan", "plan"), key("Read something else", "add")), ...book(ctx).filter(Boolean)];
  rail.replaceChildren(...(rail.hidden ? [] : shown()));
  rail.scrollTop = scrolled;
}

function render() {
  drawn = location.href;
  const route = parsed();
  const known = route.job && entries(route.job).length > 0;
  if (route.job && !known) Object.assign(route, { job: "", words: [] });
  const ctx = context(route);
  const shown = (known ? SCREENS[route.words[0]]?.(ctx) ?? list(ctx) : null) ?? start(ctx);
  const words = known ? route.words : [];
  document.title = known ? `${shown.title}: ${ctx.sheet.title}` : "Bothends";
  document.body.dataset.screen = words[0] ?? "start";
  place("top").replaceChildren(bar(ctx, words));
  place("main").replaceChildren(shown.node);
  drawRail(ctx, known, words);
  scrollTo(0, 0);
  const focus = shown.focus ?? shown.node.querySelector("h1");
  if (!shown.focus) focus?.setAttribute("tabindex", "-1");
  focus?.focus({ preventScroll: true });
}

// A tapped link fires both events, a back button the first only: one move of the address, one drawing.
const moved = () => location.href !== drawn && render();
addEventListener("popstate", moved);
addEventListener("hashchange", moved);
// Only the rail comes and goes with the width: what is being typed stays as it is.
WIDE.addEventListener("change", () => {
  const { job, words, query } = parsed();
  drawRail(context({ job, words, query }), entries(job).length > 0, words);
});
document.querySelector(".skip").addEventListener("click", (event) => {
  event.preventDefault();
  place("main").focus();
});
loadBounds();
render();
// Once the page stands, fetch interpreter and model, so that a plan needs no network later.
(globalThis.requestIdleCallback ?? setTimeout)(() => warm().catch(() => {}));
