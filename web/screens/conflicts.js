/* Entries that contradict each other: both are shown, a person says which holds. Nothing is erased. */

import { h } from "../parts/dom.js";
import { teeth } from "../parts/numbers.js";
import { SIDES, nameOf, teardownWords, valueOf } from "./readings.js";

/** "left: inner 3 teeth tail up, outer 4 teeth tail down; right: left alone". */
export const moveWords = (move) =>
  SIDES.map((side) => {
    const { inner = 0, outer = 0 } = move[side] ?? {};
    return `${side}: ${inner || outer ? `inner ${teeth(inner)}, outer ${teeth(outer)}` : "left alone"}`;
  }).join("; ");

/** What a reading or a move says. */
export const wordsOf = ({ kind, body }) =>
  kind === "move" ? `teardown ${body.teardown}, ${moveWords(body)}` : `${nameOf(body)}, ${teardownWords(body.teardown ?? 0)}: ${valueOf(body)}`;

function one(ctx, conflict) {
  const settle = (id) => async () => {
    const drops = conflict.entries.filter((other) => other !== id);
    if (await ctx.save([["settle", { keeps: id, drops }]], { said: "the choice" })) ctx.redraw();
  };
  const rows = conflict.entries.map((id) => ctx.entry(id)).filter(Boolean);
  return h(
    "li",
    null,
    h("p", { text: `${conflict.text.replace(/^./, (c) => c.toUpperCase())}.` }),
    h("div", { class: "keys" }, rows.map((entry) => h("button", { type: "button", class: "key wide entry", onclick: settle(entry.id) }, h("strong", { text: `Keep: ${wordsOf(entry)}` }), h("span", { text: `entered ${entry.at.slice(0, 16).replace("T", " ")}` })))),
  );
}

/** The block; null when nothing contradicts. */
export function conflicts(ctx) {
  const list = ctx.sheet.conflicts;
  if (!list.length) return null;
  return h("section", { class: "doubts" }, h("h2", { text: list.length === 1 ? "Two entries contradict each other" : "Entries contradict each other" }), h("ul", null, list.map((conflict) => one(ctx, conflict))));
}

const HOLD = ["unsettled-move", "missing-move"];

/** What must be settled or entered before a plan can be trusted; null where nothing stands in its way. */
export function stopped(ctx) {
  const stops = ctx.request.stops.filter(({ code }) => HOLD.includes(code));
  if (!stops.length) return null;
  const told = conflicts(ctx);
  const others = stops.filter(({ code }) => !told || code !== "unsettled-move");
  return h(
    "div",
    { class: "gaps" },
    h("p", { text: "No plan until it is clear what was turned." }),
    others.map(({ text }) => h("p", { class: "refused", text: `${text.replace(/^./, (c) => c.toUpperCase())}.` })),
    told,
    h("a", { class: "key wide", href: ctx.href({ words: ["list"] }) }, "What has been read"),
  );
}
