/* The first screen: jobs on this phone, a new one, and the demo jobs of Slipway Garage when the server offers them. */

import { jobs } from "../book/log.js";
import { itemsOf } from "../book/request.js";
import { lookAll, peek } from "../book/snapshot.js";
import { listen } from "../book/tabs.js";
import { h } from "../parts/dom.js";
import { missing, steps } from "./guide.js";

/** Where a job stands, in a few words. */
function standing(sheet) {
  const lacking = missing(sheet).length;
  if (lacking) return lacking === 1 ? "one answer to the first plan" : `${lacking} answers to the first plan`;
  return sheet.teardowns ? `after teardown ${sheet.teardowns}` : "ready to plan";
}

function jobCard(ctx, job) {
  const { sheet } = peek(job);
  const lacking = missing(sheet);
  const next = lacking.length ? (steps(sheet).find((step) => !step.done) ?? lacking[0]) : { words: ["plan"], query: {} };
  return h("li", null, h("a", { class: "key wide entry", href: ctx.href(next, job) }, h("strong", { text: sheet.title || "Car without a name" }), h("span", { text: standing(sheet) })));
}

/** Demo jobs as the server lists them; null where it has none or does not answer. */
async function demos() {
  try {
    const reply = await fetch("/api/demo", { headers: { Accept: "application/json" }, signal: AbortSignal.timeout(4000) });
    const body = reply.ok ? await reply.json() : null;
    return Array.isArray(body) ? body : (body?.jobs ?? null);
  } catch {
    return null;
  }
}

function namer(ctx) {
  const input = h("input", { id: "new-title", type: "text", maxlength: 80, autocomplete: "off", placeholder: "Gannet, Maren" });
  const begin = async () => {
    const title = input.value.trim() || `Car of ${new Date().toLocaleDateString()}`;
    const job = await ctx.begin([["job", { title }]]);
    if (job) ctx.go({ words: ["ask", "car.bar.diameter_mm"] }, { job });
  };
  return h(
    "form",
    { class: "new", onsubmit: (event) => { event.preventDefault(); begin(); } },
    h("label", { for: "new-title", text: "Car and owner's first name, if you like" }),
    input,
    h("button", { class: "key main wide" }, "New car"),
  ); // prettier-ignore
}

/** The screen. */
export function start(ctx) {
  const offered = h("section", { class: "demos" });
  demos().then((list) => {
    if (!list?.length) return;
    offered.append(
      h("h2", { text: "Try one from Slipway Garage" }),
      h("ul", null, list.map((demo) => h("li", null, h("button", { type: "button", class: "key wide entry", onclick: async () => {
        const job = await ctx.begin(itemsOf(demo.request, demo.title.split(": ")[0]));
        if (job) ctx.go({ words: ["plan"] }, { job });
      } }, h("strong", { text: demo.title.split(": ")[0] }), h("span", { text: demo.title.split(": ")[1] ?? "" }))))),
    ); // prettier-ignore
  });
  const mine = h("section", null);
  const draw = async () => {
    const all = await jobs();
    const show = () => mine.replaceChildren(...(all.length ? [h("h2", { text: "Carry on" }), h("ul", null, all.filter(peek).map((job) => jobCard(ctx, job)))] : []));
    await lookAll(all, show);
    show();
  };
  draw();
  ctx.whileShown(listen((message) => message.what === "entries" && draw()));
  return {
    title: "Bothends",
    node: h(
      "div",
      { class: "start" },
      h("h1", null, "Both ends of the bar"),
      h("p", { class: "where", text: "From the first reading to a level car, in as few teardowns as can be." }),
      mine,
      h("section", null, h("h2", { text: "Begin" }), namer(ctx)),
      offered,
    ),
  };
}
