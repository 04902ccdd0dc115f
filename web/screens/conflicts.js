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

/** What an entry says: a reading, a move, that something is struck; others by their kind alone. */
export function wordsOf({ kind, body }) {
  if (kind === "reading") return `${nameOf(body)}, ${teardownWords(body.teardown ?? 0)}: ${valueOf(body)}`;
  if (kind === "move") return `teardown ${body.teardown}, ${moveWords(body)}`;
  return kind === "strike" ? "struck out" : `an entry of kind ${kind}`;
}

/** A sentence from the fold, as one. */
export const sentence = (text) => `${text.replace(/^./, (c) => c.toUpperCase())}.`;

/**
 * What can be picked in a conflict: [{entry, entries, body}], body that of the entry that settles it so. Several strikes of one
 * entry are one choice. It names the settlements it stands in place of: two made apart are asked about again.
 */
export function picks(conflict, entryOf) {
  const all = conflict.entries.map(entryOf).filter(Boolean);
  const strikes = all.filter(({ kind }) => kind === "strike");
  const chosen = [
    ...(strikes.length ? [strikes] : []),
    ...all.filter(({ kind }) => kind !== "strike").map((entry) => [entry]),
  ];
  return chosen.map((entries) => ({
    entry: entries[0],
    entries,
    body: {
      keeps: entries[0].id,
      drops: conflict.entries.filter((id) => !entries.some((entry) => entry.id === id)),
      ...(conflict.settlements?.length ? { replaces: conflict.settlements } : {}),
    },
  }));
}

/** What is kept when it is picked. */
const keepWords = ({ entry }) => (entry.kind === "strike" ? "Leave it struck out" : `Keep: ${wordsOf(entry)}`);

/** "2026-11-25 18:40". */
export const moment = ({ at }) => at.slice(0, 16).replace("T", " ");

function one(ctx, conflict) {
  const settle = (body) => async () => {
    if (await ctx.save([["settle", body]], { said: "the choice" })) ctx.redraw();
  };
  return h(
    "li",
    null,
    h("p", { text: sentence(conflict.text) }),
    h(
      "div",
      { class: "keys" },
      picks(conflict, ctx.entry).map((pick) =>
        h(
          "button",
          { type: "button", class: "key wide entry", onclick: settle(pick.body) },
          h("strong", { text: keepWords(pick) }),
          h("span", { text: `entered ${moment(pick.entry)}` }),
        ),
      ),
    ),
  );
}

/** The block; null when nothing contradicts. */
export function conflicts(ctx) {
  const list = ctx.sheet.conflicts;
  if (!list.length) return null;
  return h(
    "section",
    { class: "doubts" },
    h("h2", { text: list.length === 1 ? "Two entries contradict each other" : "Entries contradict each other" }),
    h(
      "ul",
      null,
      list.map((conflict) => one(ctx, conflict)),
    ),
    h("a", { class: "key", href: `#/desk?job=${ctx.job}` }, "Who, when, and what it changes"),
  );
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
    others.map(({ text }) => h("p", { class: "refused", text: sentence(text) })),
    told,
    h("a", { class: "key wide", href: ctx.href({ words: ["list"] }) }, "What has been read"),
  );
}
