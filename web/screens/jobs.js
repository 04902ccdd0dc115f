/* The first screen: the jobs on this phone as large cards, a new one, a search when there are many, and the demo jobs of
   Slipway Garage when the server offers them. */

import { h, say } from "../parts/dom.js";
import { shopState } from "../parts/shop-state.js";
import { standing } from "../work/standing.js";

/** From so many jobs on there is a search. */
const MANY = 7;

/** What has not reached the shop, or "". */
function unsent({ waiting = 0, refused = 0 } = {}) {
  return [
    waiting ? `${waiting} ${waiting === 1 ? "entry" : "entries"} on this phone only` : "",
    refused ? `${refused} refused` : "",
  ]
    .filter(Boolean)
    .join(", ");
}

function card(ctx, job, counts) {
  const all = ctx.log.peek(job);
  const { sheet } = all;
  const { words, next } = standing(all);
  const name = [
    sheet.title || sheet.car_name || "Car without a name",
    sheet.owner && !sheet.title.includes(sheet.owner) ? sheet.owner : "",
  ]
    .filter(Boolean)
    .join(", ");
  const left = unsent(counts);
  return h(
    "li",
    null,
    h(
      "a",
      { class: "key wide entry job", href: ctx.href(next, job), "data-job": job },
      h("strong", { text: name }),
      sheet.wish ? h("span", { class: "wanted-words", text: sheet.wish }) : null,
      h("span", { class: "stands", text: words }),
      left ? h("span", { class: "left-here", text: left }) : null,
    ),
  );
}

function offer(ctx, { title, request }) {
  const [name, wish = ""] = title.split(": ");
  const [, owner = "", car] = /^(?:(.+)'s )?(.+)$/.exec(name);
  const open = async () => {
    const job = await ctx.begin(
      ctx.log.itemsOf(request, { title: [car, owner].filter(Boolean).join(", "), car, owner, wish }),
    );
    if (job) ctx.go({ words: ["plan"] }, { job });
  };
  return h(
    "li",
    null,
    h(
      "button",
      { type: "button", class: "key wide entry", onclick: open },
      h("strong", { text: name }),
      h("span", { text: wish }),
    ),
  );
}

/** The cards, those in hand before those handed over, as far as the search goes. */
function shelf(ctx, list, counts, search) {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const known = list.filter(ctx.log.peek);
  const text = (job) => {
    const { sheet } = ctx.log.peek(job);
    return [sheet.title, sheet.car_name, sheet.owner, sheet.wish].join(" ").toLowerCase();
  };
  const found = known.filter((job) => words.every((word) => text(job).includes(word)));
  const open = found.filter((job) => !ctx.log.peek(job).sheet.closed);
  const closed = found.filter((job) => ctx.log.peek(job).sheet.closed);
  const cards = (some) =>
    h(
      "ul",
      null,
      some.map((job) => card(ctx, job, counts.get(job))),
    );
  return [
    known.length < list.length
      ? h("p", { class: "working", text: `Reading the log: ${known.length} of ${list.length} jobs` })
      : null,
    open.length ? h("section", null, h("h2", { text: "In hand" }), cards(open)) : null,
    closed.length ? h("section", null, h("h2", { text: "Handed over" }), cards(closed)) : null,
    list.length && !found.length && known.length === list.length
      ? h("p", { text: `No job on this phone has “${search}” in its car, owner or wish.` })
      : null,
  ].filter(Boolean);
}

/** The screen. */
export function jobsScreen(ctx) {
  const gone = ctx.query.gone
    ? h("p", {
        class: "refused",
        role: "alert",
        text: "That job is not on this phone. Open its link, or pair with the shop that has it.",
      })
    : null;
  const offered = h("section", { class: "demos", hidden: true });
  const mine = h("div", { class: "mine" });
  const input = h("input", { id: "search", type: "search", autocomplete: "off", maxlength: 60, placeholder: "Gannet" });
  const search = h(
    "div",
    { class: "new", hidden: true },
    h("label", { for: "search", text: "Find by car, owner or wish" }),
    input,
  );
  let list = [];
  let counts = new Map();
  const show = () => mine.replaceChildren(...shelf(ctx, list, counts, input.value));
  // Asked once there is something to keep; a browser that promises is not mentioned.
  const promise = h("p", { class: "where promise", hidden: true });
  const asked = async () => {
    const { kept, text } = await ctx.device.askToKeep();
    promise.hidden = kept === true;
    promise.textContent = text;
  };
  let once = null;
  // Entries that do not agree: counted once every card stands.
  const settle = h("a", { class: "key wide unsettled", href: "#/desk", hidden: true });
  const draw = async () => {
    [list, counts] = await Promise.all([ctx.log.jobs(), ctx.log.countsByJob()]);
    search.hidden = list.length < MANY;
    if (list.length) once ??= asked().catch(() => {});
    await ctx.log.lookAll(list, show);
    show();
    const open = new Set((await ctx.log.disputed()).filter((row) => !row.settled).map(({ id }) => id));
    const much = list.reduce((sum, job) => sum + (ctx.log.peek(job)?.sheet.conflicts.length ?? 0), open.size);
    settle.hidden = !much;
    settle.textContent = `${much === 1 ? "One question" : `${much} questions`} to settle: entries that do not agree`;
  };
  const told = (error) =>
    mine.replaceChildren(
      h("p", { class: "refused", role: "alert", text: `${error.detail ?? error.message} What was entered is kept.` }),
    );
  draw().catch(told);
  input.addEventListener("input", () => {
    show();
    say(`${mine.querySelectorAll(".job").length} found`);
  });
  ctx.whileShown(ctx.log.listen((message) => ["entries", "marks"].includes(message.what) && draw().catch(told)));
  ctx.shop.demos().then((found) => {
    if (!found?.length) return;
    offered.hidden = false;
    offered.append(
      h("h2", { text: "Try one from Slipway Garage" }),
      h(
        "ul",
        null,
        found.map((demo) => offer(ctx, demo)),
      ),
    );
  });
  // A device of a shop sees the whole shop; a wide window has the same ways at its top.
  const shop = h(
    "div",
    { class: "keys", hidden: true },
    h("a", { class: "key", href: "#/table" }, "All jobs in a table"),
    h("a", { class: "key", href: "#/shop" }, "The shop’s figures"),
    h("a", { class: "key", href: "#/devices" }, "Devices"),
  );
  const moving = h("div");
  ctx.device.access().then((held) => {
    shop.hidden = !held;
    if (held) import("../parts/shop/move-address.js").then(({ moveNote }) => moveNote(ctx, { once: true })).then((note) => note && moving.append(note), () => {});
  }, () => {}); // prettier-ignore
  return {
    title: "Bothends",
    node: h(
      "div",
      { class: "start" },
      h("h1", null, "Both ends of the bar"),
      gone,
      h("p", { class: "where", text: "From the first reading to a level car, in as few teardowns as can be." }),
      h("a", { class: "key main wide", href: "#/new" }, "New job"),
      settle,
      search,
      mine,
      shop,
      shopState(ctx),
      moving,
      promise,
      offered,
    ),
  };
}
