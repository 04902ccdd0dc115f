/* Readings that do not fit the others: what is likely wrong, and one tap to take the repaired value.

   Taking it writes an entry that corrects the old one; nothing is lost and the list shows both. */

import { said } from "../work/sheet.js";
import { h } from "../parts/dom.js";
import { plain } from "../work/numbers.js";
import { nameOf, valueOf } from "../work/readings.js";
import { readRoute } from "../work/guide.js";
import { likely, repair, words } from "../work/repair.js";

/** One doubt. `entry` is the reading or move it is about, `take` writes the repair. */
function item(ctx, doubt, entry, onrepaired) {
  const fix = repair(doubt, entry, ctx.sheet);
  const route = entry.kind === "move"
    ? { words: ["move"], query: { entry: entry.id, from: "plan" } }
    : { ...readRoute({ ...entry, entry: entry.id }), query: { ...readRoute({ ...entry, entry: entry.id }).query, from: "plan" } }; // prettier-ignore
  const name = entry.kind === "move" ? `Teeth of teardown ${entry.teardown}` : `${nameOf(entry)}: ${valueOf(entry)}`;
  return h(
    "li",
    null,
    h("p", null, h("strong", { text: name }), ` does not fit the rest (${plain(Math.abs(doubt.misfit), 1)} times its spread). ${likely(doubt, entry, fix)}`),
    h(
      "div",
      { class: "keys" },
      fix
        ? h("button", { type: "button", class: "key main", onclick: async () => {
            if (await ctx.save(fix, { said: "the value taken" })) onrepaired();
          } }, `Take ${words(doubt, entry)}`)
        : null,
      h("a", { class: "key", href: ctx.href(route) }, "Open it"),
    ),
  ); // prettier-ignore
}

/** The block of doubts; null when all readings agree. */
export function doubts(ctx, list, ids, onrepaired) {
  if (!list.length) return null;
  const find = (id) => {
    const reading = ctx.sheet.readings.find((r) => r.id === id);
    const move = ctx.sheet.moves.find((m) => m.id === id);
    return reading ?? (move ? { ...move, kind: "move" } : null);
  };
  return h(
    "section",
    { class: "doubts" },
    h("h2", { text: list.length === 1 ? "One reading does not fit" : "Some readings do not fit" }),
    h("p", { text: "Settle this before turning a tooth: read again, or take the value that would fit." }),
    h(
      "ul",
      null,
      list
        .map((doubt) => [doubt, find(ids[doubt.log_index])])
        .filter(([, e]) => e)
        .map(([doubt, entry]) => item(ctx, doubt, entry, onrepaired)),
    ),
  );
}
